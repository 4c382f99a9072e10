"""The reader against what it was not made on: other formats, phones, recorded instruments, speech, machines, pipes.

Run ``python -m tests.bench.formats [--quick] [--seed N] [--parts pcir]``: p recorded pipes, c changed blows,
i instruments of sound fonts, r recorded speech, music and machines. What is not installed is left out, and said. No
sound is kept.
"""

"""The reader against what it was not made on: other formats, phones, recorded instruments, speech, machines, pipes.

Run ``python -m tests.bench.formats [--quick] [--seed N] [--parts cop]``: c changed blows, o other sounds, p recorded
pipes. What is not installed is left out, and said. No sound is kept.
"""

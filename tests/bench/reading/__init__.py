"""How well one blow is read: sets of invented blows with known truth, peers in the same run, tables printed.

Run ``python -m tests.bench.reading [--quick] [--seed N]``. The generator shares no code with the reader.
"""

"""Whistlewright: the machinery around `acoustics` (microphone, journal, walk, window, command line)."""
import os

__version__ = "0.1.0"

# The reader's matrices are small: worker threads of the linear algebra spin while they wait, which took a third of what
# listening costs and halved the speed of reading files. Must stand before numpy is imported for the first time.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

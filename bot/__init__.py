"""Riddle: a chat bot for a working kitchen garden."""

import os

__version__ = "0.1.0"

# A message makes small arrays: processors that share them wait for each other longer than they work. To be said before numpy is imported.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

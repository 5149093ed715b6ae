"""Riddle: a chat bot for a working kitchen garden."""

__version__ = "0.1.0"

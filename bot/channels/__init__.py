"""Channels: where messages come from and replies go to. They render and pass text on, and know no gardening."""

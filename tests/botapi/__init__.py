"""A small Bot API server on loopback for tests: offsets, long polling, limits, HTML check, and faults on demand."""

"""Benchmarks: run by hand, printed as ratios to a stated floor. Never part of the tests."""

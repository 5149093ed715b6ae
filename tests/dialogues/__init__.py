"""Whole conversations over a gardening year, as data."""

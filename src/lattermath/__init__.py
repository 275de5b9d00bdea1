"""Lattermath keeps a community vegetable plot bearing through the second half of the season."""

__version__ = "0.1.0"

"""Writes a file whole or not at all; the writing itself is the record's."""

from lattermath.record.whole_file import write_whole

__all__ = ["write_whole"]

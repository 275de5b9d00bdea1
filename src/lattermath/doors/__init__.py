"""Thin: parse, call the desk, answer."""

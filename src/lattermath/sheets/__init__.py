"""A plan in words: prints, computes nothing."""

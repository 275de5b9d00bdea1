"""What happened: the append-only journal in one SQLite file."""

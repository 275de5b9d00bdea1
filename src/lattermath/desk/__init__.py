"""One file per thing the grower can ask; the only clock, dice and paths."""

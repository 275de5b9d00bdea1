"""A plot as it might truly be: single insects, leaves and fruit, and a grower who miscounts."""

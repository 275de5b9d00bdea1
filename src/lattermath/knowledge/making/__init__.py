"""How the tables were made: the script that translated the trade files, and its count."""

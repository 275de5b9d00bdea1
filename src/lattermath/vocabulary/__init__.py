"""The nouns: frozen records, standard library only."""

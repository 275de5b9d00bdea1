"""What the sky did and may do."""

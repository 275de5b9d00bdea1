"""What is probably true of the plot today."""

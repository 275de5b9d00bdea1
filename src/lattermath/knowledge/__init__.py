"""What the books say: sourced tables and their typed loaders."""

"""Re-reads every plan against label rows and journal before it is shown."""

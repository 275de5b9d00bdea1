"""What the sky did and may do: weather files, the daily record, and futures."""

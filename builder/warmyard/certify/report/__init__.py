"""What the record shows, read only."""

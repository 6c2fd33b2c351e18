"""Read an instrument."""

"""A number to compute, with its unit."""

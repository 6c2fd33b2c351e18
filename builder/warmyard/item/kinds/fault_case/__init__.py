"""Find the cause of a fault, check by check."""

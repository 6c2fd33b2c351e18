"""The records folder of invented people."""

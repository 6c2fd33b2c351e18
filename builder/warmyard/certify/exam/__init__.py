"""Papers, sittings and the forms of stations."""

"""Frozen shapes of what is stored or handed out, each under a name and a version, and what brings an older one up."""

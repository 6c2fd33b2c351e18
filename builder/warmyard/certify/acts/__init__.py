"""Everything that makes an entry."""

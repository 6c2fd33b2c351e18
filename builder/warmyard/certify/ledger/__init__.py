"""The record: bytes, keys, chain, people, and the records folder."""

"""Warmyard turns lesson and item sources into a training site, and sittings into certificates that stand up."""

__version__ = "0.1.0"

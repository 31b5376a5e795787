"""Bring a worn sports field back to dense, safe, playable turf by a date."""

__version__ = "0.1.0"

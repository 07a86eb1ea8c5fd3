"""Levels at the two ends of one connection."""

"""Plugs, directions and media: does it go in, and does it go the right way."""

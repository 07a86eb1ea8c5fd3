"""The patch of a gig as a graph, and what can be counted and followed on it."""

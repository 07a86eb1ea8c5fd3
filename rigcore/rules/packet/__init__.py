"""Rules of the packet: what a house must find on it."""

"""The document: one player's gear, rigs, houses, gigs and stock, as frozen values."""

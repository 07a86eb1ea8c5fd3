"""Lines to the house and back: how many, in what order, and what they carry."""

"""Units and their conversions: the only rooms where one unit becomes another."""

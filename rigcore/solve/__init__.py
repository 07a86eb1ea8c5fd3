"""What must be computed rather than judged: adapter chains, the fit of a rig at a house, stock, tours, lifelines."""

"""Rules of the family ``stage``: what stands where it cannot stand."""

"""Rules of the family ``cable``: does it reach, is there such a length, are there enough, is it too far for it."""

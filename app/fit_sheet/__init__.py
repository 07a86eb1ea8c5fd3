"""The Fit sheet: hand-offs, sockets and the chains between, as landed and as the solver proposes."""

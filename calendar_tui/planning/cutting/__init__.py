"""From when to when a lot may be cut, what binds at each end, and the harvest that follows from it."""

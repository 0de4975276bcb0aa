"""From when to when each lot may be cut, and by which rules."""

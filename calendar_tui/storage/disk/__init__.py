"""Files as wholes: lock, replace, what lies beside."""

"""Many sites in one table."""

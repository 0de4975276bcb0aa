"""The review of a season."""

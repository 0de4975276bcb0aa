"""Data a season starts from."""

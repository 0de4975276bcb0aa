"""The history of a season's changes."""

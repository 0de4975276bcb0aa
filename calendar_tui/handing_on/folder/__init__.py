"""A season as an open folder: tables as CSV with their description, for others to read without this program."""

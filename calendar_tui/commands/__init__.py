"""The commands: each takes the parsed words and flags, calls what is below, and prints."""

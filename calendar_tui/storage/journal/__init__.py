"""Lines of the history file."""

"""How the program words things, as plain text."""

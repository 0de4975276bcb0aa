"""Pages to print: the wall and the week."""

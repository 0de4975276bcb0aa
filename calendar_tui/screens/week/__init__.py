"""The week's tasks, ticked and moved."""

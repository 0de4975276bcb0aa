"""The load by week, one kind at a time."""

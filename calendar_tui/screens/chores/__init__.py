"""The chores and their fields."""

"""Chores into tasks with dates, amounts and hours; the week's list."""

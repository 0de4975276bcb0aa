"""A crop calendar in the terminal for staggered cohorts of short-day hemp."""

__version__ = "0.1.0"

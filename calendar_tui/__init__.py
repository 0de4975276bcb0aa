"""A crop calendar in the terminal for staggered cohorts of short-day hemp."""

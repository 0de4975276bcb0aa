"""How much of ground, crew, dryer and laboratory is taken, and what is over-full."""

"""What recorded dates show of a variety, and the figures it starts from."""

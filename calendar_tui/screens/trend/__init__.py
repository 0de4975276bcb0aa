"""What the results of a lot say of the days to come."""

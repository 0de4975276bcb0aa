"""What the results of one cohort say of its total THC, or of any analyte, on the days to come."""

"""A weather station's daily file."""

"""What is to be decided, and by which day."""

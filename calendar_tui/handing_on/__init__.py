"""What leaves the program: plain text and tables."""

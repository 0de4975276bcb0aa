"""What was changed, as it was, and taken back."""

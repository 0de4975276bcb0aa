"""What a new season is asked, each answer read as people write it, and what of it does not fit together."""

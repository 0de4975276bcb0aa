"""What each place's lamps are set to, week by week."""

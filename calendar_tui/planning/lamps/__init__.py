"""What each place's lamps do, night by night and week by week, and what comes of it."""

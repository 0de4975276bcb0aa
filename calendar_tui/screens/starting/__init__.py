"""Where no season is opened yet: one to be made, an example, or one of those found."""

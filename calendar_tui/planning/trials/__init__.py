"""Trials of a season: drawn into plots and cohorts, what they can find, where their plots disagree with what grows."""

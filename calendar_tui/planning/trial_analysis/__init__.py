"""Trials of a season analysed by their designs: what their plots measured, worked out, with what it does not show."""

"""Anything by its words."""

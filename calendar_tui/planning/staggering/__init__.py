"""Staggering: cohorts planned backwards from their harvests, and fitted to what the farm can hold."""

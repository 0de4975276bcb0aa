"""The varieties and their figures."""

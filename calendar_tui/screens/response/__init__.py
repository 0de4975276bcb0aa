"""The view of planting dates."""

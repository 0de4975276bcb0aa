"""The form and view of staggered planting."""

"""When a variety would be ready for every planting date at a place."""

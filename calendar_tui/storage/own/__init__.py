"""A person's own files, beside no season: where each was left."""

"""The crew's language: catalogues read, kept whole, and shown."""

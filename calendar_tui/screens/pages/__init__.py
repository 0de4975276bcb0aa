"""Views that read like a page."""

"""What laboratories found: the figures of each bag, which of them count, and which are due."""

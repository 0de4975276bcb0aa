"""What dries: the batches with their passes, the room they take, which may dry together, and what was weighed."""

"""The season file: read, locate, check, save, lock, history."""

"""What cannot be done: one error for the whole program, caught once, where a command or a view ends."""

from __future__ import annotations


class Refusal(ValueError):
    """Something that cannot be done. The message says where, what, and what would be right."""

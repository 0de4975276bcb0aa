"""Which groups of the table of keys act in one view, so that no two of their keys may be the same."""

from __future__ import annotations

# Groups that are bound together, in one view; what any view may bind, and what the program and lists do, is there with each.
TOGETHER: tuple[tuple[str, ...], ...] = (
    ("chart", "season", "past", "undo", "redo"),
    ("tasks in a list", "week", "undo", "redo", "view"),
    ("tasks in a list", "today", "undo", "redo", "view"),
    ("next season", "weather", "records", "undo", "redo", "view"),
    ("next season", "first", "view"),
    ("varieties", "records", "undo", "redo", "view"),
    ("results", "records", "undo", "redo", "view"),
    ("drying", "records", "undo", "redo", "view"),
    ("chores", "records", "undo", "redo", "view"),
    ("rules", "records", "undo", "redo", "view"),
    ("lots", "undo", "redo", "view"),
    ("field book", "cells", "undo", "redo", "view"),
    ("fit", "fit records", "undo", "redo", "view"),
    ("trial", "undo", "redo", "view"),
    ("cohort", "undo", "redo", "view"),
    ("history", "change", "undo", "redo", "view"),
    ("answers", "moves", "view"),
    ("notes", "tasks", "view"),
    ("add form", "form", "view"),
    ("problems", "quit", "view"),
)
ANYWHERE = ("undo", "redo", "view")
EVERYWHERE = ("help", "program", "anything", "list")

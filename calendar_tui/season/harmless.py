"""Texts in tables that no spreadsheet works out, and the same texts as they come back."""

from __future__ import annotations

# What a spreadsheet takes for the beginning of a formula, wide forms and leading blanks included.
_FORMULA = frozenset("=+-@\t\r＝＋－＠")
_GUARD = "'"


def harmless(text: str) -> str:
    """The text, behind an apostrophe where it would begin a formula."""
    return f"{_GUARD}{text}" if _begins_formula(text) else text


def unguarded(cell: str) -> str:
    """The text of a cell, without the apostrophe that keeps it from being worked out."""
    return cell[1:] if cell.startswith(_GUARD) and _begins_formula(cell[1:]) else cell


def _begins_formula(text: str) -> bool:
    return text.lstrip(" ")[:1] in _FORMULA and bool(text.strip(" "))

"""Texts in tables that no spreadsheet works out."""

from __future__ import annotations

# What a spreadsheet takes for the beginning of a formula, wide forms and leading blanks included.
_FORMULA = frozenset("=+-@\t\r＝＋－＠")


def harmless(text: str) -> str:
    """The text, behind an apostrophe where it would begin a formula."""
    return f"'{text}" if text.lstrip(" ")[:1] in _FORMULA and text.strip(" ") else text

"""How many cells of a terminal a text takes, and texts cut or filled to a number of cells.

A cell holds one letter of most writings; letters of Chinese, Japanese and Korean, and emoji, take two, and marks that
combine with the letter before take none (Unicode Standard Annex 11, East Asian Width, as `rich` has it in tables).
"""

from __future__ import annotations

import re

# First and last of ranges of letters that take a cell each, by the tables of `rich`; nearly all texts have no other,
# and these tables take a while to load.
_SINGLE = (
    (0x20, 0x7E),
    (0xA0, 0xAC),
    (0xAE, 0x2FF),
    (0x370, 0x482),
    (0x2010, 0x2027),
    (0x2190, 0x21FF),
    (0x2500, 0x25FC),
)
# What cut text ends in, and it with the letters that three dots take the place of.
CUT = "…"
# What stands before a text that is cut at its start, on every terminal.
CUT_BEFORE = "..."
_BEFORE_CUT = re.compile(f".{{0,2}}{CUT}")
SINGLE = frozenset(chr(n) for first, last in _SINGLE for n in range(first, last + 1))


def is_single(text: str) -> bool:
    """Whether each letter of the text is known to take one cell."""
    return text.isascii() or SINGLE.issuperset(text)


def cell_len(text: str) -> int:
    """The cells that a text of one line takes."""
    if is_single(text):
        return len(text)
    from rich import cells

    return cells.cell_len(text)


def cell_parts(text: str) -> list[str]:
    """What stands in each cell: a letter with its marks, or "" behind one that takes two cells."""
    if is_single(text):
        return list(text)
    parts: list[str] = []
    for letter in _letters(text):
        parts += [letter, *[""] * (cell_len(letter) - 1)]
    return parts


def _letters(text: str) -> list[str]:
    """Letters, each with what is drawn into it; marks that stand before any letter are left out."""
    letters: list[str] = []
    for char in text:
        width = cell_len(char)
        if letters and (not width or cell_len(letters[-1] + char) < cell_len(letters[-1]) + width):
            letters[-1] += char
        elif width:
            letters.append(char)
    return letters


def cut_cells(text: str, room: int) -> str:
    """As much from the start of the text as `room` cells hold."""
    if cell_len(text) <= room:
        return text
    parts = cell_parts(text)
    end = max(room, 0)
    while 0 < end < len(parts) and not parts[end]:
        end -= 1
    return "".join(parts[:end])


def cut_text(text: str, room: int, cut: str = CUT) -> str:
    """The text in `room` cells at the most; what is cut ends in the mark for that."""
    return text if cell_len(text) <= room else cut_cells(text, room - cell_len(cut)) + cut


def cut_start(text: str, room: int) -> str:
    """The text in `room` cells at the most; of a path that is cut so, its end is what is wanted."""
    if cell_len(text) <= room:
        return text
    parts, left = cell_parts(text), max(room - len(CUT_BEFORE), 0)
    return CUT_BEFORE[: max(room, 0)] + "".join(parts[len(parts) - left :])


def dotted(text: str) -> str:
    """The text without the mark for what is cut, for a terminal that lacks it: as many dots in place of its last letters."""
    return _BEFORE_CUT.sub(lambda m: "." * cell_len(m[0]), text) if CUT in text else text


def filled(text: str, width: int) -> str:
    """The text with blanks behind it up to `width` cells."""
    return text + " " * (width - cell_len(text))


def filled_before(text: str, width: int) -> str:
    """The text with blanks before it up to `width` cells."""
    return " " * (width - cell_len(text)) + text

"""A line that is typed in: its text, where the cursor stands, and whether the next letter takes the place of all of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import NamedTuple


class Line(NamedTuple):
    """at: letters before the cursor. fresh: as it was proposed: the next letter takes its place, an arrow keeps it."""

    text: str = ""
    at: int = 0
    fresh: bool = False


def proposed(text: str) -> Line:
    """A line with this text, to be typed over or kept."""
    return Line(text, len(text), bool(text))


def typed(line: Line, letters: str) -> Line:
    """The line with letters put in at the cursor, or in place of a fresh text."""
    kept = Line() if line.fresh else line
    text = kept.text[: kept.at] + letters + kept.text[kept.at :]
    return Line(text, kept.at + len(letters))


def _left(line: Line) -> Line:
    return Line(line.text, max(line.at - 1, 0))


def _right(line: Line) -> Line:
    return Line(line.text, min(line.at + 1, len(line.text)))


def _home(line: Line) -> Line:
    return Line(line.text, 0)


def _end(line: Line) -> Line:
    return Line(line.text, len(line.text))


def _backspace(line: Line) -> Line:
    if line.fresh:
        return Line()
    at = max(line.at - 1, 0)
    return Line(line.text[:at] + line.text[line.at :], at)


def _delete(line: Line) -> Line:
    if line.fresh:
        return Line()
    return Line(line.text[: line.at] + line.text[line.at + 1 :], line.at)


def _emptied(line: Line) -> Line:
    return Line()


# What an act makes of a line.
EDITING: Mapping[str, Callable[[Line], Line]] = {
    "left": _left,
    "right": _right,
    "home": _home,
    "end": _end,
    "backspace": _backspace,
    "delete": _delete,
    "clear": _emptied,
}


def completion(line: Line, names: tuple[str, ...]) -> str:
    """What completes a text to the first of the names that begins with it, in any case of letters; "" for nothing.

    Only behind the last letter, and not where the text is a name already.
    """
    if line.fresh or not line.text or line.at < len(line.text):
        return ""
    fold = line.text.casefold()
    if any(name.casefold() == fold for name in names):
        return ""
    return next((name[len(fold) :] for name in names if name.casefold().startswith(fold)), "")


def completed(line: Line, names: tuple[str, ...]) -> Line:
    """The line with its completion, in the letters of the name."""
    whole = line.text + completion(line, names)
    name = next((n for n in names if n.casefold() == whole.casefold()), whole)
    return Line(name, len(name))


def fitting(line: Line, names: tuple[str, ...]) -> tuple[str, ...]:
    """The names that begin with the text, then those that hold it; all of them where nothing is typed."""
    fold = "" if line.fresh else line.text.casefold()
    if any(name.casefold() == fold for name in names):
        return names
    begin = [name for name in names if name.casefold().startswith(fold)]
    return (*begin, *(name for name in names if fold in name.casefold() and name not in begin))


def picked(line: Line, names: tuple[str, ...], by: int) -> Line:
    """The line with the next of the names, or the one before; round at the ends."""
    if not names:
        return line
    folds = [name.casefold() for name in names]
    if line.text.casefold() in folds:
        n = (folds.index(line.text.casefold()) + by) % len(names)
    else:
        n = 0 if by > 0 else len(names) - 1
    return proposed(names[n])

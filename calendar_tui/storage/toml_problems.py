"""Every place at which a text is not TOML, as far as they can be told apart.

A reader of TOML stops at the first. Here the line it stops at is taken out, and the rest is read again, so that one run
names several; where a value of several lines is broken, what follows cannot be told from it, and the search ends.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import tomli

from calendar_tui.season.edits import Data
from calendar_tui.season.reading import read_season
from calendar_tui.storage.problems import FileProblem, SeasonFileError
from calendar_tui.storage.season_file import parse, read_text
from calendar_tui.storage.toml.bare_values import BareValue, NotToml, bare_problems, bare_values, stood_in
from calendar_tui.storage.toml.lines import locate

# No more than a person mends before looking again, and than so many characters let read in a second or so.
MOST_PROBLEMS, MOST_READ = 20, 2_000_000
_SEVERAL_LINES = ('"""', "'''")
_PAIRS = (("[", "]"), ("{", "}"))


def problems_of(path: Path, first: SeasonFileError) -> tuple[FileProblem, ...]:
    """All problems of a file that cannot be read or is not TOML; first: what its reader found."""
    try:
        text = read_text(path)
    except SeasonFileError as error:
        return error.problems
    known = isinstance(first, NotToml) and first.text == text
    return (problems_after(path, text, first) if known else toml_problems(path, text)) or first.problems


def toml_problems(path: Path, text: str) -> tuple[FileProblem, ...]:
    """Where a text is not TOML, in the order of its lines; nothing where it is."""
    try:
        parse(path, text)
    except SeasonFileError as error:
        return problems_after(path, text, error)
    return ()


def problems_after(path: Path, text: str, first: SeasonFileError) -> tuple[FileProblem, ...]:
    """Where a text is not TOML, once `first` is what its reader found: what that knows is not read again.

    Where only values lack their quotes or form, what else is wrong with the season is told too, as far as those values
    have no part in it.
    """
    most = max(min(MOST_PROBLEMS, MOST_READ // max(len(text), 1)), 1)
    values = first.values if isinstance(first, NotToml) else bare_values(locate(text))
    if not values:
        return _broken(path, text, most, first)[0]
    bare, text = bare_problems(path, locate(text), values[:most]), stood_in(text, values)
    broken, data = _broken(path, text, most - len(bare))
    rest = () if data is None else _of_season(path, text, data, values)
    return tuple(sorted((*bare, *broken, *rest), key=lambda p: p.line or 0))[:most]


def _of_season(path: Path, text: str, data: Data, values: Sequence[BareValue]) -> tuple[FileProblem, ...]:
    """The problems of the season in a text in which other values stand in for bare ones."""
    from calendar_tui.storage.toml.located import located

    guessed = {value.path for value in values}
    found, lines = read_season(data).problems, locate(text)
    return located(path, text, tuple(p for p in found if lines.in_file(p.path) not in guessed))


def _broken(
    path: Path, text: str, most: int, first: SeasonFileError | None = None
) -> tuple[tuple[FileProblem, ...], Data | None]:
    """Where a text is not TOML, as its reader tells it, line after line; where it is, its data.

    first: what its reader found in it, where that is known.
    """
    found: dict[int | None, FileProblem] = {}
    if most <= 0:
        return (), None
    data, error = (None, first) if first is not None else _read(path, text)
    while error is not None and error.problems[0].line not in found:
        problem = error.problems[0]
        found[problem.line] = problem
        rest = _without(text, problem, len(found)) if len(found) < most else None
        if rest is None:
            break
        text = rest
        _, error = _read(path, text)
    return tuple(found.values()), data


def _read(path: Path, text: str) -> tuple[Data | None, SeasonFileError | None]:
    """What a text says, or why it is not TOML."""
    try:
        return parse(path, text), None
    except SeasonFileError as error:
        return None, error


def _is_broken_row(piece: str) -> bool:
    """Whether a line of a list is a record, and what is wrong is in this line alone."""
    if not piece.lstrip().startswith("{"):
        return False
    try:
        tomli.loads(f"k = [\n{piece}\n]")
    except tomli.TOMLDecodeError:
        return True
    return False


def _without(text: str, problem: FileProblem, n: int) -> str | None:
    """The text without the line of a problem, all other lines where they were; None where that line is not alone.

    A header gives way to another, so that the keys below it do not come under the table above.
    """
    line = problem.line
    if line is None or problem.column is None:
        return None
    pieces = text.split("\n")
    piece = pieces[line - 1]
    if locate(text).value_around(line) not in (None, line):
        if not _is_broken_row(piece):
            return None
        pieces[line - 1] = ""
        return "\n".join(pieces)
    if piece.lstrip().startswith("["):
        pieces[line - 1] = f"[not-toml-{n}]"
    elif any(mark in piece for mark in _SEVERAL_LINES) or any(
        piece.count(a) != piece.count(b) for a, b in _PAIRS
    ):
        return None
    else:
        pieces[line - 1] = ""
    return "\n".join(pieces)

"""The season file: read it, and save a change to it."""

from __future__ import annotations

import os
import re
import stat
from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple, Protocol

import tomli

from calendar_tui.storage.disk.whole_file import parted_text, reason, refused
from calendar_tui.storage.problems import FileProblem, SeasonFileError, StorageError
from calendar_tui.storage.toml.values import data_in, without_lines

if TYPE_CHECKING:
    from calendar_tui.season.edits import Change, Data, Edit
    from calendar_tui.storage.journal.lines import Step
    from calendar_tui.storage.toml.bare_values import NotToml
    from calendar_tui.storage.toml.lines import Lines
    from calendar_tui.storage.toml.splice import Spliced

_PLACE = r" \(at (?:line (\d+), column (\d+)|end of document)\)$"
_LEFT_OPEN = (
    "the value that starts here does not end; close text with its quotes, a list with ], a table with }"
)
# How tomli begins a sentence, and what would be right.
_ADVICE = (
    ("Expected '=' after a key", "write key = value"),
    ("Invalid statement", "write key = value, or [table]"),
    ("Invalid initial character for a key", 'write the key in letters, digits, _ and -, or in "quotes"'),
    (
        "Invalid value",
        'write text in "double quotes", a date as 2026-10-05, a number as 1.5, or true or false',
    ),
    ("Expected newline", 'write one key to a line, text in "double quotes", and comments after #'),
    ("Unterminated string", 'close the text with "'),
    ("Illegal character", 'close the text with " on the same line, and keep control characters out'),
    ("Unescaped '\\'", "write \\\\ for a backslash, or put the text in 'single quotes'"),
    ("Unclosed array", "close the list with ]"),
    ("Unclosed inline table", "close it with } on the same line"),
    ("Invalid date", "write a date that is in the calendar as 2026-10-05"),
    ("Expected ']'", "close the table's name with ]"),
    ("Expected ']]'", "close the record's name with ]]"),
    ("Cannot declare", "name each [table] once; start each of several records with [[name]]"),
    ("Cannot overwrite", "give each key once"),
    ("Duplicate inline table key", "give each key once"),
    ("Cannot mutate", "keep the keys of a table in one place"),
)
# The same where a record begins in that place, so that the one above it does not end.
_ROW_ADVICE = (
    ("Unclosed array", "put a comma behind the } of the record above"),
    ("Unclosed inline table", "close the record above with }, and a comma behind it"),
)


class HasMessage(Protocol):
    """A problem found in a season's data."""

    @property
    def message(self) -> str: ...


# Finds what is wrong with a season's data; nothing if all is well.
Check = Callable[["Data"], Sequence[HasMessage]]


class Loaded(NamedTuple):
    """A season file as it was read: its path as asked for, its text, and the data that tomli gives."""

    path: Path
    text: str
    data: Data


class Made(NamedTuple):
    """What a file's text is to become, what that says, and the steps that led there."""

    text: str
    data: Data
    steps: Sequence[Step]


class Note(NamedTuple):
    """What the history says of a save besides its steps."""

    what: str
    who: str
    when: datetime


class Saved(NamedTuple):
    """A season file after a change. n: its number in the history, None if nothing had to be written; back: takes it back;
    warnings: sentences about what else came of the save.
    """

    path: Path
    text: str
    data: Data
    n: int | None
    back: tuple[Edit, ...] = ()
    warnings: tuple[str, ...] = ()


def read_text(path: str | Path) -> str:
    """The text of a season file, its line endings as they are.

    Raises SeasonFileError if it is missing, a folder, not to be read, or not UTF-8.
    """
    path = Path(path)
    try:
        if not stat.S_ISREG(path.stat().st_mode):
            kind = "a folder" if path.is_dir() else "not a file"
            raise refused(path, f"this is {kind}; name a season file, such as {path / 'season.toml'}")
        content = path.read_bytes()
        text = content.decode()
    except UnicodeDecodeError as error:
        line = error.object.count(b"\n", 0, error.start) + 1
        raise refused(path, "these characters are not UTF-8; save the file as UTF-8 text", line) from None
    except FileNotFoundError:
        raise refused(path, "there is no such file; give the path of a season file") from None
    except (OSError, ValueError) as error:
        why = reason(error) if isinstance(error, OSError) else str(error)
        raise refused(path, f"cannot be read: {why}") from error
    if text.startswith("\ufeff"):
        raise refused(path, "starts with a byte-order mark; save the file as UTF-8 without one", 1)
    return text


def parse(path: Path, text: str) -> Data:
    """The data in the text of a season file. Raises SeasonFileError with the line if it is not TOML."""
    try:
        return data_in(text)
    except tomli.TOMLDecodeError as error:
        raise not_toml(path, text, error) from None
    except (ValueError, RecursionError) as error:
        raise refused(path, f"not a season file: {beyond_reading(error)}") from error


def beyond_reading(error: ValueError | RecursionError) -> str:
    """What a text holds that is TOML, and which its reader cannot take."""
    return (
        "a number is too long" if isinstance(error, ValueError) else "lists or tables are nested too deeply"
    )


def not_toml(path: Path, text: str, error: tomli.TOMLDecodeError) -> NotToml:
    """What is wrong in a text of which its reader gives this error, with the line and what would be right."""
    from calendar_tui.storage.toml.bare_values import NotToml, bare_problems, bare_values
    from calendar_tui.storage.toml.lines import locate

    lines = locate(text)
    values = bare_values(lines)
    problems = bare_problems(path, lines, values) or [_not_toml(path, lines, str(error))]
    return NotToml(problems, text, values)


def _not_toml(path: Path, lines: Lines, message: str) -> FileProblem:
    place = re.search(_PLACE, message)
    what = message[: place.start()] if place else message
    if place and place[1]:
        line = int(place[1])
        start = lines.value_around(line)
        inside = f", inside the value that starts in line {start}" if start not in (None, line) else ""
    else:
        inside = ""
        line = lines.text.rstrip().count("\n") + 1
        start = lines.value_around(line)
        if start is not None:
            return FileProblem(str(path), start, f"not TOML: {_LEFT_OPEN}")
    right = next((advice for begin, advice in _ADVICE if what.startswith(begin)), "see the TOML format")
    if place and place[1] and _begins_record(lines.pieces[line - 1], int(place[2])):
        right = next((advice for begin, advice in _ROW_ADVICE if what.startswith(begin)), right)
    message = f"not TOML: {what[:1].lower()}{what[1:]}{inside}; {right}"
    column = int(place[2]) if place and place[2] else None
    return FileProblem(str(path), line, message, column)


def _begins_record(piece: str, column: int) -> bool:
    """Whether a record of a list begins at a column, from 1, of a line and nothing stands before it."""
    return not piece[: column - 1].strip() and piece[column - 1 : column] == "{"


def load(path: str | Path) -> Loaded:
    """Read a season file. Raises SeasonFileError as `read_text` and `parse` do."""
    path = Path(path)
    text = read_text(path)
    return Loaded(path, text, parse(path, text))


def load_to_look(path: str | Path) -> Loaded:
    """As `load`, for whoever asks for work alone and saves nothing: the data have no observations, which come in thousands."""
    path = Path(path)
    text = read_text(path)
    return Loaded(path, text, parse(path, without_lines(text, "observation")))


def save_change(
    path: str | Path,
    change: Change,
    *,
    who: str,
    when: datetime,
    check: Check | None = None,
    loaded: Loaded | None = None,
) -> Saved:
    """Apply a change to a season file as it is now, and add it to the history beside it.

    who: whom the history names.
    when: with its offset from UTC.
    check: looks at the new data; any problem it finds refuses the change.
    loaded: an earlier reading, which saves parsing if the file has not changed since.

    A change that changes nothing writes nothing. Through a symbolic link the real file is changed. Where another
    program, which takes no lock, changes the file at the same moment, the change is applied to what that wrote.
    Raises SeasonFileError, and then nothing has been written; ValueError if `when` has no offset.
    """
    from calendar_tui.storage.disk.lock import in_turn

    if when.utcoffset() is None:
        raise ValueError("the time of a change needs its offset from UTC")
    path = Path(path)
    read_text(path)
    note = Note(change.what, who, when)
    return in_turn(real_path(path), who, lambda: _save(path, change, note, check, loaded))


def _save(path: Path, change: Change, note: Note, check: Check | None, loaded: Loaded | None) -> Saved:
    from calendar_tui.season.edits import EditError
    from calendar_tui.storage.toml.splice import spliced

    now = current(path, loaded)
    try:
        made = spliced(now.text, now.data, change.edits)
    except (EditError, StorageError) as error:
        line = error.line if isinstance(error, StorageError) else None
        raise refused(path, f"not saved: {error}", line) from error
    if not made.splices:
        return Saved(path, now.text, now.data, None)
    whole = Made(made.text, made.data, [step_of(now.text, made)])
    warnings = parted_text(real_path(path))
    _put_files(path, change.files)
    n = put_in_place(path, now.text, whole, note, check)
    return Saved(path, made.text, made.data, n, made.back, warnings)


def _put_files(path: Path, files: Mapping[str, bytes]) -> None:
    """Make the files that a change names, beside the season file. Raises SeasonFileError; those that are there already stay.

    Each is named after what it holds, so one that stays behind a change that failed is no harm: the next makes the same.
    """
    from calendar_tui.storage.disk.handed_file import hand_out, read_if_exists

    beside = {real_path(path).with_name(name): content for name, content in files.items()}
    for file, content in beside.items():
        if (there := read_if_exists(file)) is not None and there != content:
            raise refused(file, "is there already and holds something else; move it away, and save again")
        if there is None:
            hand_out({file: content})


def real_path(path: Path) -> Path:
    """The file that a symbolic link leads to; another path as it is. Raises SeasonFileError."""
    try:
        return Path(os.path.realpath(path, strict=True)) if path.is_symlink() else path
    except OSError as error:
        raise refused(path, f"cannot be read: {reason(error)}") from error


def current(path: Path, loaded: Loaded | None = None) -> Loaded:
    """The file as it is now; its data from an earlier reading if the text is still the same."""
    text = read_text(path)
    if loaded is not None and loaded.text == text:
        return Loaded(path, text, loaded.data)
    return Loaded(path, text, parse(path, text))


def step_of(old: str, made: Spliced) -> Step:
    """What the history keeps of a text that was made of another."""
    from calendar_tui.storage.journal.file import digest
    from calendar_tui.storage.journal.lines import Step
    from calendar_tui.storage.toml.splices import anchors_of

    before, after = digest(old.encode()), digest(made.text.encode())
    splices = tuple(made.splices)
    return Step(made.edits, made.back, splices, before, after, anchors=anchors_of(old, splices))


def put_in_place(path: Path, old: str, made: Made, note: Note, check: Check | None) -> int:
    """Check what was made of a file's text, note it in the history and write it; gives its number there.

    The caller holds the lock. Raises SeasonFileError, and then nothing has been written.
    """
    from calendar_tui.storage.disk.beside import history_path
    from calendar_tui.storage.disk.whole_file import replace_whole
    from calendar_tui.storage.journal import file as journal
    from calendar_tui.storage.journal.lines import Entry

    _refuse_problems(path, old, made.data, check)
    real = real_path(path)
    history = history_path(real)
    try:
        last = journal.last_line(history)
        if isinstance(last, Entry) and journal.never_happened(real, last, made.steps[0].before):
            journal.note_never(history, last, note.who, note.when)
        entry = Entry(journal.next_number(last), note.when, note.who, note.what, tuple(made.steps))
        noting = journal.noted(history, entry, real)
        if made.text != old:
            replace_whole(real, old.encode(), made.text.encode(), noting)
        else:
            with noting:
                pass
    except OSError as error:
        raise refused(path, f"not saved: {reason(error)} (its history {history})") from error
    return entry.n


def _refuse_problems(path: Path, old: str, data: Data, check: Check | None) -> None:
    """Raise SeasonFileError with what `check` finds, each problem at its line in the file as it is."""
    problems = check(data) if check else ()
    if not problems:
        return
    from calendar_tui.storage.toml.lines import locate

    lines = locate(old)
    raise SeasonFileError(
        [
            FileProblem(str(path), lines.line(getattr(p, "path", ())), f"not saved: {p.message}")
            for p in problems
        ]
    )

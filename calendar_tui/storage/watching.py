"""What others have changed in a season that is open: looked for by the files' times, found in the history or the records.

A program that saves leaves an entry in the history; a person's editor leaves only another text. So what lies between
two texts is the entries that lead from one to the other, and, where these leave a gap, an edit by hand.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from calendar_tui.season.edits import Edit
from calendar_tui.season.merging import differences
from calendar_tui.season.sameness import same
from calendar_tui.storage.disk.beside import history_path
from calendar_tui.storage.history.undo import history_and_text
from calendar_tui.storage.history.undo_choice import Enough
from calendar_tui.storage.journal.file import digest, last_line, next_number
from calendar_tui.storage.journal.lines import Entry
from calendar_tui.storage.opening import Opened, opened_from
from calendar_tui.storage.problems import SeasonFileError
from calendar_tui.storage.season_file import parse, read_text, real_path

Stamp = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class News:
    """What is new in a season. entries: of the history, oldest first; by_hand: the edits that it does not tell, None
    where nothing was edited by hand; weather: whether the days of its station are others now.
    """

    entries: tuple[Entry, ...] = ()
    by_hand: tuple[Edit, ...] | None = None
    weather: bool = False

    def __bool__(self) -> bool:
        return bool(self.entries) or self.by_hand is not None or self.weather


def stamp_of(opened: Opened) -> Stamp:
    """Something that differs once the season file, or its station's, has been written to, replaced or removed."""
    found: list[int] = []
    for file in _files(opened):
        try:
            status = file.stat()
        except OSError:
            found += [0, 0, 0]
        else:
            found += [status.st_mtime_ns, status.st_size, status.st_ino]
    return tuple(found)


def _files(opened: Opened) -> list[Path]:
    """The season file, through a link, and where it names one its station's."""
    station = opened.data.get("station")
    name = station.get("file") if isinstance(station, dict) else None
    if not isinstance(name, str) or Path(name).name != name or "\0" in name:
        return [opened.path]
    try:
        return [opened.path, real_path(opened.path).parent / name]
    except SeasonFileError:  # a link that leads nowhere any more
        return [opened.path]


def last_number(path: Path) -> int:
    """The number of the newest entry of a season's history, 0 where there is none that can be read."""
    try:
        return next_number(last_line(history_path(real_path(path)))) - 1
    except (OSError, SeasonFileError):  # whoever asks for the history is told why
        return 0


def read_anew(held: Opened, last: int) -> tuple[Opened, News]:
    """The season as its files are now, and what is new since it was held.

    last: the newest entry of the history that was known then. Raises SeasonFileError where the file cannot be read,
    or is not TOML.
    """
    text = read_text(held.path)
    if text == held.text:
        unchanged = held.season is not None and "station" not in held.data
        return (held, News()) if unchanged else _with_its_weather(held)
    try:
        history, text = history_and_text(held.path, _reaches(last))
        entries = _since(history.entries, digest(held.text.encode()), last)
    except SeasonFileError:
        # Its history cannot be read, or the season file is gone just now: then this raises too.
        entries, text = (), read_text(held.path)
    now = opened_from(held.path, text, parse(held.path, text))
    return now, News(entries, _by_hand(held, now, entries))


def _with_its_weather(held: Opened) -> tuple[Opened, News]:
    """The same text with the days of its station as they are now."""
    data = parse(held.path, held.text) if held.season is None else held.data
    now = opened_from(held.path, held.text, data)
    if held.season is None or now.season is None:
        return (held if held.problems == now.problems else now), News()
    if held.season.weather == now.season.weather:
        return held, News()
    return now, News(weather=True)


def entries_between(path: Path, after: int, before: int) -> tuple[Entry, ...]:
    """The entries of a history with a number between two. Raises SeasonFileError."""
    return tuple(e for e in history_and_text(path, _reaches(after))[0].entries if after < e.n < before)


def _reaches(n: int) -> Enough:
    """Whether a history was read back to an entry that is known already."""
    return lambda history: any(entry.n <= n for entry in (*history.entries, *history.gone, *history.never))


def _since(entries: Sequence[Entry], held: str, last: int) -> tuple[Entry, ...]:
    """The entries that came after the text whose SHA-256 is `held`."""
    for i in reversed(range(len(entries))):
        if entries[i].after == held:
            return tuple(entries[i + 1 :])
    start = next((i for i, entry in enumerate(entries) if entry.before == held), None)
    return tuple(e for i, e in enumerate(entries) if (e.n > last if start is None else i >= start))


def _by_hand(held: Opened, now: Opened, entries: Sequence[Entry]) -> tuple[Edit, ...] | None:
    """The edits that lead from one text to the other beside the entries; None where these lead there alone."""
    seen = [digest(held.text.encode()), *(entry.after for entry in entries)]
    met = [*(entry.before for entry in entries), digest(now.text.encode())]
    if seen == met:
        return None
    if held.season is None or now.season is None or same(held.data, now.data):
        return ()
    told = {_field(edit) for entry in entries for step in entry.steps for edit in step.edits}
    return tuple(edit for edit in differences(held.data, now.data) if _field(edit) not in told)


def _field(edit: Edit) -> tuple[str, tuple[object, ...], tuple[str, ...]]:
    return edit.kind, edit.ident, edit.field

"""A season whose history has many lines: three people set the area of a place each, in turn, a minute apart."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

from calendar_tui.season.edits import Edit
from calendar_tui.storage.disk.beside import history_path
from calendar_tui.storage.journal.file import digest
from calendar_tui.storage.journal.lines import Entry, Step, encoded
from calendar_tui.storage.toml.splices import Splice

HEAD = """\
format = 3
[season]
name = "Two Rivers"
first_day = 2026-09-15
last_day = 2027-05-15
[site]
latitude = -34.3
longitude = -56.7
timezone = "America/Montevideo"
"""
LAST = datetime(2026, 12, 8, 9, tzinfo=UTC)
PEOPLE = ("ana", "ben", "cleo")


def _line(whose: int, area: int) -> str:
    return f"area_m2 = {area}   # of {PEOPLE[whose]}"


def text_after(changes: int) -> str:
    """The season after so many changes."""
    places = (
        f'[[place]]\nid = "F{whose}"\nkind = "field"\n{_line(whose, 1 + (changes + 2 - whose) // 3)}\n'
        for whose in range(3)
    )
    return HEAD + "".join(places)


def entry(n: int, of: int) -> Entry:
    """The n-th change of so many, from 1."""
    whose, old, new = (n - 1) % 3, text_after(n - 1), text_after(n)
    at = next(i for i, (a, b) in enumerate(zip(old.split("\n"), new.split("\n"), strict=True)) if a != b)
    area = 1 + (n + 2 - whose) // 3
    edit, back = (Edit("set", "place", (f"F{whose}",), ("area_m2",), value) for value in (area, area - 1))
    splice = Splice(at, (_line(whose, area - 1),), (_line(whose, area),))
    step = Step((edit,), (back,), (splice,), *(digest(text.encode()) for text in (old, new)))
    return Entry(n, LAST - timedelta(minutes=of - n), PEOPLE[whose], f"F{whose} has {area} m2", (step,))


def long_history(path: Path, entries: int) -> None:
    """Write a season with so many changes in its history."""
    path.write_text(text_after(entries), encoding="utf-8")
    with history_path(path).open("wb") as stream:
        stream.writelines(encoded(entry(n, entries)) for n in range(1, entries + 1))

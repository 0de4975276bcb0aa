"""The history of a season as plain lines: when, who, what, and each field before and after."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, datetime, timedelta, tzinfo
from typing import Any, NamedTuple

from calendar_tui.handing_on.tables.history_rows import HistoryRow, edits_of
from calendar_tui.handing_on.words.plain_text import WIDTH, count_text, wrapped
from calendar_tui.language.speaking import phrase, phrase_form
from calendar_tui.season.cells import CUT, cell_len, cut_text
from calendar_tui.season.edits import Edit
from calendar_tui.season.field_names import path_words
from calendar_tui.season.units_in_use import clock
from calendar_tui.season.wording import cohorts_text, full_day_text, year_day_text
from calendar_tui.storage.history.stacks import Standing
from calendar_tui.storage.history.taking_back import Way, field_name
from calendar_tui.storage.history.undo import Undone
from calendar_tui.storage.journal.lines import Entry, Shortened
from calendar_tui.storage.toml.rendering import toml_value

_INDENT, _FIELD_INDENT = " " * 6, " " * 8
# What a task is about stands behind its line where this much room is left for it.
_LEAST_ABOUT = 12
_LONGEST_NUMBER = 10
# So many fields of an entry are shown where not all of them are asked for.
MOST_FIELDS = 6


# --- which entries are meant


class About(NamedTuple):
    """What a task is about: the cohorts it is for, and its work."""

    cohorts: tuple[str, ...] = ()
    what: str = ""

    def __str__(self) -> str:
        """ "A3 B1 Scout pests"."""
        return f"{cohorts_text(self.cohorts)} {self.what}".strip()


def about_tasks(data: Mapping[str, Any]) -> dict[str, About]:
    """What each task of a season is about, by its id. The data need not have been checked."""
    tasks = data.get("task")
    rows = [row for row in (tasks if isinstance(tasks, list) else []) if isinstance(row, dict)]
    return {str(row.get("id")): _about(row) for row in rows}


def _about(record: Mapping[str, Any]) -> About:
    shared = record.get("cohorts")
    names = shared if isinstance(shared, list) else [record[key] for key in ("cohort",) if key in record]
    return About(tuple(map(str, names)), str(record.get("what", "")))


def naming(rows: Iterable[HistoryRow], words: Sequence[str], about: Mapping[str, About]) -> list[HistoryRow]:
    """The entries that name all the words: a cohort, a place, a task, a person, whole and in any case; or a number,
    which is the entry's own.
    """
    numbers = {int(word) for word in words if _is_number(word)}
    rest = [word for word in words if not _is_number(word)]
    patterns = [re.compile(rf"(?<!\w){re.escape(word)}(?!\w)", re.IGNORECASE) for word in rest]
    return [
        row
        for row in rows
        if numbers <= {row.entry.n} and all(p.search(_all_words(row.entry, about)) for p in patterns)
    ]


def _is_number(word: str) -> bool:
    return word.isascii() and word.isdigit() and len(word) < _LONGEST_NUMBER


def _all_words(entry: Entry, about: Mapping[str, About]) -> str:
    parts = [entry.who, entry.what]
    for edit, back in edits_of(entry):
        tasks = [about.get(str(part), About()) for part in edit.ident]
        parts += [field_name(edit), *(part for task in tasks for part in (*task.cohorts, task.what))]
        parts += [str(value) for value in (edit.value, back.value) if value is not None]
    return " \n ".join(parts)


# --- lines


def history_text(
    rows: Sequence[HistoryRow],
    left_out: int,
    shortened: Shortened | None,
    about: Mapping[str, About],
    zone: tzinfo,
    most: int | None,
) -> Iterator[str]:
    """The entries, oldest first, so that the newest stands right above the prompt.

    left_out: how many older ones are not among the rows; most: fields shown of each, None for all.
    """
    if shortened is not None:
        yield from wrapped(shortened_text(shortened), "")
    if left_out:
        older = count_text(left_out, "older entry is", "older entries are")
        yield from wrapped(f"{older} not shown; --last {left_out + len(rows)} shows all.", "")
    for row in rows:
        yield from entry_lines(row, about, zone, WIDTH, most)


def shortened_text(shortened: Shortened) -> str:
    """Where the older lines of a history are."""
    return f"Entries up to {shortened.last}, from before {full_day_text(shortened.before)}, are in {shortened.moved_to}."


def entry_lines(
    row: HistoryRow,
    about: Mapping[str, About],
    zone: tzinfo,
    width: int,
    most: int | None = None,
    cut: str = CUT,
) -> Iterator[str]:
    """One entry: its number, when (at the site), who, how it stands; what; then each field before and after."""
    yield from wrapped(head_text(row, zone), _INDENT, width, first=f"{row.entry.n:>4}  ")
    yield from wrapped(row.entry.what, _INDENT, width)
    pairs = list(edits_of(row.entry))
    kept = pairs if most is None or len(pairs) <= most + 1 else pairs[:most]
    for edit, back in kept:
        lines = wrapped(edit_text(edit, back), _FIELD_INDENT + "  ", width, first=_FIELD_INDENT)
        yield from _with_about(
            lines, str(about.get(str(edit.ident[0]), "")) if edit.ident else "", width, cut
        )
    if more := len(pairs) - len(kept):
        yield f"{_FIELD_INDENT}and {more} more: calendar-tui history {row.entry.n}"


def _with_about(lines: list[str], about: str, width: int, cut: str) -> list[str]:
    room = width - cell_len(lines[-1]) - 2
    if not about or room < _LEAST_ABOUT:
        return lines
    return [*lines[:-1], f"{lines[-1]}  {cut_text(about, room, cut)}"]


def head_text(row: HistoryRow, zone: tzinfo) -> str:
    """ "Tue 8 Dec 2026 09:14  ana  undone by 34"."""
    when = row.entry.when.astimezone(zone)
    return "  ".join(
        part for part in (f"{full_day_text(when)} {clock(when)}", row.entry.who, marks_text(row)) if part
    )


def marks_text(row: HistoryRow) -> str:
    """ "undone by 34, redone by 35"; "" where nothing befell the change."""
    return row.out or ", ".join(f"{word} by {n}" for word, n in row.marks)


def edit_text(edit: Edit, back: Edit) -> str:
    """ "cohort A3 recorded transplant: none -> 13 Dec 2026", or a record added or taken away with all that it held."""
    if edit.op in ("add", "remove"):
        record = edit.value if edit.op == "add" else back.value
        fields = ", ".join(
            f"{path_words(edit.kind, (k,))} {_value_text(v)}" for k, v in _table(record).items() if k != "id"
        )
        return f"{field_name(edit)} {'added' if edit.op == 'add' else 'taken away'}: {fields or 'no fields'}"
    return f"{field_name(edit)}: {_shown(back)} -> {_shown(edit)}"


# Lists in a list that are printed one by one.
_MOST_LISTS = 6


def _shown(edit: Edit) -> str:
    """The value that an edit leaves; a long list of lists is counted."""
    if edit.op == "unset":
        return "none"
    value = edit.value
    if isinstance(value, list | tuple) and sum(isinstance(one, list | tuple) for one in value) > _MOST_LISTS:
        return f"a list of {len(value)}"
    return _value_text(value)


def _value_text(value: Any) -> str:
    """A value as the file has it, but for dates, which are in words, and names of keys."""
    if isinstance(value, dict):
        return ", ".join(f"{path_words('', (key,))} {_value_text(inner)}" for key, inner in value.items())
    if isinstance(value, list | tuple):
        return f"[{', '.join(map(_value_text, value))}]"
    return year_day_text(value) if type(value) is date else toml_value(value)


def _table(value: Any) -> Mapping[str, Any]:
    return value if isinstance(value, dict) else {}


# --- undo and redo

# More of one's own changes than this are counted.
MOST_OWN = 3

_QUESTIONS = {
    "undo": (phrase_form("Undo it?"), phrase_form("Undo them?")),
    "redo": (phrase_form("Bring it back?"), phrase_form("Bring them back?")),
}
_AGES = ((timedelta(days=1), "d"), (timedelta(hours=1), "h"), (timedelta(minutes=1), "min"))


def ago_text(then: datetime, now: datetime) -> str:
    """ "2 h ago"; "just now" within a minute, and where a clock runs ahead."""
    for span, unit in _AGES:
        if now - then >= span:
            return phrase("{age} ago", age=f"{(now - then) // span} {unit}")
    return phrase("just now")


def of_others_lines(chosen: Sequence[Standing], way: Way, who: str, now: datetime) -> list[str]:
    """A line for each of the changes that is another person's to take: "ana, 2 h ago: A3 transplant recorded"."""
    form = (
        phrase_form("{who}, {elapsed}: undid {what}")
        if way == "redo"
        else phrase_form("{who}, {elapsed}: {what}")
    )
    return [
        phrase(form, who=s.who, elapsed=ago_text(s.when, now), what=s.what) for s in chosen if s.who != who
    ]


def question_text(way: Way, count: int) -> str:
    """ "Undo it?", or "Undo them?" for several."""
    return phrase(_QUESTIONS[way][count > 1])


def undone_lines(undone: Undone, way: Way, who: str = "") -> list[str]:
    """What was undone or redone, and what newer changes stay; of more than a few of one's own, how many.

    who: whose changes these are, "" for nobody's.
    """
    form = phrase_form("Undone: {what}") if way == "undo" else phrase_form("Redone: {what}")
    lines = [phrase(form, what=change.what) for change in undone.changes]
    own = [s for s in undone.over if s.who == who]
    counted = own if len(own) > MOST_OWN else []
    lines += [
        phrase("The newer change {number} of {who} stays: {what}", number=s.n, who=s.who, what=s.what)
        for s in undone.over
        if s not in counted
    ]
    return lines + ([phrase("{more} newer changes of your own stay.", more=len(counted))] if counted else [])

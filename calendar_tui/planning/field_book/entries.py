"""Values of a field book taken in as one change: typed one by one, or a whole table; new, changed, the same, taken out."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.replan import propose
from calendar_tui.planning.field_book.entry import CHANGED, DOT, GONE, NEW, SAME, Compared, Entry
from calendar_tui.planning.field_book.findings import offer_of, rise_text, rises
from calendar_tui.planning.field_book.value_doubts import value_doubts
from calendar_tui.planning.plan import Plan
from calendar_tui.season.edits import Change, Edit
from calendar_tui.season.observing import (
    MARK,
    NO_UNITS,
    NOT_LOOKED,
    Observation,
    Variable,
    fits_scale,
    number_in,
)
from calendar_tui.season.observing_checks import wrong_place, wrong_unit, wrong_value
from calendar_tui.season.observing_fields import observed, observed_at
from calendar_tui.season.readers import Unreadable, shown, words
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.wording import day_text, full_day_text, some_text

_KIND = "observation"
_COMMA = re.compile(r"(-?\d+),(\d+)\b", re.ASCII)
# As it is typed in a hurry: .5 of 0.5.
_NO_ZERO = re.compile(r"^([-<>]? ?)\.(?=\d)", re.ASCII)
_THOUSANDS = re.compile(r"-?[1-9]\d{0,2},\d{3}", re.ASCII)
_COUNTED = re.compile(r"(\d+) ?(?:/|of) ?(\d+)", re.ASCII | re.IGNORECASE)
_WITH_UNIT = re.compile(r"([-<>]? ?[\d.,]+) ?([^\d\s.,].*)")
_MOST_SHOWN = 12


def entry_of(season: Season, day: dt.date, at: str, variable: Variable, typed: str) -> Entry:
    """What is typed for a variable: a number, with its unit too, 4/10 of a share, a dot for not looked. Raises Refusal."""
    at = _readable(observed_at, at, "at")
    wrong = (
        wrong_place(season, at)
        or wrong_unit(season, variable, at)
        or _lost(season, at, day)
        or _no_plant(season, at)
        or _before(season, day)
    )
    if wrong:
        raise Refusal(wrong)
    typed_words = " ".join(typed.split())
    if typed_words in (DOT, NOT_LOOKED):
        return Entry(day, at, variable.id, state=NOT_LOOKED)
    value = _readable(observed, typed_words) if variable.scale == MARK else _plain(variable, typed_words)
    if wrong := wrong_value(variable, value):
        raise Refusal(f"{at} {variable.id}: {wrong}")
    return Entry(day, at, variable.id, value)


def _lost(season: Season, at: str, day: dt.date) -> str:
    plot = season.plots.get(at.partition(" ")[0])
    lost = None if plot is None else plot.lost_by(day)
    if plot is None or lost is None:
        return ""
    why = f" ({plot.why})" if plot.why else ""
    return f"plot {plot.id} is lost from {full_day_text(lost)} on{why}, and nothing of it counts"


def _no_plant(season: Season, at: str) -> str:
    unit, _, plant = at.partition(" ")
    there = (season.plots.get(unit) or season.cohorts[unit]).plants
    if not plant or there is None or int(plant) <= there:
        return ""
    return f"{unit} has {there} plants, and there is no plant {plant}"


def _before(season: Season, day: dt.date) -> str:
    if day >= season.first_day:
        return ""
    return f"{full_day_text(day)} is before the season begins, {full_day_text(season.first_day)}"


def _plain(variable: Variable, words: str) -> str:
    """The value as a season has it, a comma before decimals as a point, and a nought before a point that has none.

    Raises Refusal for another unit than that of the variable, and where the comma may stand between thousands.
    """
    if _THOUSANDS.fullmatch(words):
        raise Refusal(f"{words} may be {words.replace(',', '')} or {words.replace(',', '.')}; write it so")
    words = _COMMA.sub(r"\1.\2", words, count=1)
    words = _NO_ZERO.sub(r"\g<1>0.", words, count=1)
    if counted := _COUNTED.fullmatch(words):
        return f"{int(counted[1])} of {int(counted[2])}"
    if fits_scale(words, variable.scale):
        return words
    parts = _WITH_UNIT.fullmatch(words)
    if parts is None or not fits_scale(parts[1].strip(), variable.scale):
        return words
    if parts[2] == variable.unit:
        return parts[1].strip()
    unit, right = (f"is in {variable.unit}", f"write it in {variable.unit}")
    if variable.unit in NO_UNITS:
        unit, right = "has no unit", "write the number alone"
    raise Refusal(f"{variable.id} {unit}, and {shown(words)} is in {parts[2]}; {right}")


def compare(season: Season, entries: Iterable[Entry]) -> list[Compared]:
    """Each entry beside what stands there."""
    there = {(one.date, one.at, one.variable): one for one in season.observations}
    return [_compare_one(one, there.get(one.ident)) for one in entries]


def _compare_one(entry: Entry, was: Observation | None) -> Compared:
    text = "" if was is None else was.value or was.state
    if not entry.text:
        return Compared(entry, GONE if was else SAME, text)
    what = NEW if was is None else SAME if entry.text == text else CHANGED
    return Compared(entry, what, text)


def observe(
    plan: Plan, entries: Sequence[Entry], who: str = "", what: str = ""
) -> tuple[Proposal, list[Compared]]:
    """The proposal that takes entries in as one change, and each beside what stood there. No date moves. Raises Refusal."""
    season = plan.season
    change, compared = observed_change(season, plan.today, entries, who, what)
    after = _after(season, compared, who)
    proposal = propose(plan, after, change.what, change.edits)
    questions = tuple(value_doubts(after, compared))
    return replace(
        proposal,
        questions=questions,
        doubts=(*questions, *proposal.doubts),
        verdicts=tuple(_lines(season, compared)),
        notes=(*_offers(season, after), *proposal.notes),
    ), compared


def observed_change(
    season: Season, today: dt.date, entries: Sequence[Entry], who: str = "", what: str = ""
) -> tuple[Change, list[Compared]]:
    """The change alone, for one value after the other. Raises Refusal."""
    _readable(words, who)
    for one in entries:
        if one.date > today:
            raise Refusal(
                f"{full_day_text(one.date)} is after today, {full_day_text(today)}; what is observed has been"
            )
    compared = compare(season, entries)
    return Change(
        what or _what(compared), tuple(edit for one in compared for edit in _edits(one, who))
    ), compared


def questions_of(season: Season, entry: Entry) -> list[str]:
    """What is asked back of one value before it is taken in."""
    compared = compare(season, [entry])
    # Of all else nothing is held against other days.
    staged = season.variables[entry.variable].stage
    return value_doubts(_after(season, compared, "") if staged else season, compared)


def _after(season: Season, compared: Sequence[Compared], who: str) -> Season:
    """The season with these entries. They are read already, and thousands beside them stay as they are."""
    differ = {one.entry.ident: one.entry for one in compared if one.what != SAME}
    kept = [one for one in season.observations if (one.date, one.at, one.variable) not in differ]
    fresh = [
        Observation(date=e.date, at=e.at, variable=e.variable, value=e.value, state=e.state, who=who)
        for e in differ.values()
        if e.text
    ]
    return replace(season, observations=(*kept, *fresh))


def _offers(before: Season, after: Season) -> list[str]:
    """What rises newly tell, with what would record it."""
    known = set(rises(before))
    return [
        f"{rise_text(rise)}; to record it: record {offer.words}"
        for rise in rises(after)
        if rise not in known and (offer := offer_of(after, rise))
    ]


def _readable(read: Callable[[str], str], typed: str, what: str = "what is typed") -> str:
    """A text as a season reads it. Raises Refusal for one with hidden characters, or too long."""
    try:
        return read(typed)
    except Unreadable as wrong:
        raise Refusal(f"{what} {wrong}") from wrong


def _edits(one: Compared, who: str) -> list[Edit]:
    entry, ident = one.entry, one.entry.ident
    if one.what == SAME:
        return []
    if one.what == GONE:
        return [Edit("remove", _KIND, ident)]
    key, other = ("value", "state") if entry.value else ("state", "value")
    if one.what == NEW:
        table = {"date": entry.date, "at": entry.at, "variable": entry.variable, key: entry.text}
        return [Edit("add", _KIND, ident, (), table | ({"who": who} if who else {}))]
    kept = bool(entry.value) != (one.was == NOT_LOOKED)
    unset = [] if kept else [Edit("unset", _KIND, ident, (other,))]
    by = [Edit("set", _KIND, ident, ("who",), who)] if who else []
    return [*unset, Edit("set", _KIND, ident, (key,), entry.text), *by]


def _lines(season: Season, compared: Sequence[Compared]) -> list[str]:
    """How many are new, changed and the same, and the first of those that differ."""
    counts = {what: sum(one.what == what for one in compared) for what in (NEW, CHANGED, GONE, SAME)}
    head = ", ".join(f"{count} {what}" for what, count in counts.items() if count)
    differ = [one for one in compared if one.what != SAME]
    lines = [_line(season, one) for one in differ[:_MOST_SHOWN]]
    more = [f"and {len(differ) - _MOST_SHOWN} more"] if len(differ) > _MOST_SHOWN else []
    return [f"Observations: {head or 'none'}", *lines, *more]


def _line(season: Season, one: Compared) -> str:
    unit = season.variables[one.entry.variable].unit_text
    texts = [
        f"{text} {unit}".rstrip() if number_in(text) is not None else text
        for text in (one.was, one.entry.text)
        if text
    ]
    gone = " -> missing" if one.what == GONE else ""
    return f"{one.entry.at} {one.entry.variable} {day_text(one.entry.date)}: {' -> '.join(texts)}{gone}"


def _what(compared: Sequence[Compared]) -> str:
    differ = [one for one in compared if one.what != SAME] or list(compared)
    if len(differ) == 1:
        entry = differ[0].entry
        return f"{entry.at} {entry.variable} {entry.text or 'missing'} on {full_day_text(entry.date)}"
    names = dict.fromkeys(one.entry.variable for one in differ)
    return f"{len(differ)} observations of {some_text(list(names))}"

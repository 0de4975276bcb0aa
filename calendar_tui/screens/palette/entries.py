"""What can be gone to by its words: actions, cohorts, places, tasks, and a date that is typed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from typing import NamedTuple

from calendar_tui.language.speaking import chore_text, is_english, marked, phrase, tr
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.kit.key import Key
from calendar_tui.season.records import Season, Task
from calendar_tui.season.wording import cohorts_text, day_text, full_day_text

# As many as are listed at most; the rest is counted.
MOST = 60
# What a place in the list stands for. They stand in this order where words fit them alike.
DATE, ACTION, COHORT, PLACE, TASK = KINDS = (
    marked("date"),
    "action",
    marked("cohort"),
    marked("place"),
    marked("task"),
)


class Entry(NamedTuple):
    """begin: what stands before its text: the key, or the kind. words: what it is found by, in small letters, each
    behind a blank. goes: the action, id or day that it stands for.
    """

    kind: str
    begin: str
    text: str
    words: str
    goes: str


class Matches(NamedTuple):
    """rows: what fits, the best first. more: how many further ones fit."""

    rows: tuple[Entry, ...]
    more: int


def entries_of(plan: Plan | None, offered: Sequence[Key]) -> tuple[Entry, ...]:
    """All that can be gone to; without a plan the actions alone.

    offered: the keys that act where one is. Tasks that are open and near today come first.
    """
    if plan is None:
        return tuple(map(_action, offered))
    season = plan.season
    tasks = sorted(season.tasks, key=lambda t: (t.state != "open", abs((t.date - plan.today).days)))
    return (*map(_action, offered), *_cohorts(plan), *_places(season), *(_task(t, season) for t in tasks))


def matches_of(entries: Sequence[Entry], typed: str, day: date | None) -> Matches:
    """What the words that are typed fit; nothing typed fits all but tasks. day: the date that they are, or None."""
    wanted = typed.casefold().split()
    fitting = _fitting(entries, wanted) if wanted else [e for e in entries if e.kind != TASK]
    if day is not None:
        fitting.insert(
            0,
            Entry(DATE, tr(DATE), tr("{day}, on the time axis", day=full_day_text(day)), "", day.isoformat()),
        )
    return Matches(tuple(fitting[:MOST]), max(len(fitting) - MOST, 0))


def _fitting(entries: Iterable[Entry], wanted: Sequence[str]) -> list[Entry]:
    """Those in which all words stand: first the one of this very name, then those in which words begin so; of actions
    those whose sentence comes to the first word sooner.
    """
    name, begins = f" {' '.join(wanted)} ", [f" {word}" for word in wanted]
    there = [e for e in entries if all(word in e.words for word in wanted)]
    ranks = {
        id(e): (
            not e.words.startswith(name),
            not all(b in e.words for b in begins),
            KINDS.index(e.kind),
            e.words.find(wanted[0]) if e.kind == ACTION else 0,
        )
        for e in there
    }
    return sorted(there, key=lambda e: ranks[id(e)])


def _words(*texts: str) -> str:
    return f" {' '.join(filter(None, texts))} ".casefold()


def _action(key: Key) -> Entry:
    shown = key.shown.split()[0]
    foot, text = tr(key.foot), tr(key.text)
    words = _words(foot, text, *(() if is_english() else (key.foot, key.text)))
    return Entry(ACTION, shown, text, words, key.action)


def _cohorts(plan: Plan) -> Iterator[Entry]:
    for name, timeline in plan.timelines.items():
        cohort = timeline.cohort
        places = dict.fromkeys(stay.place for stay in cohort.stays)
        text = tr(
            "{cohort}  {variety}, {places}, planted {day}",
            cohort=name,
            variety=cohort.variety,
            places=", ".join(places),
            day=day_text(timeline.planted),
        )
        yield Entry(COHORT, tr(COHORT), text, _words(name, cohort.variety, *places), name)


def _places(season: Season) -> Iterator[Entry]:
    for place in season.places.values():
        kind = tr(place.kind)
        yield Entry(PLACE, tr(PLACE), f"{place.id}  {kind}", _words(place.id, kind), place.id)


def _task(task: Task, season: Season) -> Entry:
    about = " ".join(filter(None, (cohorts_text(task.about), task.place)))
    state = "" if task.state == "open" else f" ({phrase(task.state)})"
    what = chore_text(task.what)
    text = f"{day_text(task.date):>6}  {about}: {what}{state}"
    return Entry(
        TASK,
        tr(TASK),
        text,
        _words(task.id, *task.about, task.place, chore_text(task.who), what, day_text(task.date)),
        task.id,
    )

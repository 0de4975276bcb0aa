"""What the latest list of starter chores has for a season, in lines, and in one line."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from calendar_tui.handing_on.words.chores_text import hours_each_text, when_text
from calendar_tui.handing_on.words.plain_text import wrapped
from calendar_tui.planning.changes.chore_change import typed_text
from calendar_tui.planning.changes.starter_list import (
    FIRST_LIST,
    KINDS,
    FieldChange,
    StarterChange,
    counts_text,
    reminder,
    starter_changes,
)
from calendar_tui.season.records import Season
from calendar_tui.storage.starter_lists import LATEST, starter_chores

_HEADS = {"new": "New", "changed": "Changed", "dropped": "Dropped from the list"}


def changes_for(season: Season) -> tuple[StarterChange, ...]:
    """How the latest list differs from the one that the season has seen, where that makes a difference to its chores."""
    seen = starter_chores(season.starter_list or FIRST_LIST)
    return starter_changes(season.chores, seen, starter_chores(LATEST))


def reminder_for(season: Season) -> str:
    """One line while the latest list has something that the season has not seen; else ""."""
    if (season.starter_list or FIRST_LIST) >= LATEST:
        return ""
    return reminder(season, changes_for(season), starter_chores(season.starter_list or FIRST_LIST), LATEST)


def starter_text(season: Season, changes: tuple[StarterChange, ...]) -> Iterator[str]:
    """The new, changed and dropped chores, each field from what it is to what it would be, and how they are taken over."""
    if not changes:
        yield from wrapped(
            f"Starter list {LATEST}, the latest, has nothing that this season has not seen.", ""
        )
        return
    seen = season.starter_list or FIRST_LIST
    yield from wrapped(f"Starter list {LATEST} against list {seen}: {counts_text(changes)}.", "")
    for kind in KINDS:
        of_kind = [change for change in changes if change.kind == kind]
        if of_kind:
            yield _HEADS[kind]
        for change in of_kind:
            yield from _change_lines(change)
    yield ""
    for line in (
        "Take some over: calendar-tui chores --starter ID ... (all of them: all). What moves is shown first.",
        "Keep yours, without a reminder: calendar-tui chores --starter keep",
    ):
        yield from wrapped(line, "  ")


def _change_lines(change: StarterChange) -> Iterator[str]:
    yield from wrapped(change.what, "    ", first=f"  {change.id}  ")
    if change.kind == "new":
        chore = starter_chores(LATEST)[change.id]
        off = "" if chore.active else "off until you switch it on"
        parts = (when_text(chore), chore.who, hours_each_text(chore), off)
        yield from wrapped("; ".join(part for part in parts if part), "      ")
    for field in change.fields:
        yield from wrapped(_field_text(field), "        ", first="      ")
    if change.kind == "dropped" and change.edited:
        yield "      yours differs from what the list had"


def _field_text(field: FieldChange) -> str:
    """ "hours 3 -> 5", "hours 4 (yours; the list had 3) -> 5"."""
    own, now = _value(field.own), _value(field.now)
    mine = f" (yours; the list had {_value(field.shipped)})" if field.own != field.shipped else ""
    return f"{field.key} {own}{mine} -> {now}"


def _value(value: Any) -> str:
    return typed_text(value) or "none"

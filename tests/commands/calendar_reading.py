"""Calendar files read back, and the hour at which they are made set by the test."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest
from icalendar import Calendar, Event

STAMPS = ("DTSTAMP", "LAST-MODIFIED", "SEQUENCE")


def made_at(monkeypatch: pytest.MonkeyPatch, at: str) -> None:
    """Files are made at this instant, such as 2026-11-09T07:30+00:00."""
    instant = datetime.fromisoformat(at)
    monkeypatch.setattr("calendar_tui.commands.exporting.now", lambda: instant)


def read(path: Path) -> dict[str, Event]:
    """The events of a calendar file by UID, none twice, each whole."""
    calendar = Calendar.from_ical(path.read_bytes())
    events = calendar.walk("VEVENT")
    found = {str(e["UID"]): e for e in events}
    assert len(found) == len(events)
    assert not any(e.errors for e in events)
    return found


def where(events: dict[str, Event], test: Callable[[Event], bool]) -> list[Event]:
    return [e for e in events.values() if test(e)]


def named(events: dict[str, Event], words: str) -> Event:
    """The one event whose summary holds these words."""
    (found,) = where(events, lambda e: words in str(e["SUMMARY"]))
    return found


def content(event: Event) -> list[str]:
    """The lines of an event but for its stamps."""
    lines = event.to_ical().decode().replace("\r\n ", "").split("\r\n")
    return [line for line in lines if not line.startswith(STAMPS)]


def sequence(event: Event) -> int:
    return int(event["SEQUENCE"])

"""A calendar exported again: what changed has a higher SEQUENCE (RFC 5545 3.8.7.4), nothing comes twice, nothing lingers."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path

import pytest
from calendar_reading import content, made_at, read, sequence, where
from icalendar import Event
from small_season import ids, run

from tests.season_data import data_of

Events = dict[str, Event]


@pytest.fixture(autouse=True)
def _now(monkeypatch: pytest.MonkeyPatch) -> None:
    made_at(monkeypatch, "2026-11-09T08:00+00:00")


def export(season: Path, name: str = "out.ics") -> Events:
    ran = run("export", season, "--calendar", season.parent / name, "--yes")
    assert ran.status == 0, ran.said
    return read(season.parent / name)


def edit(season: Path, old: str, new: str) -> None:
    text = season.read_text(encoding="utf-8")
    assert old in text
    season.write_text(text.replace(old, new, 1), encoding="utf-8")


@pytest.mark.slow
def test_with_nothing_changed_the_file_stays_byte_for_byte(
    season: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    export(season)
    before = (season.parent / "out.ics").read_bytes()
    made_at(monkeypatch, "2026-11-10T08:00+00:00")
    export(season)
    assert (season.parent / "out.ics").read_bytes() == before


@pytest.mark.slow
def test_only_what_changed_is_newer(season: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first, task = export(season), ids(season)[3]
    run("done", season, task, "--yes")
    made_at(monkeypatch, "2099-11-10T08:00+00:00")
    second = export(season)
    assert set(first) == set(second)
    newer = [uid for uid in first if sequence(second[uid]) != sequence(first[uid])]
    assert newer == [uid for uid in first if content(second[uid]) != content(first[uid])]
    (uid,) = newer
    assert sequence(second[uid]) > sequence(first[uid])
    assert second[uid]["LAST-MODIFIED"].dt > first[uid]["LAST-MODIFIED"].dt
    assert f"task: {task}" in second[uid]["DESCRIPTION"]


def _tick(season: Path) -> None:
    tasks = data_of(season.read_text(encoding="utf-8"))["task"]
    assert run("done", season, next(t["id"] for t in tasks if t.get("state", "open") == "open")).status == 0


def _late(season: Path) -> None:
    assert run("plan", season, "A1", "transplant", "2026-11-12", "--yes").status == 0


def _undo(season: Path) -> None:
    assert run("undo", season).status == 0


def _by_hand(season: Path) -> None:
    edit(season, "target_h = 16.0", "target_h = 15.5")


def _task_by_hand(season: Path) -> None:
    text = season.read_text(encoding="utf-8")
    season.write_text(text.replace("Transplant by hand", "Transplant, by hand"), encoding="utf-8")


def _sooner(season: Path) -> None:
    assert run("plan", season, "B1", "sticking", "2026-11-24", "--yes").status == 0


@pytest.mark.slow
@pytest.mark.parametrize(
    "steps",
    [
        (_tick, _undo),
        (_late, _undo, _late),
        (_sooner, _by_hand, _late),
        (_tick, _task_by_hand, _late, _by_hand),
    ],
)
def test_without_an_earlier_file_the_history_tells_what_is_newer(season: Path, steps: tuple) -> None:
    """Each export goes to a new file. Of every two, all that differs has the higher SEQUENCE in the later."""
    _tick(season)  # a history is there
    made = [export(season, "0.ics")]
    for n, step in enumerate(steps, 1):
        step(season)
        made.append(export(season, f"{n}.ics"))
    for older, newer in pairwise(made):
        changed = [uid for uid in older.keys() & newer.keys() if content(older[uid]) != content(newer[uid])]
        assert all(sequence(newer[uid]) > sequence(older[uid]) for uid in changed)
        assert changed or older.keys() != newer.keys()
        assert all(sequence(newer[uid]) >= sequence(older[uid]) for uid in older.keys() & newer.keys())


@pytest.mark.slow
def test_shortening_the_history_takes_no_number_back(season: Path) -> None:
    _tick(season)
    _late(season)
    first = export(season, "1.ics")
    assert run("history", season, "--shorten-before", "2099-01-01", "--yes").status == 0
    second = export(season, "2.ics")
    assert all(sequence(second[uid]) >= sequence(first[uid]) for uid in first)


@pytest.mark.slow
def test_what_is_no_more_is_cancelled_and_comes_back_newer(season: Path) -> None:
    first = export(season)
    assert run("plan", season, "A1", "lights_off", "2027-01-20", "--yes").status == 0
    second = export(season)
    gone = [uid for uid, event in second.items() if event["STATUS"] == "CANCELLED"]
    assert set(first) <= set(second)
    assert any(str(second[uid]["SUMMARY"]).startswith("Lamps H1") for uid in gone)
    assert all(sequence(second[uid]) > sequence(first[uid]) for uid in gone)
    assert run("undo", season).status == 0
    third = export(season)
    assert all(
        third[uid]["STATUS"] != "CANCELLED" and sequence(third[uid]) > sequence(second[uid]) for uid in gone
    )


@pytest.mark.slow
def test_without_a_history_an_earlier_file_alone_tells(season: Path) -> None:
    season.with_name("near-fields.history.jsonl").unlink(missing_ok=True)
    first = export(season)
    _task_by_hand(season)
    assert run("tasks", season, "--dry-run").status == 0
    edit(season, "from = 2026-11-20", "from = 2026-11-19")
    second = export(season)
    changed = [uid for uid in first if content(first[uid]) != content(second[uid])]
    assert changed
    assert all(sequence(second[uid]) == sequence(first[uid]) + 1 for uid in changed)


@pytest.mark.slow
@pytest.mark.parametrize(
    "there", [b"", b"\xff\x00", b"BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n", b"BEGIN:VEVENT\r\n", b"a\nb: c"]
)
def test_a_file_of_anything_else_is_passed_over(season: Path, there: bytes) -> None:
    clean = export(season, "clean.ics")
    (season.parent / "out.ics").write_bytes(there)
    assert set(export(season)) == set(clean)


def test_another_seasons_file_cancels_nothing_here(season: Path) -> None:
    export(season)
    edit(season, "Near Fields 2026-27", "Far Fields 2026-27")
    other = export(season)
    assert not where(other, lambda e: e["STATUS"] == "CANCELLED")


@pytest.mark.slow
@pytest.mark.parametrize(
    ("old", "new"),
    [
        (r"SEQUENCE:\d+", "SEQUENCE:many"),
        (r"SEQUENCE:\d+", "SEQUENCE:-1"),
        (r"SEQUENCE:\d+", "SEQUENCE:2147483647"),
        (r"SEQUENCE:\d+", "SEQUENCE:1\r\nSEQUENCE:2"),
        (r"SEQUENCE:\d+", "X-A:1"),
        (r"LAST-MODIFIED:\w+", "LAST-MODIFIED:yesterday"),
        (r"LAST-MODIFIED:\w+", "LAST-MODIFIED;VALUE=DATE:20261109"),
        (r"(LAST-MODIFIED:\w+)", r"\1\r\n\1"),
        (r"UID:[\w-]{36}\r\nSEQ", "SEQ"),
        (r"(STATUS:\w+)", r"\1\r\n\1"),
        (r"DTSTART.*", "DTSTART:20261301"),
        (r"END:VEVENT\r\n", ""),
    ],
)
def test_an_earlier_file_edited_by_somebody_does_no_harm(season: Path, old: str, new: str) -> None:
    clean = export(season)
    target = season.parent / "out.ics"
    head, events = target.read_bytes().decode().split("BEGIN:VEVENT", 1)
    target.write_bytes((head + "BEGIN:VEVENT" + re.sub(old, new, events, count=2)).encode())
    again = export(season)
    assert set(clean) <= set(again)
    assert {again[uid]["STATUS"] for uid in clean} == {clean[uid]["STATUS"] for uid in clean}
    assert all(0 <= sequence(event) < 2**31 for event in again.values())

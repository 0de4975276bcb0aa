"""A season as a calendar file: what stands in it, read back by three readers that are not ours."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from calendar_reading import made_at, named, read, where
from icalendar import Calendar
from small_season import PLAIN, ids, refused_quietly, run

recurring_ical_events = pytest.importorskip("recurring_ical_events")
vobject = pytest.importorskip("vobject")

NOW = "2026-11-09T08:30-03:00"


@pytest.fixture(autouse=True)
def _now(monkeypatch: pytest.MonkeyPatch) -> None:
    made_at(monkeypatch, NOW)


def export(season: Path, *words: object, name: str = "out.ics") -> Path:
    target = season.parent / name
    ran = run("export", season, "--calendar", target, "--yes", *words)
    assert ran.status == 0, ran.said
    return target


def test_every_task_date_and_run_stands_in_it_once(season: Path) -> None:
    events = read(export(season))
    kinds = [str(e["CATEGORIES"].cats[0]) for e in events.values()]
    assert kinds.count("work") == len(ids(season))
    lamps = run("lamps", season, "--json").out
    assert kinds.count("lamps") == lamps.count('"dark_span_h"') > 50
    assert set(kinds) == {"work", "dates", "lamps"}


def test_a_whole_day_is_a_date_and_ends_with_the_next(season: Path) -> None:
    """RFC 5545 3.6.1 and its example of a multi-day event with VALUE=DATE: the end is not part of it."""
    text = export(season).read_bytes()
    assert b"DTSTART;VALUE=DATE:20261030\r\nDTEND;VALUE=DATE:20261031\r\n" in text
    event = named(read(season.parent / "out.ics"), "A1 transplant (planned)")
    assert event["DTSTART"].dt == date(2026, 10, 30)
    assert event["STATUS"] == "CONFIRMED"


def test_what_is_worked_out_is_tentative_and_what_happened_is_not(season: Path) -> None:
    events = read(export(season))
    assert named(events, "A1 flowering (projected)")["STATUS"] == "TENTATIVE"
    assert named(events, "A1 seeding (recorded)")["STATUS"] == "CONFIRMED"
    assert "range: " in named(events, "A1 flowering")["DESCRIPTION"]


def test_a_date_says_in_spanish_too_what_it_is_that_is_projected(season: Path) -> None:
    events = read(export(season, "--lang", "es"))
    assert [str(e["SUMMARY"]) for e in events.values() if "(fecha proyectada)" in str(e["SUMMARY"])]


def test_done_and_skipped_tasks_are_shown_as_such(season: Path) -> None:
    done, skipped, *_ = ids(season)
    run("done", season, done)
    text = season.read_text(encoding="utf-8")
    season.write_text(
        text.replace(f'id = "{skipped}"', f'id = "{skipped}", state = "skipped"'), encoding="utf-8"
    )
    events = read(export(season, "--alarm", "18:00-1d"))
    (one,) = where(events, lambda e: f"task: {done}" in str(e.get("DESCRIPTION")))
    (other,) = where(events, lambda e: f"task: {skipped}" in str(e.get("DESCRIPTION")))
    assert str(one["SUMMARY"]).startswith("done: ")
    assert one["STATUS"] == "CONFIRMED"
    assert "done Mon 9 Nov" in one["DESCRIPTION"]
    assert str(other["SUMMARY"]).startswith("skipped: ")
    assert other["STATUS"] == "CANCELLED"
    assert not one.subcomponents + other.subcomponents, "what is over is called out no more"


def test_text_comes_back_as_it_was(season: Path) -> None:
    """RFC 5545 3.3.11: its example has commas, line ends and a backslash to escape; 3.1: lines of 75 octets."""
    hard = r"Project XYZ Final Review, Conference Room - 3B; Come Prepared. \n C:\new 温室 «ø» \"q\" "
    text = season.read_text(encoding="utf-8").replace('id = "A1"\n', f'id = "A1"\nnote = "{hard}"\n', 1)
    text = text.replace(r"\n C:\new", r"\\n C:\\new")
    season.write_text(text, encoding="utf-8")
    made = export(season)
    said = str(named(read(made), "A1 seeding")["DESCRIPTION"])
    assert said.endswith(
        r'note: Project XYZ Final Review, Conference Room - 3B; Come Prepared. \n C:\new 温室 «ø» "q" '
    )
    lines = made.read_bytes().split(b"\r\n")
    assert max(map(len, lines)) <= 75
    assert not any(set(line) & set(range(0x20)) for line in lines)


def test_readers_of_others_take_it(season: Path) -> None:
    """vobject: strict parsing and validation; recurring_ical_events: the events of one day."""
    made = export(season, "--alarm", "07:00", "--lamp-alarm", "15")
    (calendar,) = vobject.readComponents(made.read_text(encoding="utf-8"), validate=True)
    assert {e.uid.value for e in calendar.vevent_list} == set(read(made))
    assert calendar.validate(raiseException=True)
    found = recurring_ical_events.of(Calendar.from_ical(made.read_bytes())).at(date(2026, 10, 30))
    assert "A1 H1: Transplant by hand" in {str(e["SUMMARY"]) for e in found}


def test_stamps_are_of_the_hour_that_is_handed_in(season: Path) -> None:
    """DTSTAMP and LAST-MODIFIED are UTC (RFC 5545 3.8.7.2, 3.8.7.3); no history: both are the hour it is made."""
    season.with_name("near-fields.history.jsonl").unlink(missing_ok=True)
    events = read(export(season))
    stamps = {(e["DTSTAMP"].dt, e["LAST-MODIFIED"].dt) for e in events.values()}
    assert stamps == {(datetime(2026, 11, 9, 11, 30, tzinfo=UTC),) * 2}


# --- alarms


@pytest.mark.parametrize(
    ("word", "trigger"),
    [("18:00-1d", timedelta(hours=-6)), ("07:00", timedelta(hours=7)), ("06:30-2d", timedelta(hours=-41.5))],
)
def test_an_alarm_is_at_its_time_of_the_clock(season: Path, word: str, trigger: timedelta) -> None:
    event = named(read(export(season, "--alarm", word)), "B1 sticking")
    (alarm,) = event.walk("VALARM")
    assert alarm["TRIGGER"].dt == trigger
    assert (alarm["ACTION"], str(alarm["DESCRIPTION"])) == ("DISPLAY", str(event["SUMMARY"]))


def test_lamps_have_an_alarm_of_their_own(season: Path) -> None:
    """RFC 5545 3.8.6.3: TRIGGER:-PT15M is 15 minutes before the start."""
    made = export(season, "--lamp-alarm", "15", "--only", "lamps")
    text = made.read_text(encoding="utf-8")
    assert text.count("TRIGGER:-PT15M") == text.count("BEGIN:VEVENT")
    assert "VALARM" not in export(season).read_text(encoding="utf-8")


# --- one file a role


def test_each_role_has_a_file_and_no_event_is_in_two(season: Path) -> None:
    export(season, "--by-role", name="farm.ics")
    files = {p.name: read(p) for p in season.parent.glob("*.ics")}
    assert set(files) == {"farm.ics", "farm-crew.ics", "farm-scout.ics"}
    uids = [uid for events in files.values() for uid in events]
    assert len(uids) == len(set(uids))
    assert set(uids) == set(read(export(season, name="all.ics")))
    assert all("who: scout" in e["DESCRIPTION"] for e in files["farm-scout.ics"].values())


def test_roles_whose_names_are_no_file_names(season: Path) -> None:
    text = (
        season.read_text(encoding="utf-8")
        .replace('who = "crew"', 'who = "../a/b"')
        .replace('who = "scout"', 'who = "A b"')
    )
    season.write_text(text.replace('what = "Harvest"\n', 'what = "Harvest"\nwho = "!!"\n'), encoding="utf-8")
    assert run("tasks", season, "--yes").status == 0
    export(season, "--by-role", name="farm.ics")
    assert {p.name for p in season.parent.glob("*.ics")} == {
        "farm.ics",
        "farm-a-b.ics",
        "farm-A-b-2.ics",
        "farm-role.ics",
    }


# --- refusals


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ((), "name what to export"),
        (("--calendar", "x.toml"), "ends in .ics"),
        (("--calendar", ".ics"), "ends in .ics"),
        (("--calendar", "nowhere/x.ics"), "there is no folder nowhere; make it first"),
        (("--calendar", "x.ics", "--alarm", "25:00"), "write 18:00-1d"),
        (("--calendar", "x.ics", "--alarm", "18:00-99d"), "up to 28 days"),
        (("--calendar", "x.ics", "--lamp-alarm", "-5"), "no number of minutes"),
        (("--calendar", "x.ics", "--only", "task"), 'did you mean "tasks"?'),
    ],
)
def test_what_cannot_be_done_is_said(
    season: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], says: str
) -> None:
    monkeypatch.chdir(season.parent)
    before = sorted(season.parent.iterdir())
    ran = run("export", season, *words, "--yes")
    assert ran.status == 2
    assert says in ran.err
    refused_quietly(ran.said)
    assert sorted(season.parent.iterdir()) == before


@pytest.mark.slow
def test_nothing_is_written_over_unasked(season: Path) -> None:
    target = season.parent / "out.ics"
    target.write_text("mine", encoding="utf-8")
    ran = run("export", season, "--calendar", target)
    assert (ran.status, target.read_text(encoding="utf-8")) == (2, "mine")
    assert f"{target} is there already" in ran.out
    assert run("export", season, "--calendar", target, typed="no\n").status == 2
    assert target.read_text(encoding="utf-8") == "mine"
    assert run("export", season, "--calendar", target, typed="yes\n").status == 0
    assert read(target)
    assert [p.name for p in season.parent.iterdir() if p.name.endswith(".new")] == []


def test_the_files_mode_and_the_link_to_it_stay(season: Path) -> None:
    real = season.parent / "real.ics"
    real.write_text("x", encoding="utf-8")
    real.chmod(0o640)
    link = season.parent / "link.ics"
    link.symlink_to(real)
    assert run("export", season, "--calendar", link, "--yes").status == 0
    assert link.is_symlink()
    assert real.stat().st_mode & 0o777 == 0o640
    assert read(real)


def test_a_season_with_nothing_in_it(tmp_path: Path) -> None:
    path = tmp_path / "bare.toml"
    path.write_text(PLAIN.split("[[cohort]]")[0], encoding="utf-8")
    ran = run("export", path, "--calendar", tmp_path / "x.ics")
    assert ran.status == 2
    assert "nothing to put into a calendar" in ran.err


def test_a_task_of_many_cohorts_names_them_all_and_its_hour(season: Path) -> None:
    text = season.read_text(encoding="utf-8")
    task = ids(season)[0]
    cohorts = ["A1", "B1", "D1", "A2", "A3"]
    more = "".join(
        f'[[cohort]]\nid = "{name}"\nvariety = "amber"\nstart = "seed"\nplace = "F1"\n'
        "planned = { seeding = 2026-10-20 }\n\n"
        for name in cohorts[3:]
    )
    text = text.replace("[[chore]]", more + "[[chore]]", 1)
    text = text.replace(
        'stage = "transplant"\nwho', 'stage = "transplant"\ntime = "21:30"\nasks = "stand"\nwho', 1
    )
    named = f'id = "{task}", cohorts = {json.dumps(cohorts)}, amount = "3 bags", fact = "98 %"'
    season.write_text(text.replace(f'id = "{task}"', named, 1), encoding="utf-8")
    (event,) = where(read(export(season)), lambda e: f"task: {task}" in str(e.get("DESCRIPTION")))
    assert "A1 B1 D1 A2 +1" in event["SUMMARY"]
    assert ": 21:30 Transplant by hand" in event["SUMMARY"]
    for told in ("cohorts: A1, B1, D1, A2, A3", "amount: 3 bags", "found: 98 %", "hours: ~"):
        assert told in event["DESCRIPTION"], told
    assert "write down" not in event["DESCRIPTION"]

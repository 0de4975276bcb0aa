"""Recording nights without lamps: what moves is shown first, then saved, and undone to the byte."""

from __future__ import annotations

import json
import tomllib
from datetime import date
from pathlib import Path

import pytest
from small_season import run

from calendar_tui.season.wording import day_text

TODAY = "2027-02-20"
# The short days under 14 h that A1's lamps keep off it: from late January to lights off on 10 February.
LONG = ("H1", "outage", "2027-01-28", "2027-02-09")


def outages(season: Path) -> list[dict[str, object]]:
    found: list[dict[str, object]] = tomllib.loads(season.read_text())["outage"]
    return found


def test_a_dry_run_shows_what_moves_and_writes_nothing(season: Path) -> None:
    before = season.read_bytes()
    ran = run("record", season, *LONG, "--dry-run", "--json", today=TODAY)
    assert ran.status == 0, ran.said
    (answer,) = json.loads(ran.out)["answers"]
    assert answer["saved"] is False
    assert answer["lights_off"] is None
    moved = {(m["cohort"], m["stage"]): (m["old"]["likely"], m["new"]["likely"]) for m in answer["stages"]}
    old, new = moved["A1", "trigger"]
    assert old == "2027-02-10"
    assert "2027-01-28" <= new < old
    assert {cohort for cohort, _ in moved} == {"A1"}
    assert any(t["what"] == "Harvest" and t["new"] < t["old"] for t in answer["tasks"])
    assert any("13 nights without the lamps of H1" in text for text in answer["clashes"])
    assert season.read_bytes() == before


def test_the_verdict_stands_first_and_dates_that_stay_are_one_line(season: Path) -> None:
    ran = run("record", season, "H1", "outage", "2027-02-08", "2027-02-09", "--dry-run", today="2027-02-10")
    lines = ran.out.splitlines()
    assert lines[0] == "H1 outage recorded Mon 8 Feb 2027 to Tue 9 Feb 2027 (2 nights)"
    assert lines[1].startswith("  A1: ")
    assert "no date of a cohort moves" not in ran.out
    quiet = run("record", season, "H1", "outage", "2027-01-28", "2027-01-29", "--dry-run", today="2027-01-30")
    lines = quiet.out.splitlines()
    assert lines[1].startswith("  A1: relight tonight: no harm done; ")
    assert lines[3] == "  no date of a cohort moves"
    row = run("record", season, *LONG, "--dry-run", "--json", today=TODAY).out
    (answer,) = json.loads(row)["answers"]
    assert answer["verdicts"][0].startswith(
        "A1: relight for a night, or let it flower (no lit night follows): flowering may have started (6 of 50 futures; "
    )


def test_yes_saves_the_nights_and_the_tasks_and_undo_gives_every_byte_back(season: Path) -> None:
    before = season.read_bytes()
    ran = run("record", season, *LONG, "--yes", today=TODAY)
    assert ran.status == 0, ran.said
    assert "\nSaved: H1 outage recorded Thu 28 Jan 2027 to Tue 9 Feb 2027 (13 nights)" in ran.out
    assert outages(season)[-1] == {"place": "H1", "from": date(2027, 1, 28), "to": date(2027, 2, 9)}
    assert run("tasks", season, today=TODAY).out == "The saved tasks agree with the plan.\n"
    assert run("undo", season, today=TODAY).status == 0
    assert season.read_bytes() == before


def test_a_question_is_asked_and_no_answer_saves_nothing(season: Path) -> None:
    before = season.read_bytes()
    ran = run("record", season, *LONG, typed="n\n", today=TODAY)
    assert ran.out.endswith("Nothing saved.\n")
    assert season.read_bytes() == before


@pytest.mark.parametrize(
    ("typed", "first", "last"),
    [
        (("28 jan",), date(2027, 1, 28), date(2027, 1, 28)),
        (("28", "jan"), date(2027, 1, 28), date(2027, 1, 28)),
        (("28", "jan", "30", "jan"), date(2027, 1, 28), date(2027, 1, 30)),
        (("28 jan", "+2"), date(2027, 1, 28), date(2027, 1, 30)),
        (("2027-01-05", "2027-01-07"), date(2027, 1, 5), date(2027, 1, 7)),
        (("fri", "29", "jan"), date(2027, 1, 29), date(2027, 1, 29)),
        (("yesterday", "today"), date(2027, 2, 19), date(2027, 2, 20)),
    ],
)
def test_nights_are_typed_as_other_dates_are(
    season: Path, typed: tuple[str, ...], first: date, last: date
) -> None:
    ran = run("record", season, "h1", "Outage", *typed, "--yes", today=TODAY)
    assert ran.status == 0, ran.said
    assert outages(season)[-1] == {"place": "H1", "from": first, "to": last}


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("F1", "outage", "2027-01-28"), "F1 has no lamps to fail. Places with lamps: H1"),
        (("H9", "outage", "2027-01-28"), '"H9" is not a place of this season'),
        (("H1", "outage"), "give the nights"),
        (("H1", "outage", "soon"), "-3 (nights ago)"),
        (("H1", "outage", "2027-01-28", "soon"), "+2 (nights on)"),
        (("H1", "outage", "2027-01-28", "2027-01-27"), "is before the first"),
        (("H1", "outage", "2026-08-31", "2026-09-02"), "outside the season"),
        (("H1", "outage", "2027-02-20", "2027-02-21"), "is after today, Sat 20 Feb 2027"),
        (("H1", "outage", "2026-11-21", "2026-11-25"), "overlap or touch"),
        (("H1", "outage", "2026-11-22"), "already has an outage from Fri 20 Nov 2026 to Sat 21 Nov 2026"),
        (("H1", "outage", "2026-11-19"), "overlap or touch"),
        (("H1", "outage", "2027-01-28", "--lights-off", "hold"), "--lights-off does not apply"),
        (("H1", "outage", "2027-01-28", "--json"), "--json asks nothing"),
    ],
)
def test_nights_that_cannot_be_are_refused_with_a_sentence(
    season: Path, words: tuple[str, ...], said: str
) -> None:
    before = season.read_bytes()
    yes = () if "--json" in words else ("--yes",)
    ran = run("record", season, *words, *yes, today=TODAY)
    assert ran.status == 2
    assert said in ran.err
    assert season.read_bytes() == before


def test_the_second_word_tells_a_place_from_a_cohort_of_its_name(season: Path) -> None:
    text = season.read_text().replace('id = "B1"', 'id = "H1"').replace('cohort = "B1"', 'cohort = "H1"')
    cohort = text.index('[[cohort]]\nid = "H1"')
    assert cohort > 0
    season.write_text(text)
    assert run("record", season, *LONG, "--yes", today=TODAY).status == 0
    assert run("record", season, "H1", "sticking", "2026-11-21", "--yes", today=TODAY).status == 0
    data = tomllib.loads(season.read_text())
    assert data["outage"][-1]["place"] == "H1"
    assert next(c for c in data["cohort"] if c["id"] == "H1")["recorded"] == {"sticking": date(2026, 11, 21)}


def test_why_names_both_dates_once_a_failure_may_have_started_flowering(season: Path) -> None:
    text = season.read_text().replace("lights_off = 2027-02-10", "lights_off = 2027-04-20")
    season.write_text(text.replace("inductive_days = [7, 8, 10]", "inductive_days = 8"))
    nights = ("H1", "outage", "2027-03-10", "2027-03-17")
    assert run("record", season, *nights, "--yes", today="2027-03-20").status == 0
    out = run("why", season, "A1", "induced", today="2027-03-20").out
    (line,) = (line for line in out.splitlines() if line.startswith("  Induced about "))
    row = json.loads(run("why", season, "A1", "induced", "--json", today="2027-03-20").out)
    one, other = row["outcomes"]
    (outage,) = row["outages"]
    assert (outage["place"], outage["from"], outage["to"]) == ("H1", "2027-03-10", "2027-03-17")
    assert (
        f"Nights without the lamps of H1, 10 Mar to 17 Mar (8 nights): flowering has started in {outage['futures']} of 50 "
        "futures; the likely date goes by the likely figures alone."
    ) in " ".join(out.split())
    assert "Nights without" not in run("why", season, "A1", "transplant", today="2027-03-20").out
    assert one["futures"] + other["futures"] == 50
    days = [day_text(date.fromisoformat(each["date"])) for each in (one, other)]
    assert line == (
        f"  Induced about {days[0]} in {one['futures']} of 50 futures, about {days[1]} in {other['futures']}."
    )
    assert json.loads(run("why", season, "D1", "flowering", "--json").out)["outcomes"] == []
    assert json.loads(run("why", season, "B1", "induced", "--json").out)["outages"] == []


def test_cohorts_alike_in_the_dark_house_have_one_line_between_them(season: Path) -> None:
    text = season.read_text()
    begin = text.index('[[cohort]]\nid = "A1"')
    end = text.index("[[", begin + 2)
    twin = text[begin:end].replace('id = "A1"', 'id = "A2"')
    season.write_text(text[:end] + twin + text[end:])
    shown = run("record", season, *LONG[:2], "2027-01-28", "--dry-run", today="2027-01-29").out
    assert shown.splitlines()[1].startswith("  A1 A2: relight tonight: no harm done; ")
    assert shown.count("relight tonight") == 1
    row = run("record", season, *LONG[:2], "2027-01-28", "--dry-run", "--json", today="2027-01-29").out
    (answer,) = json.loads(row)["answers"]
    assert [verdict.split(":")[0] for verdict in answer["verdicts"]] == ["A1", "A2"]


def test_a_cohort_that_the_lamps_of_others_held_back_is_looked_at_too(tmp_path: Path) -> None:
    """B1 waits for short days beside A3, for which the house is lit: twelve nights without lamps may have started both."""
    path = tmp_path / "two-rivers.toml"
    path.write_bytes((Path(__file__).parents[2] / "seasons" / "two-rivers.toml").read_bytes())
    today = "2027-01-22"
    ran = run("record", path, "H3", "outage", "2027-01-10", "2027-01-21", "--yes", today=today)
    told = " ".join(ran.out.split())
    assert "B1: asked for no lamps on these nights, but was held back by them" in told
    assert (
        "look at the tips from 19 Jan, then twice a week; lamps that are lit again hold it back again" in told
    )
    dates = " ".join(run("dates", path, "B1", today=today).out.split())
    assert "! B1: look at the tips from 19 Jan, then twice a week; flowering may have started" in dates


def test_tonight_is_asked_about_and_enter_saves_nothing(season: Path) -> None:
    before = season.read_bytes()
    ran = run("record", season, "H1", "outage", "today", today="2027-02-09", typed="\n")
    assert "the night of Tue 9 Feb 2027 is tonight and still to come" in " ".join(ran.out.split())
    assert "Save all the same? [y/N]" in ran.out
    assert season.read_bytes() == before


@pytest.mark.parametrize(
    "words",
    [
        ("add", "outage", "place", "H1", "from", "2027-02-09", "to", "2027-02-11"),
        ("set", "outage", "H1", "to", "2027-02-11"),
    ],
)
def test_nights_to_come_are_refused_by_add_and_set_as_by_record(season: Path, words: tuple[str, ...]) -> None:
    before = season.read_bytes()
    ran = run(words[0], season, *words[1:], "--yes", today="2027-02-10")
    assert ran.status == 2
    assert "11 Feb 2027 is after today, 10 Feb 2027" in " ".join(ran.said.split())
    assert season.read_bytes() == before

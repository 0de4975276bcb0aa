"""How one date is worked out, and the chart on paper."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from small_season import run

from calendar_tui.commands.table import COMMANDS
from calendar_tui.planning.arranging import WAYS
from calendar_tui.planning.why import widths
from calendar_tui.season.wording import WEEKDAYS


def test_why_shows_what_a_date_rests_on_and_the_count_day_by_day(season: Path) -> None:
    out = run("why", season, "A1", "harvest").out
    stages = [line.split()[0] for line in out.splitlines() if line.startswith("  ") and line[2:3].isalpha()]
    assert stages[:3] == ["seeding", "emergence", "transplant"]
    assert "harvest" in stages
    days = [line for line in out.splitlines() if line.lstrip()[:3] in WEEKDAYS]
    # Five lit days before the trigger, at 16 h of day and a count of 0; the last day brings the count to 8 or more.
    assert all("A1" in line and "16 h 00" in line and line.endswith(" 0.00") for line in days[:5])
    assert float(days[-2].split()[-1]) < 8 <= float(days[-1].split()[-1])


def test_why_as_json(season: Path) -> None:
    found = json.loads(run("why", season, "A1", "trigger", "--json").out)
    assert (found["cohort"], found["stage"]) == ("A1", "trigger")
    assert set(found["days"][0]) == {
        "date",
        "place",
        "natural_h",
        "lit_for",
        "felt_h",
        "covered",
        "adds",
        "count",
    }
    assert found["rests_on"][-1]["stage"] == "trigger"


def test_why_tells_which_figures_make_the_range_wide_and_what_would_narrow_it(season: Path) -> None:
    out = " ".join(run("why", season, "A1", "harvest").out.split())
    width = json.loads(run("why", season, "A1", "harvest", "--json").out)["width"]
    shares = ", ".join(f"{s['figure']} {round(100 * s['share'])} %" for s in width["shares"])
    assert f"The range of {width['days']} d: {shares}" in out
    assert width["rest"] + sum(s["share"] for s in width["shares"]) == pytest.approx(1.0, abs=0.02)
    record = width["record"]
    assert record["days_left"] < width["days"]
    assert f"Record {record['stage']} when it comes: about {record['days_left']} d are left." in out


def test_what_makes_a_range_wide_is_worked_out_for_that_question_alone(
    season: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = list[str]()
    kept = widths.many_futures
    monkeypatch.setattr(widths, "many_futures", lambda plan, name: asked.append(name) or kept(plan, name))
    for words in (("dates",), ("chart",), ("load",), ("check",), ("week",)):
        run(words[0], season)
    assert asked == []
    run("why", season, "A1", "harvest")
    assert asked == ["A1"]


def test_why_of_a_certain_date_explains_no_range(season: Path) -> None:
    assert json.loads(run("why", season, "A1", "seeding", "--json").out)["width"] is None
    assert "The range of" not in run("why", season, "A1", "seeding").out


def test_why_takes_a_stage_of_two_words_as_record_does(season: Path) -> None:
    whole = run("why", season, "A1", "lights_off")
    assert whole.status == 0
    for words in (("lights", "off"), ("lights off",), ("lights-off",)):
        assert run("why", season, "A1", *words) == whole
    ran = run("why", season, "A1", "lights", "of")
    assert (ran.status, ran.err.split(";")[0]) == (2, '"lights of" is not a stage')


def test_why_of_a_day_neutral_flowering_counts_no_days(season: Path) -> None:
    ran = run("why", season, "D1", "flowering", "--json")
    assert json.loads(ran.out)["days"] == []


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("A1",), "give a COHORT and a STAGE"),
        (("Z9", "harvest"), "not a cohort"),
        (("A1", "bloom"), "not a stage"),
        (("D1", "trigger"), "no date for trigger"),
    ],
)
def test_why_needs_a_cohort_and_a_stage_it_has(season: Path, words: tuple[str, ...], says: str) -> None:
    ran = run("why", season, *words)
    assert ran.status == 2
    assert says in ran.err


def test_the_chart_has_a_row_for_every_cohort_and_fits_80_columns(season: Path) -> None:
    lines = run("chart", season, "--ascii").out.splitlines()
    assert lines[0].startswith("Near Fields 2026-27")
    assert {word.strip("!") for line in lines for word in line[:16].split()} >= {"A1", "B1", "D1"}
    assert any(line.rstrip().endswith("harvest next") for line in lines)
    assert max(map(len, lines)) <= 80
    assert all(line.isascii() for line in lines)


def test_the_chart_is_arranged_and_filtered_as_on_screen(season: Path) -> None:
    lines = run("chart", season, "--by", "variety", "--only", "amber").out.splitlines()
    named = [line.split()[:2] for line in lines if line.startswith("amber")]
    assert len(named) == 1, "one group, named once"
    assert not any("dayfree" in line for line in lines)
    refused = run("chart", season, "--only", "zebra")
    assert refused.status == 2
    assert 'no cohort has "zebra"' in refused.err


def test_the_ways_to_arrange_are_those_of_the_screen() -> None:
    assert COMMANDS["chart"].flags["--by"]["choices"] == tuple(WAYS)

"""The chores told, and one changed, added or taken away: shown first, saved when asked, undone to the byte."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from small_season import run

from tests.season_data import data_of


def _chore(season: Path, name: str) -> dict[str, object]:
    return next(c for c in data_of(season.read_text())["chore"] if c["id"] == name)


def test_each_chore_is_told_with_its_stage_hours_and_tasks(season: Path) -> None:
    ran = run("chores", season)
    assert ran.status == 0, ran.said
    said = " ".join(ran.out.split())
    made = sum(t["chore"] == "scout" for t in data_of(season.read_text())["task"])
    assert (
        f"scout Scout pests {made} tasks; transplant +7 d, every week until harvest; scout; ~0.5 h a cohort;"
        in said
    )
    assert "transplant Transplant by hand 1 task; transplant; crew; ~0.85 h per 100 plants;" in said
    assert "harvest Harvest 2 tasks; harvest; only seed" in said
    assert said.index("Transplant by hand") < said.index("Scout pests") < said.index("Harvest")
    assert max(map(len, ran.out.splitlines())) <= 80


def test_one_in_full_with_its_caution_and_one_field(season: Path) -> None:
    out = run("chores", season, "TRANSPLANT").out
    assert "! Heat: water and shade." in out
    rows = {
        line.split()[0]: " ".join(line.split()[1:])
        for line in reversed(out.splitlines())
        if line.startswith("  ")
    }
    assert rows["hours"] == "0.85 person-hours set, a guess"
    assert rows["active"] == "yes default"
    assert "Scout" not in out
    out = run("chores", season, "scout", "until-offset-d").out
    assert "A value: write a whole number from -400 to 400." in out
    assert out.startswith("scout until offset  0 days; moves the end of a repeat from its stage; default")


def test_as_json(season: Path) -> None:
    rows = json.loads(run("chores", season, "--json").out)
    assert [r["id"] for r in rows] == ["transplant", "scout", "harvest"]
    assert (rows[0]["per"], rows[0]["guess"], rows[0]["tasks"], rows[2]["starts"]) == (
        "100 plants",
        True,
        1,
        ["seed"],
    )
    (row,) = json.loads(run("chores", season, "scout", "repeat", "--json").out)
    assert (row["value"], row["unit"], row["own"]) == ("FREQ=WEEKLY", "RFC 5545 rule", True)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("scout", "offset_d", "-3", "--mark", "own"), "chore scout offset 7 -> -3, marked own"),
        (("scout", "repeat", "FREQ=DAILY;INTERVAL=3", "until", "flowering", "--mark", "own"), "until harvest -> flowering"),
        (("scout", "active", "false"), "falls away"),
        (("--remove", "scout"), "chore scout taken out"),
        (("--add", "mulch", "--what", "Mulch", "--stage", "harvest", "--offset-d", "-3", "--who", "crew"), "chore mulch added: what Mulch, stage harvest, offset -3, who crew"),
    ],
)  # fmt: skip
def test_a_change_is_shown_saved_with_its_tasks_and_undone_to_the_byte(
    season: Path, words: tuple[str, ...], says: str
) -> None:
    before = season.read_bytes()
    looked = run("chores", season, *words, "--dry-run")
    assert looked.status == 0, looked.said
    assert looked.out.endswith("Nothing saved.\n")
    assert says in " ".join(looked.out.split())
    assert season.read_bytes() == before
    ran = run("chores", season, *words, typed="y\n")
    assert "Saved: chore " in ran.out, ran.said
    assert run("check", season).status == 0
    assert run("tasks", season).out == "The saved tasks agree with the plan.\n"
    assert run("undo", season).status == 0
    assert season.read_bytes() == before


def test_a_new_chore_stands_in_the_file_with_what_was_said_and_no_more(season: Path) -> None:
    words = ("--add", "mulch", "--what", "Mulch", "--stage", "harvest", "--mark", "own", "--hours", "2")
    assert run("chores", season, *words, "--yes").status == 0
    assert _chore(season, "mulch") == {
        "id": "mulch",
        "what": "Mulch",
        "stage": "harvest",
        "hours": 2,
        "mark": "own",
    }
    assert "mulch" in run("chores", season).out


def test_hours_without_a_mark_are_a_guess_and_say_so(season: Path) -> None:
    run("chores", season, "scout", "mark", "read", "--yes")
    ran = run("chores", season, "scout", "hours", "0.75", "--yes")
    assert "no mark is given with the new hours: marked placeholder, a guess" in " ".join(ran.out.split())
    assert _chore(season, "scout")["hours_mark"] == "placeholder"


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("scoot",), 'is not a chore of this season; did you mean "scout"?'),
        (("scout", "ofset_d"), 'is not a field of a chore; did you mean "offset"?'),
        (("scout", "id", "look"), '"id" is not a field of a chore'),
        (("scout", "hours", "-1", "--yes"), 'hours "-1": it must be from 0 to 10000'),
        (("scout", "until", "none", "--yes"), "repeat and until go together"),
        (
            ("harvest", "repeat", "FREQ=DAILY", "--yes"),
            "repeat and until go together; a repeat ends at the stage in until",
        ),
        (("scout", "hours", "2"), "nothing saved: no answer; add --yes"),
        (("scout", "hours", "2", "--json"), "--json asks nothing"),
        (("--mark", "own"), "give ID FIELD VALUE, or --add"),
        (
            ("scout", "--what", "Look"),
            "--what goes with --add; to change a chore that is there: ID what VALUE",
        ),
        (("scout", "--remove", "scout"), "one at a time"),
        (("--remove", "scoot", "--yes"), 'did you mean "scout"?'),
        (
            ("--add", "mulch", "--yes"),
            "the new chore mulch has no what and no stage; add --what TEXT, the work, in the crew's words and --stage STAGE, ",
        ),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_written(
    season: Path, words: tuple[str, ...], says: str
) -> None:
    before = season.read_bytes()
    ran = run("chores", season, *words)
    assert ran.status == 2, ran.said
    assert says in ran.err
    assert season.read_bytes() == before


def test_a_chore_that_comes_once_a_place_is_added_and_told_as_that(season: Path) -> None:
    words = ("--add", "lift", "--what", "Lift the mulch", "--stage", "harvest", "--offset-d", "10")
    ran = run("chores", season, *words, "--together", "place", "--once", "last", "--yes")
    assert ran.status == 0, ran.err
    assert "one task for the place, with its last cohort" in " ".join(
        run("chores", season, "lift").out.split()
    )
    made = [t["cohorts"] for t in data_of(season.read_text())["task"] if t["chore"] == "lift"]
    assert sorted(made) == [["A1"], ["B1", "D1"]]
    assert "once is for work of several cohorts" in run("chores", season, "scout", "once", "last").err

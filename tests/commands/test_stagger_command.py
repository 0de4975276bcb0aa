"""The command that staggers: what it prints, keeps, sets side by side, accepts and refuses, and what it leaves alone."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from small_season import PLAIN, run

from tests.season_data import data_of

needs_solver = pytest.mark.needs("ortools")

WISH = ("--variety", "amber", "--place", "H1", "F1", "--cohorts", "2", "--first-harvest", "2027-05-01")
MORE = ("--every", "14d", "--plants", "40", "--spacing", "1.5x0.6", "--nursery", "N1")


@pytest.fixture
def season(tmp_path: Path) -> Path:
    path = tmp_path / "near.toml"
    path.write_text(PLAIN, encoding="utf-8")
    return path


@pytest.mark.slow
@needs_solver
def test_a_proposal_is_printed_in_eighty_columns_and_nothing_is_written(season: Path) -> None:
    ran = run("stagger", season, *WISH, *MORE)
    assert ran.status == 0, ran.said
    lines = ran.out.splitlines()
    assert all(len(line) <= 80 for line in lines)
    assert sum(line.startswith(("A2 ", "A3 ")) for line in lines) == 2
    assert "Nothing saved. To keep it: --draft NAME." in lines
    assert sum(line.startswith("Harvest ranges: A2 ") for line in lines) == 1
    assert season.read_text(encoding="utf-8") == PLAIN
    assert list(season.parent.iterdir()) == [season]


@pytest.mark.slow
@needs_solver
def test_json_has_both_gaps_and_the_lamps(season: Path) -> None:
    found = json.loads(run("stagger", season, *WISH, *MORE, "--json").out)
    assert found["saved"] is False
    first, second = found["cohorts"]
    assert first["planting_gap_d"] is None
    assert second["harvest_gap_d"] == found["measures"]["harvest_spread_d"]
    assert first["harvest_earliest"] <= first["harvest"] <= first["harvest_latest"]
    assert first["harvest_gap_least_d"] is None
    assert second["harvest_gap_least_d"] <= second["harvest_gap_d"] <= second["harvest_gap_most_d"]
    lit = [c for c in found["cohorts"] if c["lights_off"]]
    assert all(c["lamp_kwh"] == pytest.approx(0.9 * c["lamp_h"], abs=0.1) for c in lit)


@pytest.mark.slow
@needs_solver
def test_drafts_stand_beside_the_plan_side_by_side_and_one_undo_takes_an_accepted_one_back(
    season: Path,
) -> None:
    assert run("stagger", season, *WISH, *MORE, "--draft", "even").status == 0
    assert run("stagger", season, *WISH, "--every", "3", "weeks", *MORE[2:], "--draft", "wide").status == 0
    kept = season.read_text(encoding="utf-8")
    assert kept.startswith(PLAIN.rstrip("\n"))
    assert [d["id"] for d in data_of(kept)["draft"]] == ["even", "wide"]
    dates = run("dates", season, "--json").out
    side_by_side = run("stagger", season, "--compare").out.splitlines()
    assert side_by_side[0].split() == ["even", "wide"]
    spread = next(line for line in side_by_side if line.startswith("harvest spread"))
    assert spread.count("days") == 2
    look = run("stagger", season, "--accept", "even", "--dry-run")
    assert "2 cohorts and" in look.out
    assert "A2: amber in " in look.out
    assert season.read_text(encoding="utf-8") == kept
    ran = run("stagger", season, "--accept", "EVEN", "--over-limits", "--yes")
    assert "Saved: draft even accepted: A2 to A3" in ran.out
    data = data_of(season.read_text(encoding="utf-8"))
    assert [d["id"] for d in data["draft"]] == ["wide"]
    assert {"A2", "A3"} <= {c["id"] for c in data["cohort"]}
    assert {t["chore"] for t in data["task"] if t.get("cohort") == "A2"}
    assert run("undo", season).status == 0
    assert season.read_text(encoding="utf-8") == kept
    assert run("dates", season, "--json").out == dates


@pytest.mark.slow
@needs_solver
def test_a_draft_of_the_same_name_takes_its_place_and_can_be_taken_out(season: Path) -> None:
    run("stagger", season, *WISH, *MORE, "--draft", "even")
    run("stagger", season, *WISH, "--every", "3w", *MORE[2:], "--draft", "even")
    (draft,) = data_of(season.read_text(encoding="utf-8"))["draft"]
    assert "every 21 days" in draft["wish"]
    assert run("stagger", season, "--drop", "even").status == 0
    assert "draft" not in data_of(season.read_text(encoding="utf-8"))


@pytest.mark.slow
@needs_solver
def test_a_draft_that_no_longer_fits_says_so_and_is_not_accepted(season: Path) -> None:
    run("stagger", season, *WISH, *MORE, "--draft", "even")
    draft = season.read_text(encoding="utf-8").split("[[draft]]")
    text = "[[draft]]".join((draft[0], draft[1].replace('variety = "amber"', 'variety = "gone"')))
    season.write_text(text, encoding="utf-8")
    assert '"gone" is not a variety' in run("stagger", season, "--compare").out
    ran = run("stagger", season, "--accept", "even", "--yes")
    assert ran.status == 2
    assert season.read_text(encoding="utf-8") == text


REFUSED = [
    ((), "give --variety and --place"),
    (("--variety", "amber"), "give --variety and --place"),
    ((*WISH[:2], "--place", "H9", *WISH[5:], *MORE), '"H9" is not a place'),
    ((*WISH, *MORE, "--draft", "a b"), "an id has 1 to 24 letters"),
    ((*WISH, "--every", "soon"), "no time between harvests"),
    ((*WISH, *MORE, "--spacing", "wide"), "is no spacing"),
    ((*WISH, *MORE, "--seconds", "0"), "is no time to search"),
    ((*WISH, *MORE, "--growth", "0"), "0 days of growth cannot be"),
    (("--accept", "even"), "is not a draft of this season; there is none yet"),
    (("--compare",), "no drafts yet"),
    (("--compare", "--drop", "x"), "one at a time"),
    ((*WISH, *MORE, "--over-limits"), "--over-limits does not apply: it goes with --accept"),
    ((*WISH[:-1], "2030-01-01", *MORE), "is outside the season"),
]


@pytest.mark.slow
@needs_solver
@pytest.mark.parametrize(("words", "says"), REFUSED)
def test_what_cannot_be_is_refused_and_nothing_is_written(
    season: Path, words: tuple[str, ...], says: str
) -> None:
    ran = run("stagger", season, *words)
    assert ran.status == 2
    assert says in ran.said
    assert season.read_text(encoding="utf-8") == PLAIN


def test_no_other_command_imports_the_solver() -> None:
    code = "import sys, calendar_tui.cli, calendar_tui.planning.staggering.proposing; print('ortools' in sys.modules)"
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60
    )
    assert done.stdout.strip() == "False"


def test_without_the_solver_it_says_how_to_get_it(season: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "ortools.sat.python", None)
    for words in ((*WISH, *MORE), (), ("--variety", "amber")):
        ran = run("stagger", season, *words)
        assert ran.status == 2
        assert "pip install -e '.[solve]' in the folder of the program" in ran.said, (
            "before anything else is asked for"
        )


@pytest.mark.slow
@needs_solver
def test_frost_dates_are_printed_with_what_they_mean(season: Path) -> None:
    """NOAA: 10 % is the cautious date in spring and in autumn; sources flip it, so the sentence is printed."""
    text = PLAIN.replace(
        "longitude = -56.7\n", "longitude = -56.7\nlast_frost = 2026-09-20\nfirst_frost = 2027-05-10\n"
    )
    season.write_text(text, encoding="utf-8")
    said = " ".join(run("stagger", season, *WISH, *MORE).out.split())
    assert "after the spring date frost still comes in 10 % of years" in said
    assert "before the autumn date it has already come in 10 % of years" in said
    assert all(row["place"] != "F1" or row["harvest"] < "2027-05-10" for row in _rows(season))
    assert "frost" not in run("stagger", _plain(season), *WISH, *MORE).out


def _rows(season: Path) -> list[dict[str, str]]:
    rows: list[dict[str, str]] = json.loads(run("stagger", season, *WISH, *MORE, "--json").out)["cohorts"]
    return rows


def _plain(season: Path) -> Path:
    season.write_text(PLAIN, encoding="utf-8")
    return season


@pytest.mark.slow
@needs_solver
def test_cohorts_that_have_no_room_are_told_first_and_cannot_be_made_the_plan(season: Path) -> None:
    """400 plants at 0.9 m2 each need 360 m2."""
    field = PLAIN.replace('id = "F1"\nkind = "field"\n', 'id = "F1"\nkind = "field"\narea_m2 = 30\n')
    assert field != PLAIN
    season.write_text(field, encoding="utf-8")
    wish = ("--variety", "amber", "--place", "F1", "--cohorts", "1", "--first-harvest", "2027-05-01")
    many = ("--plants", "400", "--spacing", "1.5x0.6", "--nursery", "N1", "--draft", "full")
    shown = run("stagger", season, *wish, *many)
    assert shown.status == 0, shown.said
    first = " ".join(shown.out.split())
    assert "! over a hard limit: room in F1, " in first
    assert "33 plants a cohort fit there that day" in first, "30 m2 hold 33 at 0.9 m2 each"
    assert "--accept full --over-limits" in first
    assert first.index("over a hard limit") < first.index("cohort place")
    kept = season.read_text(encoding="utf-8")
    ran = run("stagger", season, "--accept", "full", "--yes")
    assert ran.status == 2
    told = " ".join(ran.err.split())
    assert "nothing saved: this draft is over a hard limit" in told
    assert "A2: amber in F1, 400 plants; seeding " in " ".join(ran.out.split()), "the list comes all the same"
    assert season.read_text(encoding="utf-8") == kept
    assert "hard limits over" in " ".join(run("stagger", season, "--compare").out.split())


@pytest.mark.slow
@needs_solver
def test_a_draft_over_a_hard_limit_is_accepted_once_that_is_confirmed(season: Path) -> None:
    field = PLAIN.replace('id = "F1"\nkind = "field"\n', 'id = "F1"\nkind = "field"\narea_m2 = 30\n')
    season.write_text(field, encoding="utf-8")
    wish = ("--variety", "amber", "--place", "F1", "--cohorts", "1", "--first-harvest", "2027-05-01")
    run("stagger", season, *wish, "--plants", "400", "--spacing", "1.5x0.6", "--draft", "full")
    ran = run("stagger", season, "--accept", "full", "--over-limits", "--yes")
    assert ran.status == 0, ran.said
    assert "A2" in {c["id"] for c in data_of(season.read_text(encoding="utf-8"))["cohort"]}


@pytest.mark.slow
@needs_solver
def test_accepting_lists_each_cohort_with_plants_place_dates_and_tasks_and_asks(season: Path) -> None:
    run("stagger", season, *WISH, *MORE, "--draft", "even")
    kept = season.read_text(encoding="utf-8")
    found = {c["id"]: c for c in json.loads(run("stagger", season, *WISH, *MORE, "--json").out)["cohorts"]}
    ran = run("stagger", season, "--accept", "even", "--over-limits", typed="n\n")
    listed = " ".join(ran.out.split())
    for name, cohort in found.items():
        where = f"{cohort['place']} {cohort['part']}".strip()
        assert f"{name}: amber in {where}, 40 plants; seeding " in listed
        assert cohort["tasks_added"] > 5
        assert f"; {cohort['tasks_added']} tasks" in listed
    assert "Save? [y/N]" in listed
    assert season.read_text(encoding="utf-8") == kept


# --- what can be planted instead

ONE = ("--variety", "amber", "--cohorts", "1", "--nursery", "N1", "--spacing", "1.5x0.6")
CANNOT = (*ONE, "--place", "F1", "--first-harvest", "2027-03-10", "--plants", "40")


def _thirty_m2(season: Path) -> Path:
    text = PLAIN.replace('id = "F1"\nkind = "field"\n', 'id = "F1"\nkind = "field"\narea_m2 = 30\n')
    season.write_text(text, encoding="utf-8")
    return season


def _asked_again(season: Path, words: tuple[str, ...], flags: list[str]) -> dict[str, Any]:
    """What the same command proposes with these flags behind it."""
    kept = {flag: None for flag in flags if flag.startswith("--")}
    groups: list[list[str]] = []
    for word in words:
        if word.startswith("--"):
            groups.append([])
        groups[-1].append(word)
    before = [word for group in groups if group[0] not in kept for word in group]
    found: dict[str, Any] = json.loads(run("stagger", season, *before, *flags, "--json").out)
    return found


@pytest.mark.slow
def test_a_wish_that_cannot_be_had_prints_what_can_be_planted_instead(season: Path) -> None:
    ran = run("stagger", season, *CANNOT)
    assert ran.status == 2
    assert "is harvested within 3 days of 10 Mar 2027" in ran.err
    assert "What can be planted instead:" in ran.out
    assert all(len(line) <= 80 for line in ran.out.splitlines())
    assert season.read_text(encoding="utf-8") == PLAIN


@pytest.mark.slow
def test_in_json_it_has_why_and_each_other_proposal_with_the_flags_that_ask_for_it(season: Path) -> None:
    ran = run("stagger", season, *CANNOT, "--json")
    assert ran.status == 2
    found = json.loads(ran.out)
    assert found["saved"] is False
    assert any("is harvested within 3 days of 10 Mar 2027" in text for text in found["refused"])
    assert found["instead"]
    for way in found["instead"]:
        again = _asked_again(season, CANNOT, way["flags"])
        assert not again.get("over_hard_limits", ["refused"])
        assert again["cohorts"] == way["cohorts"]


@pytest.mark.slow
def test_plants_that_have_no_room_are_told_how_many_there_is_room_for_and_the_flags(season: Path) -> None:
    wish = (*ONE, "--place", "F1", "--first-harvest", "2027-04-21", "--plants", "400")
    ran = run("stagger", _thirty_m2(season), *wish)
    assert ran.status == 0, "it may be kept as a draft"
    said = " ".join(ran.out.split())
    assert "over a hard limit" in said
    assert said.index("over a hard limit") < said.index("What can be planted instead:")
    assert "33 plants in place of 400" in said
    found = json.loads(run("stagger", season, *wish, "--json").out)
    (fewer,) = (way for way in found["instead"] if way["text"].startswith("33 plants in place of 400"))
    assert "--plants 33" in " ".join(fewer["flags"])
    assert "--plants 33" in said


def test_a_wish_that_can_be_planted_has_nothing_in_its_place(season: Path) -> None:
    wish = (*ONE, "--place", "F1", "--first-harvest", "2027-04-21", "--plants", "40")
    assert "instead" not in run("stagger", season, *wish).out
    assert json.loads(run("stagger", season, *wish, "--json").out)["instead"] == []


def test_a_wish_with_a_wrong_name_is_refused_and_nothing_else_is_looked_for(season: Path) -> None:
    ran = run("stagger", season, *ONE[2:], "--variety", "ambr", "--place", "F1")
    assert ran.status == 2
    assert ran.out == ""

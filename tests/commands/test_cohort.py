"""`cohort`: the cohorts that are named or chosen, and a key of theirs changed in one act."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import small_season
from hypothesis import given
from hypothesis import strategies as st
from small_season import Ran

from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.record_change import set_fields_of_several
from calendar_tui.planning.plan import make_plan
from calendar_tui.season.edits import Data, apply_edits
from calendar_tui.season.field_errors import FieldErrors
from calendar_tui.season.reading import read_season
from tests.trial_season import TODAY, trial_data, trial_text

NAMES = [cohort["id"] for cohort in trial_data(18, tasks=False)["cohort"]]
VALUES = {
    "variety": "brook",
    "place": "G1",
    "part": "none",
    "plants": "48",
    "spacing_m": "1.5x0.9",
    "note": "at the gate",
}


@pytest.fixture
def trial(tmp_path: Path) -> Path:
    path = tmp_path / "trial.toml"
    path.write_text(trial_text(54), encoding="utf-8")
    return path


def run(*words: object) -> Ran:
    return small_season.run(*words, today=TODAY.isoformat())


def changed(data: Data, names: list[str], key: str) -> tuple[Proposal, Data]:
    """What a value of these cohorts would change, and the data then."""
    season = read_season(data).season
    assert season is not None
    held = HeldSeason(make_plan(season, TODAY), data)
    proposal = set_fields_of_several(held, "cohort", [(name,) for name in names], {key: VALUES[key]})
    return proposal, apply_edits(data, proposal.change.edits)


@pytest.mark.slow
@given(
    st.sampled_from([*VALUES]),
    st.lists(st.sampled_from(NAMES), min_size=1, max_size=6, unique=True),
    st.randoms(use_true_random=False),
)
def test_one_act_comes_to_the_same_as_its_acts_one_by_one(key: str, names: list[str], chance) -> None:
    data = trial_data(18)
    together, after = changed(data, names, key)
    chance.shuffle(names)
    for name in names:
        data = changed(data, [name], key)[1]
    one_by_one, read = read_season(data).season, read_season(after).season
    assert one_by_one is not None
    assert read is not None
    assert together.plan.season.cohorts == one_by_one.cohorts == read.cohorts
    assert len(together.plan.season.tasks) == len(one_by_one.tasks)


@pytest.mark.slow
def test_a_planting_gets_another_spacing_in_one_change(trial: Path) -> None:
    before = trial.read_bytes()
    ran = run("cohort", trial, "spacing", "1.5x0.9", "--planted", "2027-05-26", "--place", "F1", "--yes")
    assert (ran.status, ran.err) == (0, "")
    assert "A2F1a B2F1a C2F1a D2F1a +2 spacing 1.2x0.6 -> 1.5x0.9" in ran.out
    assert trial.read_text().count("spacing_m = [1.5, 0.9]") == 6
    again = run("cohort", trial, "spacing", "1.5x0.9", "--planted", "2027-05-26", "--place", "F1", "--yes")
    assert "No change: already saved." in again.out
    assert run("undo", trial, "--yes").status == 0
    assert trial.read_bytes() == before


def test_cohorts_are_listed_as_chosen(trial: Path) -> None:
    ran = run("cohort", trial, "--place", "H1", "--variety", "amber")
    assert [line.split()[0] for line in ran.out.splitlines() if not line.startswith(" ")] == [
        "A1H1a",
        "A2H1a",
        "A3H1a",
    ]
    text = " ".join(ran.out.split())
    assert "A2H1a amber, from seed, 24 plants at 1.2x0.6 m, N1, then H1, planted Wed 26 May 2027" in text
    rows = json.loads(run("cohort", trial, "--json").out)
    assert len(rows) == 54
    assert rows[0]["stays"] == [{"place": "N1", "part": ""}, {"place": "F1", "part": ""}]
    assert {row["planted"] for row in rows} == {"2027-05-05", "2027-05-26", "2027-06-16"}


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("A1F1a", "plants", "0"), 'plants "0": write a whole number from 1'),
        (("A1F1a", "variety", "none"), 'variety "none": it is needed'),
        (("A1F1a", "variety", "ambr"), '"ambr" is not a variety of this season; did you mean "amber"?'),
        (("place", "F9", "--place", "H1"), '"F9" is not a place of this season'),
        (("A1F1a", "part", "east"), "but place F1 is not screened"),
        (("A1F1a", "spacing", "1.5"), 'spacing "1.5"'),
        (
            ("A1F1a", "colour", "3"),
            '"colour" is not a field of a cohort. Fields: variety',
        ),
        (("A1F1a", "plants"), "plants has no value; give one behind it, such as: A1F1a plants VALUE"),
        (("A1F1a", "BX", "plants", "3"), '"BX" is not a cohort of this season'),
    ],
)
def test_what_cannot_be_is_refused_with_what_would_be_right(
    trial: Path, words: tuple[str, ...], message: str
) -> None:
    before = trial.read_bytes()
    ran = run("cohort", trial, *words, "--yes")
    assert (ran.status, ran.out) == (2, "")
    assert message in ran.err, ran.err
    assert trial.read_bytes() == before


def test_where_a_cohort_stands_by_stays_is_changed_in_its_stays(tmp_path: Path) -> None:
    data = trial_data(6, tasks=False)
    cohort = data["cohort"][0]
    for key in ("nursery", "place"):
        del cohort[key]
    cohort["stays"] = [{"place": "N1"}, {"place": "F1", "from": "transplant"}]
    with pytest.raises(FieldErrors, match="has stays"):
        changed(data, [cohort["id"]], "place")


def test_cohorts_are_chosen_by_set_as_well_and_changed_in_one_change(trial: Path) -> None:
    before = trial.read_bytes()
    words = ("--planted", "2027-05-26", "--place", "F1", "spacing", "1.5x0.9", "plants", "30")
    ran = run("set", trial, "cohort", *words, "--yes")
    assert (ran.status, ran.err) == (0, "")
    assert trial.read_text().count("spacing_m = [1.5, 0.9]") == 6
    assert trial.read_text().count("plants = 30") == 6
    assert run("undo", trial, "--yes").status == 0
    assert trial.read_bytes() == before


@pytest.mark.slow
def test_flags_that_choose_cohorts_are_fields_where_one_is_named(trial: Path) -> None:
    assert run("set", trial, "cohort", "A1F1a", "--place", "G1", "--yes").status == 0
    assert "  place       G1\n" in run("set", trial, "cohort", "A1F1a").out
    ran = run("set", trial, "cohort", "A1F1a", "--planted", "2027-05-26", "plants", "30", "--yes")
    assert (ran.status, ran.out) == (2, "")
    assert "--planted chooses cohorts that are not named" in ran.err

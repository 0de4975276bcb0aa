"""A record is renamed with all that names it, and taken out with what is only its own."""

from __future__ import annotations

import re
from datetime import date

import pytest

from calendar_tui.planning.changes.copying import Copies
from calendar_tui.planning.changes.record_change import add_record, copy_record, set_fields
from calendar_tui.planning.changes.removal import remove_records
from calendar_tui.planning.changes.renaming import rename_record
from calendar_tui.season.field_errors import FieldErrors
from calendar_tui.season.kinds import LISTED
from calendar_tui.season.refusal import Refusal
from tests.planning.kept_farm import TEXT, kept

SEASON = kept().held.plan.season
NAMES = [("cohort", n) for n in SEASON.cohorts] + [("place", n) for n in SEASON.places]
NAMES += [("variety", n) for n in SEASON.varieties] + [("chore", "scout")]


def text_with_all() -> str:
    """The season with something of every kind that names another record."""
    more = """
[[outage]]
place = "H3"
from = 2026-12-05
to = 2026-12-06

[[programme]]
place = "H3"
from = 2027-01-05
to = 2027-01-12
target_h = 17.0

[[draft]]
id = "late"
variety = "amber"
start = "seed"
nursery = "N1"
cohorts = [{ place = "H3", seeding = 2027-01-05 }]

[stock]
seeds = { amber = 900, brook = 200 }
"""
    head, _, records = TEXT.partition("[records]")
    with_stays = head.replace(
        'nursery = "N1"\nplace = "H1"\nplants = 120\nspacing_m = [1.5, 0.6]\nplanned = { sticking = 2026-12-28',
        'stays = [{ place = "N1" }, { place = "H1", from = "transplant" }]\nplants = 120\nspacing_m = [1.5, 0.6]\n'
        "planned = { sticking = 2026-12-28",
    )
    assert with_stays != head
    return f"{with_stays}{more}\n[records]{records}"


ALL = text_with_all()


@pytest.mark.slow
@pytest.mark.parametrize(("kind", "name"), NAMES)
def test_a_name_given_and_taken_back_gives_the_same_file(kind, name):
    before = kept(ALL)
    there = before.saved(rename_record(before.held, kind, name, "Zenith"))
    back = there.saved(rename_record(there.held, kind, "Zenith", name))
    assert back.text == ALL


@pytest.mark.slow
@pytest.mark.parametrize(("kind", "name"), NAMES)
def test_nothing_names_a_record_by_the_name_it_had(kind, name):
    before = kept(ALL)
    proposal = rename_record(before.held, kind, name, "Zenith")
    after = before.saved(proposal)
    assert not proposal.stages
    assert not proposal.tasks
    assert after.in_step == before.in_step
    rows = [row for of in (*LISTED, "stock") for row in after.held.records(of)]
    in_words = ("note", "what", "fact", "why", "amount", "who")
    named = [
        row for row in rows if name in re.findall(r"'([^']*)'", repr({**row, **dict.fromkeys(in_words)}))
    ]
    assert not named


def test_what_a_place_is_called_by_outages_programmes_and_drafts_follows():
    after = kept(ALL).saved(rename_record(kept(ALL).held, "place", "H3", "Dam")).held.plan.season
    assert [o.place for o in after.outages] == ["Dam"]
    assert [p.place for p in after.programmes] == ["Dam"]
    assert after.drafts["late"].cohorts[0].place == "Dam"
    assert [c.id for c in after.cohorts.values() if c.place == "Dam"] == ["A3", "B1"]


def test_stock_and_stays_follow():
    after = kept(ALL).saved(rename_record(kept(ALL).held, "variety", "amber", "gold")).held.plan.season
    assert after.stock is not None
    assert after.stock.seeds == {"gold": 900, "brook": 200}
    after = kept(ALL).saved(rename_record(kept(ALL).held, "place", "H1", "Road")).held.plan.season
    assert [stay.place for stay in after.cohorts["A4"].written_stays] == ["N1", "Road"]


def test_a_name_that_is_taken_is_refused_and_other_letters_of_ones_own_are_not():
    with pytest.raises(FieldErrors, match="there is a cohort A1 already"):
        rename_record(kept().held, "cohort", "B3", "a1")
    assert "b3" in rename_record(kept().held, "cohort", "B3", "b3").plan.season.cohorts
    with pytest.raises(FieldErrors, match="an id has 1 to 24 letters"):
        rename_record(kept().held, "cohort", "B3", "B 4")


# Bags and lots rest on D0 and D1: test_crop_removal.
@pytest.mark.slow
@pytest.mark.parametrize("name", [name for name in SEASON.cohorts if name not in ("D0", "D1")])
def test_a_cohort_goes_with_its_tasks_and_its_neighbours_keep_theirs_in_step(name):
    proposal = remove_records(kept().held, "cohort", [(name,)])
    after = kept().saved(proposal)
    assert after.in_step
    assert name not in after.held.plan.season.cohorts
    assert not any(task.about == (name,) for task in after.held.plan.season.tasks)


def test_several_cohorts_are_taken_out_in_one_change_with_the_work_they_share():
    proposal = remove_records(kept().held, "cohort", [("T1",), ("T2",)])
    after = kept().saved(proposal)
    assert proposal.change.what == "cohorts T1 T2 taken out"
    assert after.in_step
    assert not any({"T1", "T2"} & {*task.about} for task in after.held.plan.season.tasks)


def test_that_records_and_work_done_go_with_a_cohort_is_told():
    notes = remove_records(kept().held, "cohort", [("B3",)]).notes
    assert notes[:2] == (
        "with B3 goes what was recorded of it: sticking, rooted; the history keeps it, and undo brings it back",
        "with B3 goes 1 task that is done or skipped",
    )


@pytest.mark.parametrize(
    ("kind", "name", "text"),
    [
        (
            "place",
            "H3",
            "cohorts A3, B1 stand in H3, so it stays; give them another place, or take them out first",
        ),
        ("place", "H2", "cohort A2 stands in H2, so it stays; give it another place, or take it out first"),
        (
            "variety",
            "dayfree",
            "cohorts D1, D0 are of dayfree, so it stays; give them another variety, or take them out first",
        ),
    ],
)
def test_what_something_stands_on_is_not_taken_out(kind, name, text):
    with pytest.raises(Refusal) as refused:
        remove_records(kept().held, kind, [(name,)])
    assert str(refused.value) == text


def test_a_variety_that_only_a_draft_is_of_stays_too():
    held = kept(ALL).saved(add_record(kept(ALL).held, "variety", "cedar", {}))
    other = held.text.replace(
        'variety = "amber"\nstart = "seed"\nnursery = "N1"\ncohorts',
        'variety = "cedar"\nstart = "seed"\nnursery = "N1"\ncohorts',
    )
    assert other != held.text
    with pytest.raises(Refusal, match="draft late is of cedar"):
        remove_records(kept(other).held, "variety", [("cedar",)])


def test_outages_and_programmes_go_with_their_place_and_are_named():
    empty = kept().saved(copy_record(kept().held, "place", ("H3",), {}, Copies()))
    typed = {"place": "H4", "from": "20 dec", "to": "30 dec", "lit day": "17"}
    lit = empty.saved(add_record(empty.held, "programme", "", typed))
    proposal = remove_records(lit.held, "place", [("H4",)])
    assert proposal.notes == ("with H4 goes programme H4 20 Dec",)
    assert lit.saved(proposal).text == TEXT


def test_seeds_in_stock_go_with_their_variety():
    cedar = kept(ALL).saved(add_record(kept(ALL).held, "variety", "cedar", {}))
    stocked = cedar.saved(set_fields(cedar.held, "stock", (), {"seeds of cedar": "50"}))
    after = stocked.saved(remove_records(stocked.held, "variety", [("cedar",)]))
    assert after.text == ALL


def test_the_crew_is_taken_out_as_a_whole_but_not_the_site():
    after = kept().saved(remove_records(kept().held, "crew", [()]))
    assert after.held.plan.season.crew is None
    assert after.in_step
    with pytest.raises(Refusal, match="no season is without its site"):
        remove_records(kept().held, "site", [()])


def test_a_programme_is_taken_out_by_its_place_and_first_night():
    ident = ("H3", date(2027, 1, 5))
    assert (
        kept(ALL).saved(remove_records(kept(ALL).held, "programme", [ident])).held.plan.season.programmes
        == ()
    )
    with pytest.raises(Refusal, match="the season has no programme H3 6 Jan to take out"):
        remove_records(kept(ALL).held, "programme", [("H3", date(2027, 1, 6))])

"""Whatever a season holds is added, copied and changed by the names of its fields; what is wrong is told by field."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calendar_tui.planning.changes.copying import Copies, shifted
from calendar_tui.planning.changes.field_edits import value_at
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.record_change import add_record, copy_record, set_fields
from calendar_tui.planning.changes.removal import remove_records
from calendar_tui.planning.plan import make_plan
from calendar_tui.season.field_errors import FieldErrors
from calendar_tui.season.field_names import KINDS_BY_FIELDS, fields_of
from calendar_tui.season.kinds import identity, identity_keys
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.typed_values import typed_text
from tests.planning.kept_farm import TEXT, Kept, kept

COHORTS = sorted(kept().held.plan.season.cohorts)


def field_errors(make, *arguments) -> dict[str, str]:
    with pytest.raises(FieldErrors) as raised:
        make(kept().held, *arguments)
    return raised.value.by_field()


def saved_copies(like: str, copies: Copies, **typed: str) -> Kept:
    return kept().saved(copy_record(kept().held, "cohort", (like,), typed, copies))


# --- copies


@pytest.mark.slow
@settings(max_examples=12)
@given(st.sampled_from(["A4", "B3", "T2"]), st.integers(0, 20), st.integers(1, 3), st.integers(1, 12))
def test_every_planned_date_of_each_copy_is_later_by_its_interval(like, later_d, times, every_d):
    after = saved_copies(like, Copies(later_d, times, every_d)).held.plan.season
    source = after.cohorts[like]
    made = [c for c in after.cohorts.values() if c.id not in COHORTS]
    assert len(made) == times
    for n, copy in enumerate(made):
        days = timedelta(days=later_d + n * every_d)
        assert copy.planned == {s: source.intended(s) + days for s in source.planned}
        assert not any((copy.recorded, copy.replanned, copy.not_yet, copy.forecast, copy.note))
        assert (copy.variety, copy.stays, copy.plants, copy.spacing_m) == (
            source.variety,
            source.stays,
            source.plants,
            source.spacing_m,
        )


def days_to_come(like: str) -> int:
    """Days by which a copy of a cohort begins after today."""
    cohort = kept().held.plan.season.cohorts[like]
    begun = cohort.fixed(cohort.first_stage)
    assert begun is not None
    return max((kept().held.plan.today - begun).days, 0) + 3


@pytest.mark.slow
@pytest.mark.parametrize("like", COHORTS)
def test_copies_bring_their_tasks_and_taking_them_out_again_gives_the_same_lines(like):
    after = saved_copies(like, Copies(days_to_come(like), 2, 1))
    assert after.in_step
    for name in [name for name in after.held.plan.season.cohorts if name not in COHORTS]:
        after = after.saved(remove_records(after.held, "cohort", [(name,)]))
        assert after.in_step
    # Work of a place that was numbered anew stands behind other work of its day.
    assert sorted(after.text.split("\n")) == sorted(TEXT.split("\n"))


def test_the_next_free_name_is_given_and_a_name_of_ones_own_counts_on():
    assert [*saved_copies("A1", Copies(later_d=7, times=2)).held.plan.season.cohorts][-2:] == ["A5", "A6"]
    assert [*saved_copies("A1", Copies(7, 2, name="Q9")).held.plan.season.cohorts][-2:] == ["Q9", "Q10"]


def test_a_typed_date_shifts_the_others_along():
    copy = saved_copies("B3", Copies(), transplant="12 jan").held.plan.season.cohorts["B4"]
    assert copy.planned == {"sticking": date(2026, 12, 18), "transplant": date(2027, 1, 12)}


def test_a_typed_date_beside_an_interval_is_of_the_first_copy_and_later_for_the_next():
    after = saved_copies("B3", Copies(14, 2), transplant="2 jan", plants="50").held.plan.season
    assert [after.cohorts[n].planned["transplant"] for n in ("B4", "B5")] == [
        date(2027, 1, 2),
        date(2027, 1, 16),
    ]
    assert [after.cohorts[n].plants for n in ("B4", "B5")] == [50, 50]


def test_a_copy_is_asked_about_where_a_date_typed_for_it_is_past():
    past = copy_record(kept().held, "cohort", ("B3",), {"sticking": "1 dec"}, Copies())
    assert past.questions == ("Tue 1 Dec 2026 is before today",)
    assert set(past.questions) <= set(past.doubts)
    to_come = copy_record(kept().held, "cohort", ("B3",), {"sticking": "9 dec"}, Copies())
    assert to_come.questions == ()


def test_a_cohort_that_was_only_recorded_is_copied_by_the_date_it_began():
    text = TEXT.replace("planned = { sticking = 2026-11-19, transplant = 2026-12-14 }\n", "")
    assert text != TEXT
    proposal = copy_record(kept(text).held, "cohort", ("B3",), {}, Copies(later_d=14))
    assert proposal.plan.season.cohorts["B4"].planned == {"sticking": date(2026, 12, 3)}


def test_a_place_is_copied_without_the_name_that_is_its_own():
    place = copy_record(kept().held, "place", ("H3",), {"area": "200"}, Copies()).plan.season.places["H4"]
    assert (place.area_m2, place.name, place.lamps) == (200, "", kept().held.plan.season.places["H3"].lamps)


def test_a_copy_outside_the_season_is_told_by_its_dates():
    errors = field_errors(copy_record, "cohort", ("A4",), {}, Copies(later_d=200))
    assert errors.keys() == {"sticking", "transplant", "lights off"}
    assert errors["sticking"] == "sticking on 16 Jul 2027 is outside the season, 15 Sep 2026 to 31 May 2027"


# --- new records


def test_a_cohort_is_added_with_its_dates_and_tasks():
    typed = {"variety": "brook", "start": "seed", "place": "f2", "plants": "80", "seeding": "12 jan"}
    after = kept().saved(add_record(kept().held, "cohort", "C1", typed))
    assert after.in_step
    assert (
        '[[cohort]]\nid = "C1"\nvariety = "brook"\nstart = "seed"\nplace = "F2"\nplants = 80\n' in after.text
    )
    assert after.saved(remove_records(after.held, "cohort", [("C1",)])).text == TEXT


def test_what_a_new_cohort_lacks_is_told_field_by_field():
    errors = field_errors(add_record, "cohort", "C1", {"variety": "brook", "place": "F2"})
    assert errors == {"start": "it is needed: how it is propagated; one of: seed, cutting"}
    errors = field_errors(add_record, "cohort", "C1", {"variety": "brook", "place": "F2", "start": "seed"})
    assert errors == {"seeding": "it is needed: the date of its seeding"}


def test_a_name_that_is_taken_or_none_is_told_beside_the_name():
    assert field_errors(add_record, "place", "h3", {}) == {"id": "there is a place H3 already; h4 is free"}
    assert field_errors(add_record, "place", "", {})["id"].startswith("an id has 1 to 24 letters")


ADDED = [
    ("place", "H4", {"kind": "hoop house", "area": "180", "lit day": "16h", "lamp power": "0.9"}, ("H4",)),
    ("place", "G1", {"kind": "greenhouse", "parts": "east, west"}, ("G1",)),
    ("variety", "cedar", {}, ("cedar",)),
    ("variety", "cedar", {"type": "oil-zhang", "critical day": "14 h 10"}, ("cedar",)),
    (
        "programme",
        "",
        {"place": "H3", "from": "20 dec", "to": "30 dec", "lit day": "17"},
        ("H3", date(2026, 12, 20)),
    ),
    ("outage", "", {"place": "H3", "from": "6 dec", "to": "7 dec"}, ("H3", date(2026, 12, 6))),
]


@pytest.mark.parametrize(("kind", "name", "typed", "ident"), ADDED, ids=str)
def test_what_is_added_and_taken_out_again_leaves_the_file_as_it_was(kind, name, typed, ident):
    after = kept().saved(add_record(kept().held, kind, name, typed))
    assert after.text != TEXT
    assert after.in_step
    back = after.saved(remove_records(after.held, kind, [ident]))
    assert back.text == TEXT


def test_a_variety_of_a_response_has_a_type_of_it():
    variety = add_record(kept().held, "variety", "cedar", {"response": "day-neutral"}).plan.season.varieties[
        "cedar"
    ]
    assert variety.response == "day-neutral"


# --- changes


def test_fields_of_a_cohort_are_changed_in_one_change_with_the_first_intention_kept():
    typed = {"plants": "120", "spacing": "1.5x0.6", "transplant": "18 dec"}
    proposal = set_fields(kept().held, "cohort", ("B3",), typed)
    cohort = kept().saved(proposal).held.plan.season.cohorts["B3"]
    assert (cohort.plants, cohort.spacing_m) == (120, (1.5, 0.6))
    assert (cohort.planned["transplant"], cohort.replanned["transplant"]) == (
        date(2026, 12, 14),
        date(2026, 12, 18),
    )
    assert proposal.change.what == (
        "B3 plants 200 -> 120, spacing 1.8x0.9 -> 1.5x0.6, transplant 14 Dec 2026 -> 18 Dec 2026"
    )


CHANGED = [
    ("cohort", ("A3",), {"place": "F1", "lights off": "none"}),
    ("cohort", ("B3",), {"variety": "tallow", "start": "cutting", "place": "H2"}),
    ("cohort", ("A2",), {"plants": "80", "lights off": "16 dec"}),
    ("place", ("H3",), {"area": "200", "lit day": "16h30"}),
    (
        "place",
        ("H1",),
        {"lamp method": "night-break", "lamps on": "22:00", "lamps off": "2 h", "lit day": "none"},
    ),
    ("variety", ("amber",), {"critical day": "14 h 10", "drying": "8, 11, 15"}),
    ("crew", (), {"days off": "25 dec, 1 jan, 2 jan", "hours of crew": "60"}),
    ("crew", (), {"work days": "mon, tue, wed"}),
    ("capacity", (), {"dryer": "300 kg", "harvest to": "30 may 2027"}),
    ("stock", (), {"seeds of amber": "500", "trays": "40"}),
    ("season", (), {"name": "Two Rivers", "last day": "2027-06-10"}),
]


@pytest.mark.slow
@pytest.mark.parametrize(("kind", "ident", "typed"), CHANGED, ids=str)
def test_a_change_leaves_the_saved_tasks_in_step_and_the_file_as_the_proposal_has_it(kind, ident, typed):
    after = kept().saved(set_fields(kept().held, kind, ident, typed))
    assert after.text != TEXT
    assert after.in_step


@pytest.mark.parametrize(
    ("kind", "ident", "there", "back"),
    [
        ("cohort", ("B3",), {"plants": "120"}, {"plants": "200"}),
        ("cohort", ("B3",), {"note": "none"}, {"note": kept().held.plan.season.cohorts["B3"].note}),
        ("place", ("H3",), {"area": "200"}, {"area": "180"}),
        ("crew", (), {"hours of crew": "60"}, {"hours of crew": "80"}),
    ],
)
def test_a_field_changed_there_and_back_gives_the_same_file(kind, ident, there, back):
    after = kept().saved(set_fields(kept().held, kind, ident, there))
    assert after.saved(set_fields(after.held, kind, ident, back)).text == TEXT


def test_what_is_as_it_was_is_no_change():
    assert set_fields(kept().held, "cohort", ("B3",), {"plants": "200"}).change.edits == ()


def test_every_wrong_field_is_told_by_its_name_and_nothing_is_changed():
    errors = field_errors(
        set_fields, "cohort", ("A3",), {"plants": "many", "place": "h9", "spacing": "3", "plats": "5"}
    )
    assert errors["plants"] == "write a whole number from 1 to 10000000 plants"
    assert errors["place"].startswith('"h9" is not a place of this season')
    assert errors["spacing"] == "write metres between rows and in the row, such as 1.5, 0.6"
    assert 'did you mean "plants"?' in errors["plats"]


def test_what_cannot_be_together_is_told_beside_its_field_in_words():
    errors = field_errors(set_fields, "variety", ("amber",), {"critical day": "13h10"})
    assert errors == {"full response day": "full response day must be shorter than critical day"}
    errors = field_errors(set_fields, "cohort", ("A3",), {"transplant": "1 nov"})
    assert list(errors) == ["transplant"]
    assert "replanned" not in errors["transplant"]


def test_a_recorded_date_is_not_planned_again():
    errors = field_errors(set_fields, "cohort", ("A1",), {"transplant": "20 dec"})
    assert errors == {
        "transplant": "it is recorded on 11 Oct 2026, so it is not planned again; record the right date"
    }


def test_a_wrong_record_is_taken_out_by_its_name():
    after = kept().saved(set_fields(kept().held, "cohort", ("B3",), {"recorded rooted": "none"}))
    assert "rooted" not in after.held.plan.season.cohorts["B3"].recorded


def test_a_wrong_record_is_given_its_right_date_but_none_that_is_to_come():
    after = kept().saved(set_fields(kept().held, "cohort", ("B3",), {"recorded rooted": "6 dec"}))
    assert after.held.plan.season.cohorts["B3"].recorded["rooted"] == date(2026, 12, 6)
    errors = field_errors(set_fields, "cohort", ("B3",), {"recorded rooted": "20 dec"})
    assert errors == {"recorded rooted": "20 Dec 2026 is after today, 8 Dec 2026; record what has happened"}


def test_what_is_recorded_for_the_first_time_ticks_its_work_so_it_is_recorded_and_not_set():
    errors = field_errors(set_fields, "cohort", ("B3",), {"recorded transplant": "7 dec"})
    assert errors["recorded transplant"].startswith(
        "it is not recorded yet; record it, which ticks its work too"
    )


def test_a_cohort_that_grows_already_is_added_with_what_was_recorded_of_it():
    typed = {"variety": "brook", "start": "seed", "place": "F2", "recorded seeding": "1 dec"}
    cohort = kept().saved(add_record(kept().held, "cohort", "C1", typed)).held.plan.season.cohorts["C1"]
    assert (cohort.recorded, cohort.planned) == ({"seeding": date(2026, 12, 1)}, {})
    typed["recorded seeding"] = "12 dec"
    assert field_errors(add_record, "cohort", "C1", typed).keys() == {"recorded seeding"}


def test_a_place_typed_with_its_part_is_both_and_a_place_without_parts_takes_the_part_away():
    text = TEXT.replace(
        'id = "H2"\nkind = "hoop house"', 'id = "H2"\nkind = "hoop house"\nscreened = ["east", "west"]'
    )
    text = text.replace('place = "H2"\n', 'place = "H2"\npart = "west"\n')
    screened = kept(text)
    cohort = set_fields(screened.held, "cohort", ("B3",), {"place": "h2 east"}).plan.season.cohorts["B3"]
    assert (cohort.place, cohort.part) == ("H2", "east")
    cohort = set_fields(screened.held, "cohort", ("A2",), {"place": "H3"}).plan.season.cohorts["A2"]
    assert (cohort.place, cohort.part) == ("H3", "")


def test_lamps_none_takes_them_all_away_where_nothing_asks_for_them():
    after = kept().saved(
        add_record(kept().held, "place", "H4", {"kind": "hoop house", "lit day": "16", "lamp power": "1"})
    )
    assert (
        after.saved(set_fields(after.held, "place", ("H4",), {"lamps": "none"}))
        .held.plan.season.places["H4"]
        .lamps
        is None
    )


def test_a_new_figure_is_marked_a_guess_unless_somebody_says_where_it_is_from():
    proposal = set_fields(kept().held, "variety", ("amber",), {"full response day": "13:30"})
    assert proposal.plan.season.varieties["amber"].marks["full_response_day"] == "placeholder"
    assert any("a guess" in note for note in proposal.notes)
    proposal = set_fields(kept().held, "variety", ("amber",), {"full response day": "13:30"}, "measured")
    assert proposal.plan.season.varieties["amber"].marks["full_response_day"] == "measured"
    assert proposal.notes == ()


def test_that_lights_off_stays_is_noted_where_a_stage_before_it_moves():
    notes = set_fields(kept().held, "cohort", ("A3",), {"transplant": "18 dec"}).notes
    assert "lights off stays on 28 Jan; give lights off too to move it" in notes
    typed = {"transplant": "18 dec", "lights off": "4 feb"}
    assert not any("lights off stays" in n for n in set_fields(kept().held, "cohort", ("A3",), typed).notes)


def test_a_date_far_from_the_season_s_work_is_doubted():
    typed = {"place": "H3", "from": "20 sep", "to": "30 sep", "lit day": "17"}
    assert set_fields(kept().held, "cohort", ("A4",), {"transplant": "20 jan"}).doubts == ()
    assert any("2026" in doubt for doubt in add_record(kept().held, "programme", "", typed).doubts)


def test_a_record_that_is_not_there_is_refused():
    with pytest.raises(Refusal, match="there is no cohort Z9"):
        set_fields(kept().held, "cohort", ("Z9",), {"plants": "5"})


FILES = sorted((Path(__file__).parents[2] / "seasons").glob("*.toml"))


@pytest.mark.slow
@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_a_record_saved_with_every_field_as_it_is_typed_out_is_not_changed(file):
    held = kept(file.read_text(encoding="utf-8")).held
    # On its own day, on which its saved tasks agree with the plan.
    today = held.plan.season.example_today
    assert today is not None
    held = HeldSeason(make_plan(held.plan.season, today), held.data)
    for kind in KINDS_BY_FIELDS:
        for record in held.records(kind):
            given = ((f, value_at(record, f.path)) for f in fields_of(kind) if not f.takes_name)
            typed = {f.words: typed_text(f, value) for f, value in given if value is not None}
            if kind == "cohort" and "stays" not in record:
                typed.setdefault("part", "")
            proposal = set_fields(held, kind, identity(kind, record) if identity_keys(kind) else (), typed)
            assert proposal.change.edits == (), proposal.change.what


def test_copies_that_come_before_any_calendar_are_refused() -> None:
    with pytest.raises(Refusal, match="there is no date; give fewer days or fewer copies"):
        shifted({"planned": {"seeding": date(2026, 12, 8)}}, -9999 * 100)

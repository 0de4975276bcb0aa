"""Ids of bags that are typed where records are added, changed, copied and renamed: read as labels are, and checked."""

import pytest

from calendar_tui.planning.changes.copying import Copies
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.record_change import add_record, copy_record, set_fields
from calendar_tui.planning.changes.renaming import rename_record
from calendar_tui.planning.plan import make_plan
from calendar_tui.season.edits import apply_edits
from calendar_tui.season.field_errors import FieldErrors
from calendar_tui.season.sample_ids import is_sound
from tests.planning.farm import season_of
from tests.planning.sampled_farm import TODAY, sampled_data

BAG = {"id": "26A1TA", "date": TODAY, "cohort": "A1", "position": "top"}
RESULT = {"id": "r1", "date": TODAY, "sample": "26A1TA", "found": {"THC": "0.1"}}


@pytest.fixture
def held():
    data = sampled_data(sample=[dict(BAG)], result=[dict(RESULT)])
    return HeldSeason(make_plan(season_of(data), TODAY), data)


def saved(held, proposal, kind="sample"):
    return apply_edits(held.data, proposal.change.edits)[kind]


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ("26A1TB", "its last sign does not fit the others; near it in this season: 26A-1TA"),
        ("62A1TA", "its last sign does not fit the others; near it in this season: 26A-1TA"),
        ("K7Q2RX", "its last sign does not fit the others; look at the label again"),
        ("K7Q2UY", 'has "U", which no sample id has'),
        ("A2", "its last sign does not fit"),
    ],
)
def test_a_bag_whose_check_does_not_fit_is_not_added(held, typed, why):
    with pytest.raises(FieldErrors) as wrong:
        add_record(held, "sample", typed, {"cohort": "A1", "date": "today"})
    assert why in wrong.value.by_field()["id"]


@pytest.mark.parametrize("typed", ["K7Q2RY", "k7q-2ry", "K7Q 2RY"])
def test_a_bag_is_added_under_the_id_that_is_meant(held, typed):
    bag = saved(held, add_record(held, "sample", typed, {"cohort": "A1", "date": "today"}))[-1]
    assert bag["id"] == "K7Q2RY"


def test_letters_that_stand_for_figures_are_read_as_these(held):
    bag = saved(held, add_record(held, "sample", "AITO7Q", {"cohort": "A1", "date": "today"}))[-1]
    assert bag["id"] == "A1T07Q"


def test_a_result_names_its_bag_as_the_label_is_read(held):
    result = saved(held, set_fields(held, "result", ("r1",), {"sample": "26a-ITa"}), "result")[0]
    assert result["sample"] == "26A1TA"


def test_a_result_of_a_bag_that_no_season_has_may_be_typed(held):
    result = saved(held, set_fields(held, "result", ("r1",), {"sample": "K7Q-2RY"}), "result")[0]
    assert result["sample"] == "K7Q2RY"


@pytest.mark.parametrize(
    ("kind", "ident", "field"), [("result", "r1", "sample"), ("sample", "26A1TA", "again")]
)
def test_a_bag_that_is_named_with_a_wrong_check_is_refused_and_the_nearest_told(held, kind, ident, field):
    with pytest.raises(FieldErrors) as wrong:
        set_fields(held, kind, (ident,), {field: "26A1TB"})
    assert "near it in this season: 26A-1TA" in wrong.value.by_field()[field]


def test_a_bag_is_renamed_to_a_sound_id_alone(held):
    with pytest.raises(FieldErrors, match="last sign does not fit"):
        rename_record(held, "sample", "26A1TA", "26A1TB")
    assert saved(held, rename_record(held, "sample", "26A1TA", "k7q-2ry"))[0]["id"] == "K7Q2RY"


def test_copies_of_a_bag_have_sound_ids_of_their_own(held):
    bags = saved(held, copy_record(held, "sample", ("26A1TA",), {"date": "today"}, Copies(times=3)))
    names = [bag["id"] for bag in bags]
    assert len(set(names)) == 4
    assert all(map(is_sound, names))


def test_two_people_out_of_reach_who_copy_one_bag_make_different_ids(held):
    names = [
        [bag["id"] for bag in saved(hers, copy_record(hers, "sample", ("26A1TA",), {}, Copies(times=3)))[1:]]
        for hers in (held._replace(maker="mary"), held._replace(maker="joan"), held._replace(maker="mary"))
    ]
    assert names[0] == names[2]
    assert not {*names[0]} & {*names[1]}

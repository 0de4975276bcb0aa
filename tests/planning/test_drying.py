"""What dries: batches and the room they take, what may not dry together, and what was weighed of a variety."""

from datetime import date, timedelta

import pytest

from calendar_tui.handing_on.tables.drying_rows import weighed_row
from calendar_tui.handing_on.tables.season_rows import figure_rows
from calendar_tui.handing_on.words.weighed_text import offer_lines, weighed_text
from calendar_tui.planning.changes.batches import fill_batch, read_batch, set_batch
from calendar_tui.planning.changes.passes import record_pass
from calendar_tui.planning.changes.variety_change import figures_of
from calendar_tui.planning.drying.batches import dryings
from calendar_tui.planning.drying.mixing import why_apart
from calendar_tui.planning.drying.weighed import offers, weighed_of
from calendar_tui.planning.needs.quantities import amounts_of, basis_of
from calendar_tui.planning.refit.records import recorded_spans, season_cohorts
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.sample_ids import check_sign
from tests.planning.sampled_farm import sampled_data
from tests.planning.test_passes import FIRST, RULES, held, pass_of

WEIGHED = {"top": 30.0, "middle": 12.0}
DRY_ON = FIRST + timedelta(days=20)


def batch_of(name="D1", day=FIRST, **more):
    return {"id": name, "date": day} | more


def dried(why="ripe", **more):
    """A1 with its 120 plants cut in two passes: 42 kg, then 8.4 kg; the first dried to 10 % water in 9 d."""
    first = pass_of(fresh_kg=WEIGHED, batch="D1", why=why)
    last = pass_of("A1-2", FIRST + timedelta(days=10), part="", fresh_kg={"bottom": 8.4}, last=True, why=why)
    if not why:
        del first["why"], last["why"]
    out = {"out": FIRST + timedelta(days=9), "moisture": 0.1, "dry_kg": 10.5} | more
    return held(first, last, batch=[batch_of(**out)], cohort=cohorts(harvest=FIRST + timedelta(days=10)))


def cohorts(**recorded):
    a1, b1 = sampled_data()["cohort"]
    return [a1 | {"recorded": a1["recorded"] | recorded}, b1]


def amber(there):
    return there.plan.season.varieties["amber"]


# --- dry matter and weights


def test_kilograms_by_part_add_up_from_the_pass_to_the_batch():
    (one,) = dryings(dried().plan.season)
    assert one.fresh_kg == 42.0
    assert one.wet_to_dry == 4.0  # 42 kg to 10.5 kg
    assert one.days == 9


def test_a_batch_of_which_a_pass_was_not_weighed_has_no_weight():
    second = pass_of("A1-2", part="", batch="D1")
    (one,) = dryings(held(pass_of(fresh_kg=WEIGHED, batch="D1"), second, batch=[batch_of()]).plan.season)
    assert one.fresh_kg is None
    assert one.wet_to_dry is None


def test_the_dry_matter_that_went_in_comes_out():
    # Dry matter 10.5 kg x (1 - 0.10) = 9.45 kg; of 42 kg fresh that is 22.5 %, so 77.5 % was water.
    weighed = weighed_of(dried().plan.season, amber(dried()))
    assert weighed.moisture_fresh == pytest.approx(0.775)
    assert weighed.fresh_in * (1 - weighed.moisture_fresh) == pytest.approx(weighed.dry_out * (1 - 0.1))


def test_own_weights_are_told_beside_what_is_set_and_set_nothing():
    there = dried()
    text = weighed_text(there.plan.season, amber(there))
    assert text.startswith(
        "weighed: 0.42 kg fresh a plant (2 passes, 120 plants), none is set; 4.0 kg fresh to 1 dry"
    )
    assert "dried in 9 d" in text
    assert amber(there).fresh_kg_per_plant is None
    first, second = offer_lines(there.plan.season, amber(there))
    assert first == "    take it over: calendar-tui variety amber fresh weight of a plant 0.42 --mark own"
    # The range keeps its proportion to the likely days.
    assert second.endswith("drying 6,9,13 --mark own")


def test_what_agrees_is_not_offered():
    assert "moisture_dry" not in dict(offers(weighed_of(dried().plan.season, amber(dried()))))
    assert "moisture_dry" in dict(offers(weighed_of(dried(moisture=0.12).plan.season, amber(dried()))))


def test_a_cohort_with_something_left_to_cut_tells_no_weight_a_plant():
    there = held(pass_of(fresh_kg=WEIGHED))
    assert weighed_of(there.plan.season, amber(there)) is None


# --- ripeness


@pytest.mark.parametrize(("why", "counts"), [("ripe", True), ("", True), ("limit", False), ("window", False), ("weather", False), ("room", False)])  # fmt: skip
def test_a_forced_cut_is_no_evidence_of_ripeness(why, counts):
    there = dried(why)
    grown, _ = season_cohorts([there.plan], amber(there))
    keys = [key for key, name, _ in recorded_spans(grown) if name.cohort == "A1"]
    assert ("flowering_to_harvest_d" in keys) == counts


# --- out of the dryer


def test_the_last_batch_of_a_cohort_that_is_out_records_that_it_is_dried():
    first, last = dried().data["pass"]
    batches = [*dried().data["batch"], batch_of("D2", last["date"])]
    there = held(
        first, last | {"batch": "D2"}, batch=batches, cohort=cohorts(harvest=last["date"]), today=DRY_ON
    )
    proposal = set_batch(there, "D2", {"out": DRY_ON.isoformat(), "moisture": "0.1", "dry weight": "2"})
    after = proposal.plan.season
    assert after.cohorts["A1"].recorded["dried"] == DRY_ON
    assert (after.batches["D2"].out, after.batches["D2"].dry_kg) == (DRY_ON, 2)
    fields = {(e.kind, e.ident, e.field) for e in proposal.change.edits}
    assert {("cohort", ("A1",), ("recorded", "dried")), ("batch", ("D2",), ("out",))} <= fields
    assert "A1 dried recorded" in proposal.change.what


@pytest.mark.parametrize("left", ["cut", "in no batch", "in the dryer"])
def test_a_batch_that_is_out_records_nothing_while_something_of_the_cohort_is_not_dry(left):
    first, last = dried().data["pass"]
    batches = [batch_of(), batch_of("D2", last["date"])]
    there = held(
        first,
        last | {"last": left != "cut"} | ({"batch": "D2"} if left != "in no batch" else {}),
        batch=batches,
        cohort=cohorts(harvest=last["date"]),
        today=DRY_ON,
    )
    proposal = set_batch(there, "D1", {"out": DRY_ON.isoformat()})
    assert "dried" not in proposal.plan.season.cohorts["A1"].recorded


def test_what_was_recorded_as_dried_is_kept_as_it_is():
    there = dried()
    kept = held(*there.data["pass"], batch=there.data["batch"], cohort=cohorts(harvest=FIRST, dried=DRY_ON))
    proposal = set_batch(kept, "D1", {"retained": "20 g"})
    assert [e.kind for e in proposal.change.edits] == ["batch"]


# --- what dries together


def official(lot, outcome, name):
    return {"id": name, "date": FIRST - timedelta(days=9), "lot": lot, "state": "taken", "outcome": outcome}


def two(**more):
    return held(pass_of(batch="D1"), pass_of("B1-1", lot="B1"), batch=[batch_of()], **more)


def apart(there):
    passes = there.plan.season.passes
    return why_apart(
        there.plan.season,
        there.plan.results,
        [passes["A1-1"]],
        passes.get("B1-1") or passes["A1-2"],
    )


def test_lots_whose_rules_do_not_set_whether_they_may_be_mixed_are_asked_about():
    there = held(
        pass_of(batch="D1", fresh_kg={"top": 1}),
        pass_of("B1-1", lot="B1"),
        batch=[batch_of()],
        profile=[RULES],
    )
    asked = "A1-1 is of lot A1 and B1-1 of B1; whether lots may be mixed is not set in A rule"
    assert any(asked in text for text in fill_batch(there, "D1", ["B1-1"], {}).questions)
    again = record_pass(there, "B1", {"fresh weight of top": "3", "batch": "D1", "date": FIRST.isoformat()})
    assert any("A1-1 is of lot A1 and B1-2 of B1" in text for text in again.questions)
    alone = record_pass(there, "B1", {"fresh weight of top": "3", "batch": "D2", "date": FIRST.isoformat()})
    assert not any("may be mixed" in text for text in alone.questions)
    without = fill_batch(two(), "D1", ["B1-1"], {})
    assert not any("may be mixed" in text for text in without.questions)


def test_lots_under_rules_that_forbid_it_are_never_mixed():
    assert apart(two()) == ""
    told = apart(two(profile=[RULES | {"commingled": "never"}]))
    assert "lots are never mixed under A rule" in told
    assert "check with your authority" in told
    with pytest.raises(Refusal, match=r"never dry together: give B1-1 a batch of its own"):
        fill_batch(two(profile=[RULES | {"commingled": "never"}]), "D1", ["B1-1"], {})


def test_lots_of_which_one_failed_are_never_mixed():
    assert apart(two(official=[official("A1", "passed", "O1"), official("B1", "passed", "O2")])) == ""
    assert "failed" in apart(two(official=[official("A1", "passed", "O1"), official("B1", "failed", "O2")]))
    assert "failed" in apart(two(official=[official("B1", "failed", "O2")]))


def sampled_passes(*thca, uncertainty=""):
    """Two passes of A1, two weeks apart, each with a bag of its own day whose THCA is given, %; THC is 0."""
    days = (FIRST - timedelta(days=8), FIRST)
    samples = [
        {"id": f"K7Q{n}{check_sign(f'K7Q{n}')}", "date": day, "cohort": "A1", "position": "top"}
        for n, day in enumerate(days)
    ]
    results = [
        {"id": f"r{n}", "date": days[n] + timedelta(days=3), "sample": samples[n]["id"], "found": {"THC": "0", "THCA": share}}
        | ({"uncertainty": uncertainty} if uncertainty else {})
        for n, share in enumerate(thca)
    ]  # fmt: skip
    passes = pass_of(day=days[0], batch="D1"), pass_of("A1-2", days[1])
    return held(*passes, batch=[batch_of(day=days[1])], sample=samples, result=results)


@pytest.mark.parametrize(
    ("thca", "uncertainty", "mixed"),
    [
        # x 0.877: 0.2631 and 0.2719, 0.0088 apart.
        (("0.300", "0.310"), "", True),
        # 0.2631 and 0.3508, 0.0877 apart; 16 % of each: 0.0421 and 0.0561, together 0.0702.
        (("0.300", "0.400"), "", False),
        # By their reports 0.08 each, together 0.1131.
        (("0.300", "0.400"), "0.08", True),
        # 0.02 each, together 0.0283.
        (("0.300", "0.400"), "0.02", False),
    ],
)
def test_passes_whose_results_differ_beyond_the_error_are_kept_apart(thca, uncertainty, mixed):
    told = apart(sampled_passes(*thca, uncertainty=uncertainty))
    assert (told == "") == mixed, told
    assert mixed or "more apart than both may be off" in told


def test_a_pass_that_was_cut_after_the_batch_went_in_is_refused():
    there = held(pass_of(batch="D1"), pass_of("A1-2", FIRST + timedelta(days=3)), batch=[batch_of()])
    with pytest.raises(Refusal, match="nothing wet is added to a batch that dries"):
        fill_batch(there, "D1", ["A1-2"], {})


# --- bad input


def test_a_batch_out_before_it_went_in_is_refused():
    there = held(pass_of(batch="D1"), batch=[batch_of()])
    with pytest.raises(Refusal, match="before it went in"):
        set_batch(there, "D1", {"out": (FIRST - timedelta(days=1)).isoformat()})


def test_readings_are_numbered_by_the_program():
    there = held(pass_of(batch="D1"), batch=[batch_of()])
    proposal = read_batch(there, "D1", {"moisture": "0.35", "air temperature": "32 C"})
    new = proposal.plan.season.readings["D1-1"]
    assert (new.batch, new.date, new.moisture, new.air_c) == ("D1", date(2027, 4, 20), 0.35, 32)


def test_a_failed_sample_of_a_cohort_of_two_lots_keeps_a_pass_of_either_from_another_cohort():
    lots = [{"id": "A1-east", "cohort": "A1"}, {"id": "A1-west", "cohort": "A1"}]
    there = held(
        pass_of(lot="A1-west", batch="D1"),
        pass_of("B1-1", lot="B1"),
        batch=[batch_of()],
        lot=lots,
        official=[official("A1", "failed", "O1"), official("B1", "passed", "O2")],
    )
    assert "the official sample of A1-west failed and that of B1 passed" in apart(there)


# --- own weights go on into what is expected


def test_own_weights_are_rows_beside_the_figures_of_the_variety():
    there = dried(moisture=0.12)
    figures = figures_of(amber(there), there.data)
    weighed = {
        row["key"]: row["weighed"] for row in figure_rows(there.plan.season, figures) if row["weighed"]
    }
    assert weighed == {
        "fresh_kg_per_plant": 0.42,
        "moisture_dry": 0.12,
        "moisture_fresh": 0.78,
        "drying_d": [9],
    }
    row = weighed_row(weighed_of(there.plan.season, amber(there)))
    assert (row["variety"], row["fresh_kg"], row["dry_kg"], row["wet_to_dry"]) == ("amber", 42.0, 10.5, 4.0)
    assert (row["passes"], row["plants"], row["batches"]) == (2, 120, 1)


def test_the_dry_crop_is_worked_out_by_own_fresh_to_dry_where_it_was_weighed():
    data = [{"id": "amber", "response": "short-day", "fresh_kg_per_plant": 0.5}]
    amounts = {}
    for there in (held(variety=data), with_variety(dried(), data)):
        found = amounts_of(basis_of(there.plan, there.data), there.plan.timelines["A1"])
        amounts[bool(there.plan.season.passes)] = found.find("dry crop")
    # 120 x 0.5 kg; by the figures 75 and 10 % of water, 3.6 to 1; as weighed 42 kg to 10.5 kg.
    assert amounts[False].count == pytest.approx(60 / 3.6)
    assert amounts[True].count == 15.0
    assert amounts[True].how == "60 kg / 4.00 = 15 kg; 4.0 kg fresh to 1 dry as weighed, 1 batch"
    assert not [guess for guess in amounts[True].guesses if "moisture" in guess.key]


def test_a_sum_of_the_dry_crop_comes_to_the_figure_beside_it():
    data = [{"id": "amber", "response": "short-day", "fresh_kg_per_plant": 0.51}]
    there = held(variety=data)
    amount = amounts_of(basis_of(there.plan, there.data), there.plan.timelines["A1"]).find("dry crop")
    assert amount.count == pytest.approx(120 * 0.51 / 3.6)
    assert "61.2 kg x (1 - ~0.75) / (1 - 0.10) = 17 kg" in amount.how


def with_variety(there, variety):
    return held(*there.data["pass"], **{key: there.data[key] for key in ("batch", "cohort")}, variety=variety)

"""What a season needs. Counts to an acre and 636 and 1,272 seeds are those of common tables, computed from 43,560 square
feet, a foot of 0.3048 m exactly, and the product of shares; wet to dry from the shares of water. The rest is worked out by
hand from the figures given here."""

from datetime import date

import pytest

from calendar_tui.planning.lamp_programme import kwh_of, lamp_runs
from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.quantities import Guess
from calendar_tui.planning.quantity_sums import quantities
from tests.counting import lines_run
from tests.planning.farm import TODAY, farm_data, season_of

FOOT_M = 0.3048
OWN = {
    "germination": 0.90,
    "usable": 0.92,
    "survival": 0.95,
    "rooting": 0.8,
    "seed_kind": "feminised",
}


def data_of(*, cohort=None, variety=None, nursery=None, place=None, **tables):
    """The farm with only A1 (amber, N1, then H1), and more keys of it, its variety, its nursery and its place."""
    data = farm_data() | tables
    data["cohort"] = [data["cohort"][0] | {"plants": 500} | (cohort or {})]
    data["variety"][0] |= OWN | (variety or {})
    data["place"][0] |= {"tray_cells": 72} | (nursery or {})
    data["place"][1] |= place or {}
    return data


def worked_out(data, *names, acres=False):
    return quantities(make_plan(season_of(data), TODAY), data, names, acres)


def only(data, item, **more):
    """The amount of one item that the one cohort needs."""
    return worked_out(data, **more).cohorts[0].find(item)


def total(data, item, variety=""):
    return next(s for s in worked_out(data).sums if (s.item, s.variety) == (item, variety))


# --- room


PER_ACRE = [
    (3, 3, 4840),
    (4, 4, 2722),
    (5, 4, 2178),
    (5, 5, 1742),
    (6, 3, 2420),
    (6, 4, 1815),
    (6, 6, 1210),
    (2.5, 2, 8712),
]


@pytest.mark.parametrize(("rows_ft", "in_row_ft", "plants"), PER_ACRE)
def test_plants_to_an_acre_at_the_spacings_of_the_trade(rows_ft, in_row_ft, plants):
    """The whole plants, so 2,722.5 and 2,178 and 1,742.4 are rounded down."""
    data = data_of(cohort={"spacing_m": [rows_ft * FOOT_M, in_row_ft * FOOT_M]})
    assert only(data, "per acre", acres=True).count == plants
    assert only(data, "per ha").count == int(10_000 / (rows_ft * in_row_ft * FOOT_M**2))


def test_plants_that_fit_against_those_wanted():
    """180 / 0.9 = 200; 120 x 0.9 = 108."""
    data = data_of(cohort={"plants": 120, "spacing_m": [1.5, 0.6]}, place={"area_m2": 180})
    fit, area = only(data, "fit"), only(data, "area")
    assert (fit.count, fit.how) == (200, "180 m2 of H1 / (1.5 m x 0.6 m) = 200 plants")
    assert (area.count, area.how) == (pytest.approx(108), "120 x 1.5 m x 0.6 m = 108 m2")
    assert worked_out(data).crowdings == ()


def test_more_plants_than_fit_are_told_with_what_is_over():
    data = data_of(cohort={"plants": 250, "spacing_m": [1.5, 0.6]}, place={"area_m2": 180})
    assert only(data, "fit").how.endswith("= 200 plants, 50 fewer than wanted")
    (crowded,) = worked_out(data).crowdings
    assert crowded.text.startswith("H1 is too small from 26 Nov to ")
    assert ": A1 225 m2 of 180 m2, 45 m2 too many; plant closer, plant fewer" in crowded.text


def test_a_place_that_is_just_full_is_not_too_small():
    """200 x 0.9 = 180; one plant more is 0.9 m2 over."""
    data = data_of(cohort={"plants": 200, "spacing_m": [1.5, 0.6]}, place={"area_m2": 180})
    assert worked_out(data).crowdings == ()
    data["cohort"][0]["plants"] = 201
    assert "A1 181 m2 of 180 m2, 0.9 m2 too many" in worked_out(data).crowdings[0].text


def two_in_h1(first_lights_off=date(2027, 1, 10), second_transplant=date(2026, 12, 20)):
    """A1 and A2 in H1 of 180 m2, 108 m2 each."""
    data = data_of(cohort={"plants": 120, "spacing_m": [1.5, 0.6]}, place={"area_m2": 180})
    first = data["cohort"][0]
    first["planned"]["lights_off"] = first_lights_off
    planned = first["planned"] | {"seeding": date(2026, 11, 25), "transplant": second_transplant}
    data["cohort"].append(first | {"id": "A2", "planned": planned, "recorded": {}})
    return data


def test_cohorts_that_overlap_in_one_place_are_told_with_the_dates():
    data = two_in_h1()
    found = worked_out(data)
    (crowded,) = found.crowdings
    harvest = make_plan(season_of(data), TODAY).timelines["A1"].likely("harvest")
    assert (crowded.light, crowded.cohorts) == ("H1", ("A1", "A2"))
    assert crowded.first == date(2026, 12, 20)
    assert (harvest - crowded.last).days == 1
    assert "A1 108 m2 + A2 108 m2 = 216 m2 of 180 m2, 36 m2 too many" in crowded.text


def test_cohorts_one_after_the_other_are_not_too_many():
    data = two_in_h1()
    harvest = make_plan(season_of(data), TODAY).timelines["A1"].likely("harvest")
    data["cohort"][1]["planned"] |= {"transplant": harvest, "lights_off": harvest}
    assert worked_out(data).crowdings == ()
    data["cohort"][1]["planned"]["transplant"] = date.fromordinal(harvest.toordinal() - 1)
    (crowded,) = worked_out(data).crowdings
    assert crowded.first == crowded.last == date.fromordinal(harvest.toordinal() - 1)


def test_a_part_of_a_screened_place_has_its_share_of_the_room():
    """90 m2 each: 108 m2 are too many in one part, though 180 m2 would hold them."""
    data = data_of(
        cohort={"plants": 120, "spacing_m": [1.5, 0.6], "part": "west"},
        place={"area_m2": 180, "screened": ["east", "west"]},
    )
    assert only(data, "fit").count == 100
    assert worked_out(data).crowdings[0].light == "H1 west"


# --- seeds, cuttings, trays, media


def test_seeds_with_the_formula_in_figures():
    seeds = only(data_of(), "seeds")
    assert (seeds.count, seeds.how) == (636, "500 / (0.90 x 0.92 x 0.95 x 1.00) = 636 seeds")
    assert seeds.guesses == ()
    regular = only(data_of(variety={"seed_kind": "regular"}), "seeds")
    assert (regular.count, regular.how) == (1272, "500 / (0.90 x 0.92 x 0.95 x 0.50) = 1272 seeds")


def test_cuttings_of_a_clone():
    """500 / (0.8 x 0.95) = 657.9; 658 / 72 = 9.1."""
    cohort = {"start": "cutting", "planned": {"sticking": date(2026, 11, 1)}, "recorded": {}}
    data = data_of(cohort=cohort, variety={"seed_kind": "clone"})
    cuttings = only(data, "cuttings")
    assert (cuttings.count, cuttings.how) == (658, "500 / (0.80 x 0.95) = 658 cuttings")
    assert only(data, "seeds") is None
    assert only(data, "trays").how == "658 / 72 cells = 10 trays"


def test_a_share_of_more_than_two_digits_is_shown_in_full():
    how = only(data_of(variety={"germination": 0.925}), "seeds").how
    assert how.startswith("500 / (0.925 x 0.92 x ")


def test_trays_and_their_media():
    """636 / 72 = 8.8; 9 x 3.5 = 31.5."""
    data = data_of(supplies={"media_l_per_tray": 3.5})
    assert only(data, "trays").how == "636 / 72 cells = 9 trays"
    media = only(data, "media")
    assert (media.count, media.how, media.guesses) == (31.5, "9 trays x 3.5 L = 31.5 L", ())


def test_cells_that_nobody_gave_are_a_guess():
    data = data_of()
    del data["place"][0]["tray_cells"]
    trays = only(data, "trays")
    assert (trays.count, trays.how) == (3, "636 / ~242 cells = 3 trays")
    assert trays.guesses == (Guess("supplies", "tray_cells"),)
    data["supplies"] = {"tray_cells": 128}
    assert only(data, "trays").how == "636 / 128 cells = 5 trays"


def test_plants_in_pots_take_media_too():
    """9 x 4 + 500 x 5 = 2536."""
    data = data_of(place={"pot_l": 5})
    assert only(data, "media").how == "9 trays x ~4 L + 500 pots x 5 L = 2536 L"
    assert only(data, "media").count == 2536


def test_a_cohort_sown_in_place_needs_no_trays():
    data = data_of(cohort={"planned": {"seeding": date(2026, 11, 1)}})
    del data["cohort"][0]["nursery"]
    assert only(data, "seeds").count == 636
    assert only(data, "trays") is only(data, "media") is None


@pytest.mark.parametrize(
    ("variety", "key", "how"),
    [
        ({"marks": {"usable": "placeholder"}}, "usable", "500 / (0.90 x ~0.92 x 0.95 x 1.00) = 636 seeds"),
        (
            {"seed_kind": None},
            "seed_kind (taken as feminised)",
            "500 / (0.90 x 0.92 x 0.95 x ~1.00) = 636 seeds",
        ),
        ({"survival": None}, "survival", "500 / (0.90 x 0.92 x ~0.95 x 1.00) = 636 seeds"),
    ],
)
def test_a_figure_with_nothing_behind_it_is_shown_as_a_guess(variety, key, how):
    """And so is what follows from it."""
    data = data_of(variety=variety)
    data["variety"][0] = {k: v for k, v in data["variety"][0].items() if v is not None}
    seeds, trays = only(data, "seeds"), only(data, "trays")
    assert (seeds.how, seeds.guesses) == (how, (Guess("amber", key),))
    assert (trays.how, trays.guesses) == ("~636 / 72 cells = 9 trays", seeds.guesses)
    assert Guess("amber", key) in total(data, "seeds", "amber").guesses


# --- bags, labels, crop


def test_bags_by_samplings_and_positions_and_their_labels():
    data = data_of()
    timeline = make_plan(season_of(data), TODAY).timelines["A1"]
    weeks = len(timeline.stages["sampling"].dates)
    assert weeks > 3
    bags, labels = only(data, "bags"), only(data, "labels")
    assert (bags.count, bags.how) == (3 * weeks, f"{weeks} samplings x 3 bags = {3 * weeks} bags")
    assert labels.count == 9 * 1 + 2 + 3 * weeks
    assert labels.how == f"9 trays x ~1 + ~2 on the plot + {3 * weeks} bags = {labels.count:g}"


@pytest.mark.parametrize(
    ("wet", "dry", "ratio"), [(0.75, 0.10, "3.6"), (0.80, 0.10, "4.5"), (0.70, 0.12, "2.9")]
)
def test_the_dry_crop_follows_from_the_growers_own_weighing(wet, dry, ratio):
    water = {"fresh_kg_per_plant": 1.5, "moisture_fresh": wet, "moisture_dry": dry}
    data = data_of(variety=water)
    fresh, dried = only(data, "fresh crop"), only(data, "dry crop")
    assert (fresh.count, fresh.how) == (750, "500 x 1.5 kg = 750 kg")
    assert dried.count == pytest.approx(750 * (1 - wet) / (1 - dry))
    assert dried.how.endswith(f"; {ratio} kg fresh to 1 dry")
    assert f"750 kg x (1 - {wet:.2f}) / (1 - {dry:.2f}) = " in dried.how
    assert worked_out(data).unweighed == ()


def test_no_weight_is_worked_out_without_it():
    found = worked_out(data_of())
    assert found.cohorts[0].find("fresh crop") is found.cohorts[0].find("dry crop") is None
    assert found.unweighed == ("amber",)


# --- lamps


def test_lamps_are_those_of_the_programme():
    data = data_of(nursery={"lamps": {"target_h": 18.0}})
    plan, found = make_plan(season_of(data), TODAY), worked_out(data)
    runs = list(lamp_runs(plan.season, "H1", plan.light))
    loads = {load.light: load for load in found.loads}
    assert loads["H1"].kwh == pytest.approx(kwh_of(runs))
    assert loads["H1"].kwh == pytest.approx(0.9 * sum(r.lamp_h for r in runs))
    assert loads["H1"].nights == (date(2027, 1, 10) - date(2026, 11, 26)).days
    assert (loads["N1"].kw, loads["N1"].kwh, loads["N1"].h > 0) == (None, None, True)
    (growing,) = (a for a in found.cohorts[0].amounts if (a.item, a.of) == ("lamps", "H1"))
    assert (growing.count, growing.unit) == (pytest.approx(loads["H1"].kwh), "kWh")


def test_a_night_that_two_cohorts_share_burns_once_in_the_sum():
    data = two_in_h1()
    found = worked_out(data)
    plan = make_plan(season_of(data), TODAY)
    (load,) = (load for load in found.loads if load.light == "H1")
    assert load.kwh == pytest.approx(kwh_of(list(lamp_runs(plan.season, "H1", plan.light))))
    each = [a.count for c in found.cohorts for a in c.amounts if (a.item, a.of) == ("lamps", "H1")]
    assert len(each) == 2
    assert sum(each) > load.kwh


def test_lamps_of_some_cohorts_are_those_of_the_nights_they_ask_for():
    """A1 asks from 26 November up to the evening before 10 January: 45 nights; A2 up to 9 February."""
    data = two_in_h1()
    data["cohort"][1]["planned"]["lights_off"] = date(2027, 2, 10)
    found = worked_out(data, "A1")
    (load,) = (load for load in found.loads if load.light == "H1")
    assert (load.nights, load.first, load.last) == (45, date(2026, 11, 26), date(2027, 1, 9))
    (own,) = (a for a in found.cohorts[0].amounts if (a.item, a.of) == ("lamps", "H1"))
    assert own.count == pytest.approx(load.kwh)
    assert "in 45 nights, 26 Nov - 9 Jan" in own.how
    (both,) = (load for load in worked_out(data).loads if load.light == "H1")
    assert both.nights == 76


def circuits(**lamps):
    return worked_out(data_of(place={"lamps": {"target_h": 16.0} | lamps})).circuits


def test_a_circuit_carries_four_fifths_for_continuous_use():
    """0.8 x 230 x 16 = 2944 W; 3.5 kW on one is too much, on two it is not. 80 %: a value from memory."""
    (fits,) = circuits(kw=2.9, circuit_v=230, circuit_a=16)
    assert not fits.over
    assert fits.text.endswith("at most 0.80 x 230 V x 16 A = 2.94 kW")
    (over,) = circuits(kw=3.5, circuit_v=230, circuit_a=16)
    assert over.over
    assert "H1: 3.5 kW on 1 circuit is over 0.80 x 230 V x 16 A = 2.94 kW" in over.text
    assert "2 circuits of this kind" in over.text
    (two,) = circuits(kw=3.5, circuit_v=230, circuit_a=16, circuits=2)
    assert (two.over, two.text.startswith("H1: 3.5 kW on 2 circuits, 1.75 kW each; ")) == (False, True)
    (edge,) = circuits(kw=2.944, circuit_v=230, circuit_a=16)
    assert not edge.over
    assert circuits(kw=2.9) == ()
    (untold,) = circuits(circuit_v=230, circuit_a=16)
    assert untold.text.endswith("at most 0.80 x 230 V x 16 A = 2.94 kW; the lamps' kw is not given")
    assert not untold.over


# --- sums and stock


def test_sums_by_variety_and_shortfalls_against_the_stock():
    data = two_in_h1()
    data["cohort"].append(data["cohort"][0] | {"id": "P1", "variety": "plain", "plants": 100})
    data["stock"] = {"seeds": {"amber": 300}, "labels": 1000, "media_l": 20, "bags": 0}
    found = {(s.item, s.variety): s for s in worked_out(data).sums}
    # 120 / 0.7866 = 152.6: 153 each; 100 / 0.7866 with the defaults, which are the same, = 127.1.
    assert (found["seeds", "amber"].count, found["seeds", "amber"].how) == (306, "A1 153 + A2 153")
    assert (found["seeds", "amber"].stock, found["seeds", "amber"].short) == (300, 6)
    assert (found["seeds", "plain"].count, found["seeds", "plain"].short) == (128, None)
    # 153 / 72: 3 trays each, 128 / 72: 2; 8 x 4 = 32 L.
    assert (found["media", ""].count, found["media", ""].short) == (32, 12)
    assert found["labels", ""].short == 0
    assert found["bags", ""].short == found["bags", ""].count > 0
    assert found["plants", "amber"].count == 240


def test_trays_count_by_the_most_that_stand_in_nurseries_on_one_day():
    """3 each; A2 is sown on 25 November, a day before A1 is planted: 6 on that day."""
    data = two_in_h1() | {"stock": {"trays": 5}}
    most = total(data, "trays at once")
    assert (most.count, most.how, most.short) == (6, "on 25 Nov: A1 3 + A2 3", 1)
    assert (total(data, "trays").count, total(data, "trays").short) == (6, None)
    data["cohort"][1]["planned"]["seeding"] = date(2026, 11, 26)
    assert (total(data, "trays at once").count, total(data, "trays").count) == (3, 6)


def test_large_figures_are_written_out():
    """5,000,000 / 0.7866 = 6,356,470.9; each 0.36 m2."""
    data = data_of(cohort={"plants": 5_000_000, "spacing_m": [0.6, 0.6]}, nursery={"tray_cells": 2000})
    assert only(data, "seeds").how.endswith(" = 6356471 seeds")
    assert only(data, "trays").how == "6356471 / 2000 cells = 3179 trays"
    assert only(data, "area").how == "5000000 x 0.6 m x 0.6 m = 1800000 m2"
    assert total(data, "seeds", "amber").how == "A1 6356471"
    assert total(data, "area").how == "A1 1800000"


def test_only_the_cohorts_asked_for():
    """The stock is for all of them, so it is not held against one."""
    data = two_in_h1() | {"stock": {"seeds": {"amber": 200}}}
    assert total(data, "seeds", "amber").short == 106
    found = worked_out(data, "A2")
    assert found.stock_aside
    assert next(s for s in found.sums if s.item == "seeds").short is None
    assert [c.cohort.id for c in found.cohorts] == ["A2"]
    assert next(s for s in found.sums if s.item == "seeds").how == "A2 153"
    assert found.crowdings  # with a neighbour that was not asked for


def test_a_cohort_without_plants_or_spacing_is_told_and_left_out_of_the_sums():
    data = two_in_h1()
    del data["cohort"][1]["plants"]
    found = worked_out(data)
    assert found.left_out == ("A2",)
    assert next(s for s in found.sums if s.item == "seeds").how == "A1 153"
    assert "A2 has no number of plants" in found.cohorts[1].told[0]
    assert found.cohorts[1].find("labels") is None  # they follow from its trays
    assert found.crowdings == ()
    del data["cohort"][0]["spacing_m"]
    first = worked_out(data).cohorts[0]
    assert "A1 has no spacing" in first.told[0]
    assert "add spacing_m = [1.5, 0.6]" in first.told[0]
    assert first.find("area") is first.find("fit") is None


def test_a_place_without_an_area_is_told():
    data = data_of(cohort={"spacing_m": [1.5, 0.6]})
    found = worked_out(data)
    assert "H1 has no area" in found.cohorts[0].told[0]
    assert found.crowdings == ()


def houses(count):
    """A1 as often as told, each in a lit house of its own, 20 days long."""
    data = data_of(cohort={"plants": 120, "spacing_m": [1.5, 0.6]}, place={"area_m2": 180})
    house, cohort = data["place"][1], data["cohort"][0]
    cohort["planned"]["lights_off"] = date(2026, 12, 16)
    data["place"][1:2] = [house | {"id": f"G{n}"} for n in range(count)]
    data["cohort"] = [cohort | {"id": f"A{n}", "place": f"G{n}"} for n in range(count)]
    return data


def test_four_times_the_cohorts_in_as_many_houses_are_four_times_the_work():
    """4.1 times; were each cohort looked for among the lamps of every house, 5.7."""

    def work(count):
        data = houses(count)
        plan = make_plan(season_of(data), TODAY)
        return lines_run(lambda: quantities(plan, data))

    assert work(64) < 4.8 * work(16)

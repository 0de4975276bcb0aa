"""What a season needs. 636 and 1,272 seeds are computed as plants over the product of shares, wet to dry from the shares of
water; the rest is worked out by hand from the figures given here."""

from datetime import date

import pytest

from calendar_tui.planning.needs.quantities import Guess
from calendar_tui.planning.plan import make_plan
from tests.planning.farm import TODAY, season_of
from tests.planning.one_cohort import data_of, only, total, two_in_h1, worked_out

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
    assert "A2 has no number of plants" in found.cohorts[1].notes[0]
    assert found.cohorts[1].find("labels") is None  # they follow from its trays
    assert found.crowdings == ()
    del data["cohort"][0]["spacing_m"]
    first = worked_out(data).cohorts[0]
    assert "A1 has no spacing" in first.notes[0]
    assert "set it, such as 1.5x0.6" in first.notes[0]
    assert first.find("area") is first.find("fit") is None


def test_a_place_without_an_area_is_told():
    data = data_of(cohort={"spacing_m": [1.5, 0.6]})
    found = worked_out(data)
    assert "H1 has no area" in found.cohorts[0].notes[0]
    assert found.crowdings == ()

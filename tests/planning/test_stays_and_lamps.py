"""Lamps of others, failures and ways out, for a cohort that stands in several places in turn."""

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from calendar_tui.planning.lamps.broken_count import broken_run, last_lights_off
from calendar_tui.planning.lamps.dark_nights import missed_nights
from calendar_tui.planning.laying_out.heat import heating, ready_moments
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.planning.staggering.shared_light import Turn, own_turns
from calendar_tui.season.records import Outage
from tests.planning.acts import record_outage
from tests.planning.farm import TODAY, farm_data, season_of
from tests.planning.lit_house import EXTEND, cohort, house, laid_out, texts
from tests.planning.one_cohort import data_of, worked_out
from tests.planning.test_broken_count import spring

DAY = timedelta(days=1)
BEGIN, LEFT = date(2026, 6, 1), date(2026, 8, 20)


def two_houses(*cohorts: dict[str, Any], **keys: Any) -> Plan:
    """Houses H1 and H2 under lamps at 35.8 N, where the natural day falls under 14 h 00 on 31 July; keys: of both."""
    season = house(EXTEND, cohorts=[{**own, "place": "H1"} for own in cohorts], **keys)
    places = {**season.places, "H2": replace(season.places["H1"], id="H2")}
    there = {own["id"]: replace(season.cohorts[own["id"]], place=own["place"]) for own in cohorts}
    return laid_out(replace(season, places=places, cohorts=there))


def lit(name: str, place: str, on: date, off: date) -> dict[str, Any]:
    return cohort(name, place, planned={"sticking": BEGIN, "lights_on": on, "lights_off": off})


def carried(plan: Plan, *stays: tuple[str, date]) -> Plan:
    """The plan with the cohort B1, which asks for no lamps: from 1 June in H1, then in these places."""
    own = house(EXTEND, cohorts=[cohort("B1", planned={"sticking": BEGIN})]).cohorts["B1"]
    here = own.stays[0]
    written = (here, *(here._replace(place=place, begins=day) for place, day in stays))
    own = replace(own, written_stays=written)
    return laid_out(replace(plan.season, cohorts={**plan.season.cohorts, "B1": own}))


def test_nights_lost_are_counted_in_each_place_only_while_it_stands_there() -> None:
    """Both houses are lit to 20 September; it changes houses on 20 August."""
    off = date(2026, 9, 20)
    neighbours = two_houses(lit("A1", "H1", BEGIN, off), lit("C1", "H2", BEGIN, off))
    (there,), (moved,) = (
        texts(carried(neighbours, *stays), "B1", "held back") for stays in ((), (("H2", LEFT),))
    )
    assert "held back 52 nights up to 19 Sep: H1 is lit for A1;" in there
    assert "held back 52 nights up to 19 Sep: H1, H2 are lit for A1, C1;" in moved


def test_a_neighbour_that_is_lit_once_it_has_left_does_not_hold_it_back() -> None:
    neighbours = two_houses(
        lit("A1", "H1", BEGIN, LEFT),
        lit("C1", "H2", BEGIN, date(2026, 9, 20)),
        lit("D1", "H1", LEFT, date(2026, 9, 20)),
    )
    (text,) = texts(carried(neighbours, ("H2", LEFT)), "B1", "held back")
    assert "H1, H2 are lit for A1, C1;" in text


def test_pots_still_to_come_into_a_lit_house_are_carried_elsewhere_and_plants_from_the_ground_are_not() -> (
    None
):
    """Carried on 20 August into H2, which is lit to 20 September."""
    off = date(2026, 9, 20)
    ground = two_houses(lit("C1", "H2", BEGIN, off))
    pots = two_houses(lit("C1", "H2", BEGIN, off), kind="greenhouse")
    stays = (("H2", date(2026, 7, 20)),)
    (no_way,), (way,) = (texts(carried(plan, *stays), "B1", "held back") for plan in (ground, pots))
    assert "instead" not in no_way
    assert 'carry it into H1 instead (in its record, stay 2: place = "H1"): trigger on' in way


def test_an_outage_of_a_whole_place_is_one_of_the_part_in_which_it_stands_then() -> None:
    season = house(EXTEND, cohorts=[cohort("A1", part="east")], screened=["east", "west"])
    own = season.cohorts["A1"]
    there = own.stays[0]
    moved = replace(own, written_stays=(there, there._replace(part="west", begins=date(2026, 7, 1))))
    plan = laid_out(replace(season, cohorts={"A1": moved}))
    for first in (date(2026, 6, 20), date(2026, 7, 20)):
        outage = Outage(place="H1", first=first, last=first + DAY)
        n = plan.light.index(first)
        assert missed_nights(plan.timelines["A1"], plan.light, outage) == (n, n + 1)


def test_an_outage_after_the_pots_left_is_no_matter_to_them() -> None:
    season = house(EXTEND, cohorts=[cohort("A1")])
    own = season.cohorts["A1"]
    there = own.stays[0]
    moved = replace(own, written_stays=(there, there._replace(place="F1", begins=date(2026, 7, 1))))
    plan = replace(laid_out(replace(season, cohorts={"A1": moved})), today=date(2026, 8, 1))
    assert record_outage(plan, "H1", date(2026, 7, 20), date(2026, 7, 20)).verdicts == ()


def test_the_last_lights_off_is_that_of_the_lamps_it_leaves_with_it() -> None:
    """Carried out of the house on the day of lights off: the way out is the same as for plants that stay."""
    stayed = spring(date(2026, 10, 27))
    own = stayed.season.cohorts["A1"]
    stays = (*own.stays, own.stays[0]._replace(place="F1", begins="lights_off"))
    season = replace(stayed.season, cohorts={"A1": replace(own, written_stays=stays)})
    plan = make_plan(season, stayed.today)
    timeline = plan.timelines["A1"]
    run = broken_run(timeline, plan.light)
    assert run is not None
    assert last_lights_off(season, timeline, plan.light, run) == date(2026, 10, 21)


def test_the_last_lights_off_of_plants_that_were_out_of_the_house_is_that_of_those_that_stayed() -> None:
    """Three days in the field at the end of September, and back under the lamps."""
    stayed = spring(date(2026, 10, 27))
    own = stayed.season.cohorts["A1"]
    house_stay = own.stays[-1]
    stays = (
        *own.stays,
        house_stay._replace(place="F1", begins=date(2026, 9, 25)),
        house_stay._replace(begins=date(2026, 9, 28)),
    )
    season = replace(stayed.season, cohorts={"A1": replace(own, written_stays=stays)})
    plan = make_plan(season, stayed.today)
    timeline = plan.timelines["A1"]
    run = broken_run(timeline, plan.light)
    assert run is not None
    assert last_lights_off(season, timeline, plan.light, run) == date(2026, 10, 21)


def test_a_neighbour_that_leaves_the_house_and_comes_back_is_told_once_what_one_lights_off_leaves_it() -> (
    None
):
    """A1 is lit to 20 September but for a week in August; B1 waits from 20 August on, and D1 is lit too."""
    plan = two_houses(
        lit("A1", "H1", BEGIN, date(2026, 9, 20)),
        lit("B1", "H1", BEGIN, date(2026, 7, 20)),
        lit("D1", "H1", BEGIN, date(2026, 8, 30)),
    )
    own = plan.season.cohorts["A1"]
    there = own.stays[0]
    stays = (
        there,
        there._replace(place="F1", begins=date(2026, 8, 1)),
        there._replace(begins=date(2026, 8, 8)),
    )
    cohorts = plan.season.cohorts | {"A1": replace(own, written_stays=stays)}
    (text,) = texts(laid_out(replace(plan.season, cohorts=cohorts)), "B1", "held back")
    assert text.count("A1") == 2, text


def test_a_light_is_to_be_dark_for_a_cohort_only_while_it_stands_there() -> None:
    data = farm_data()
    own = data["cohort"][1]
    del own["nursery"], own["place"]
    carry = date(2026, 12, 26)
    own["stays"] = [{"place": "N1"}, {"place": "H1", "from": "transplant"}, {"place": "F1", "from": carry}]
    plan = make_plan(season_of(data), TODAY)
    dark = [turn for turn in own_turns(plan.season, plan.timelines, plan.light)["H1"] if not turn.lit]
    assert Turn(date(2026, 11, 26), carry, False) in dark


def test_a_lamp_that_is_asked_for_by_one_more_is_named_in_the_reason_of_a_plan_taken_over() -> None:
    """Triggered in the house when the lamps go off, and carried into the field much later."""
    season = carried(two_houses(lit("A1", "H1", BEGIN, LEFT)), ("F1", date(2026, 10, 1))).season
    alone = {name: own for name, own in season.cohorts.items() if name != "D1"}
    more = two_houses(lit("A1", "H1", BEGIN, LEFT), lit("D1", "H1", BEGIN, LEFT)).season.cohorts["D1"]
    before = laid_out(replace(season, cohorts=alone))
    both = replace(season, cohorts={**alone, "D1": more})
    after = make_plan(both, before.today, before)
    assert "H1 is lit for A1, D1" in after.timelines["B1"].stages["trigger"].reason
    assert after.timelines == laid_out(both).timelines


def test_a_plan_taken_over_asks_for_lamps_as_a_new_one_does() -> None:
    """Carried with flowering, and no lights off planned."""
    season = house(EXTEND, cohorts=[cohort("A1", planned={"sticking": BEGIN, "lights_on": BEGIN})])
    own = replace(season.cohorts["A1"], recorded={"flowering": date(2026, 9, 1)})
    there = own.stays[0]
    own = replace(own, written_stays=(there, there._replace(place="F1", begins="flowering")))
    season = replace(season, cohorts={"A1": own})
    plan = laid_out(season)
    assert make_plan(season, plan.today, plan).light == plan.light


def test_heat_after_the_move_is_that_of_the_new_place_alone() -> None:
    """Up since 20 November, in the house since the 9th: the field has no part in the juvenile time."""
    stays = ([{"place": "F1"}, {"place": "H1", "from": date(2026, 11, 9)}], [{"place": "H1"}])
    ready = []
    for turn in stays:
        data = farm_data() | {"heat": {}}
        data["site"] |= {"monthly_low_c": [8.0] * 12, "monthly_high_c": [18.0] * 12}
        data["place"][1]["warmer_c"] = 6.0
        own = data["cohort"][0]
        del own["nursery"], own["place"]
        up = {"seeding": date(2026, 11, 1), "emergence": date(2026, 11, 20)}
        own |= {"stays": turn, "planned": {}, "recorded": up}
        plan = make_plan(season_of(data), date(2026, 12, 1))
        timeline = plan.timelines["A1"]
        heat = heating(plan.season, timeline.cohort, plan.warmth, timeline.stages)
        assert heat is not None
        ready.append(ready_moments(heat, timeline.cohort, timeline.variety, timeline.stages))
    assert ready[0] == ready[1]


def test_plants_are_potted_once_wherever_their_pots_are_carried() -> None:
    data = data_of(cohort={"plants": 100}, place={"kind": "greenhouse", "pot_l": 11.0})
    own = data["cohort"][0]
    stays = [
        {"place": "N1"},
        {"place": "H1", "from": "transplant"},
        {"place": "F1", "from": date(2026, 12, 26)},
    ]
    data["cohort"] = [{k: v for k, v in own.items() if k not in ("nursery", "place")} | {"stays": stays}]
    media = worked_out(data).cohorts[0].find("media")
    assert media is not None
    assert "100 pots x 11 L" in media.how

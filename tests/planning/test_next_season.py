"""Next year's season made of one that is there: dates, what is carried over, what stays behind, trials drawn anew."""

from __future__ import annotations

from copy import deepcopy
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.handing_on.words.next_season_text import next_season_text
from calendar_tui.planning.changes.replan import differing_tasks
from calendar_tui.planning.next_season.dates import last_on, moved, name_on, years_on
from calendar_tui.planning.next_season.left_behind import left_behind
from calendar_tui.planning.next_season.making import Wish, next_season
from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.trials.drawing import draw_trial, plots_of_trial
from calendar_tui.season.edits import apply_edits
from calendar_tui.season.kinds import KINDS
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.upgrades import upgraded
from tests.planning.farm import FARM, TODAY, season_of
from tests.planning.fields import field_data
from tests.planning.trial_farm import TRIAL, cohort, held, opened, saved

DAYS = st.dates(date(1950, 1, 1), date(2150, 1, 1))
AFTER = date(2027, 7, 10)


AS_IT_COMES = Wish()


def made_of(data, wish=AS_IT_COMES, today=TODAY, further=()):
    """The next season of plain data, and its data."""
    data = upgraded(deepcopy(data))
    plans = [make_plan(season_of(one), today) for one in (data, *further)]
    made = next_season(plans, data, wish, today)
    for edits in made.steps:
        data = apply_edits(data, edits)
    return made, data


def farm(**more):
    return {**deepcopy(FARM), **more}


# --- dates


@given(DAYS, st.integers(1, 20))
def test_a_date_keeps_day_and_month_and_29_february_becomes_1_march(day, years) -> None:
    new = years_on(day, years)
    assert new.year == day.year + years
    leaps = (day.month, day.day) == (2, 29) and (new.month, new.day) == (3, 1)
    assert leaps or (new.month, new.day) == (day.month, day.day)
    assert years_on(day + timedelta(days=1), years) >= new


@given(DAYS, st.integers(1, 20))
def test_periods_that_follow_on_one_another_still_do(day, years) -> None:
    assert last_on(day, years) + timedelta(days=1) == years_on(day + timedelta(days=1), years)


def test_dates_move_inside_lists_and_tables_and_nothing_else_does() -> None:
    value = {"a": [date(2026, 5, 1), "2026-05-01"], "b": {"c": date(2028, 2, 29)}, "d": 2026}
    assert moved(value, 1) == {"a": [date(2027, 5, 1), "2026-05-01"], "b": {"c": date(2029, 3, 1)}, "d": 2026}


@pytest.mark.parametrize(
    ("name", "years", "new"),
    [
        ("Two Rivers 2026-27", 1, "Two Rivers 2027-28"),
        ("Two Rivers 2026/2027", 1, "Two Rivers 2027/2028"),
        ("2026 bench", 3, "2029 bench"),
        ("Lot 1999", 1, "Lot 1999 2027-28"),
        ("Field", 2, "Field 2028-29"),
        ("Farm 2099-00", 1, "Farm 2099-00 2027-28"),
    ],
)
def test_the_years_in_a_name_move_and_other_numbers_do_not(name, years, new) -> None:
    season = season_of(farm(season={**FARM["season"], "name": name}))
    assert name_on(season, years) == new


# --- what is carried over


def test_planned_dates_are_a_year_later_and_what_happened_is_left() -> None:
    data = farm()
    data["cohort"][0] |= {
        "replanned": {"lights_off": date(2027, 1, 20)},
        "not_yet": {"emergence": date(2026, 11, 3)},
        "note": "late trays",
        "harvest_by": date(2027, 5, 1),
        "tag": "own key",
    }
    made, new = made_of(data)
    assert new["cohort"][0] == {
        "id": "A1",
        "variety": "amber",
        "start": "seed",
        "nursery": "N1",
        "place": "H1",
        "plants": 120,
        "planned": {
            "seeding": date(2027, 11, 1),
            "transplant": date(2027, 11, 26),
            "lights_off": date(2028, 1, 10),
        },
        "harvest_by": date(2028, 5, 1),
        "tag": "own key",
    }
    texts = [one.text for one in made.left]
    assert 'notes of cohorts: A1 "late trays"' in texts
    assert "1 dates that replaced planned ones of cohort A1" in texts
    assert made.season.name == "Trial 2027-28"
    assert made.season.since == TODAY
    assert (new["season"]["first_day"], new["season"]["last_day"]) == (date(2027, 9, 1), date(2028, 6, 30))


def test_a_start_that_was_only_recorded_is_planned_and_told() -> None:
    data = farm()
    data["cohort"][2] |= {
        "planned": {},
        "recorded": {"sticking": date(2026, 11, 2), "transplant": date(2026, 11, 28)},
    }
    made, new = made_of(data)
    assert new["cohort"][2]["planned"] == {"sticking": date(2027, 11, 2), "transplant": date(2027, 11, 28)}
    (told,) = [note for note in made.notes if note.startswith("C1 ")]
    assert told == (
        "C1 had no planned date for sticking but a recorded one, transplant but a recorded one; that date is planned now"
    )


def test_programmes_stays_frost_days_off_and_capacities_move_and_rules_do_not() -> None:
    on = {"place": "H1", "method": "extend", "target_h": 18.0}
    data = farm(
        programme=[
            {**on, "from": date(2027, 2, 1), "to": date(2027, 2, 28)},
            {**on, "from": date(2027, 3, 1), "to": date(2027, 3, 9)},
        ],
        crew={"work_days": ["mon", "tue"], "blocked": [date(2026, 12, 25)]},
        capacity={"dryer_kg": 100, "harvest_to": date(2027, 5, 1)},
        profile=[{"id": "us", "name": "here", "limit_percent": 0.3, "starts": date(2026, 1, 1), "as_of": date(2026, 2, 2), "source": "x"}],
        outage=[{"place": "H1", "from": date(2026, 12, 1), "to": date(2026, 12, 2)}],
        stock={"seeds": {"amber": 300}, "trays": 8},
    )  # fmt: skip
    data["site"] = {**FARM["site"], "last_frost": date(2026, 10, 1), "storms_from": date(2027, 2, 28)}
    data["cohort"][3] |= {
        "place": "F1",
        "nursery": None,
        "stays": [{"place": "H1"}, {"place": "F1", "from": date(2026, 12, 20)}],
    }
    del data["cohort"][3]["place"], data["cohort"][3]["nursery"]
    made, new = made_of(data)
    # 2028 is a leap year, and no evening falls out between the two programmes.
    assert [(p["from"], p["to"]) for p in new["programme"]] == [
        (date(2028, 2, 1), date(2028, 2, 29)),
        (date(2028, 3, 1), date(2028, 3, 9)),
    ]
    assert new["crew"]["blocked"] == [date(2027, 12, 25)]
    assert new["capacity"] == {"dryer_kg": 100, "harvest_to": date(2028, 5, 1)}
    assert new["profile"] == data["profile"]
    assert new["site"]["last_frost"] == date(2027, 10, 1)
    assert new["cohort"][3]["stays"][1]["from"] == date(2027, 12, 20)
    assert new["stock"] == {"trays": 8}
    assert "outage" not in new
    texts = [one.text for one in made.left]
    assert "outage of H1, 1 Dec 2026 to 2 Dec 2026" in texts
    assert "seeds of [stock]" in texts
    assert any("planned dates fall on days that are not worked" in note for note in made.notes)


@pytest.mark.slow
def test_29_february_is_told() -> None:
    data = farm()
    data["season"] = {"name": "Leap", "first_day": date(2027, 9, 1), "last_day": date(2028, 6, 30)}
    for one in data["cohort"]:
        one["planned"] = {stage: day.replace(year=day.year + 1) for stage, day in one["planned"].items()}
        one.pop("recorded", None)
    data["cohort"][3]["planned"] = {"seeding": date(2028, 2, 29)}
    made, new = made_of(data, today=date(2027, 12, 8))
    assert new["cohort"][3]["planned"] == {"seeding": date(2029, 3, 1)}
    assert "29 Feb 2028 becomes 1 Mar: the new year has no 29 Feb" in made.notes


def test_a_year_that_has_passed_is_refused_with_the_first_that_has_not() -> None:
    with pytest.raises(Refusal, match=r"ended on Fri 30 Jun 2028, before today, .*; write --years 4,"):
        made_of(farm(), today=date(2031, 6, 1))
    made, _ = made_of(farm(), Wish(years=4), today=date(2031, 6, 1))
    assert made.season.last_day == date(2031, 6, 30)
    assert made.past > 0
    assert all(task.date >= date(2031, 6, 1) for task in made.season.tasks)
    assert any("has passed: look at the dates" in note for note in made.notes)


# --- what is left


def test_everything_of_one_season_alone_is_counted_among_what_is_left() -> None:
    data = farm(
        outage=[{"place": "H1", "from": date(2026, 12, 1), "to": date(2026, 12, 1)}],
        task=[
            {"id": "a", "date": date(2026, 12, 1), "what": "Mend the gate", "note": "hinge"},
            {"id": "b", "date": date(2026, 12, 2), "what": "Seed trays", "chore": "tray", "cohort": "A1", "moved": True},
            {"id": "c", "date": date(2026, 12, 3), "what": "Plant", "chore": "plant", "cohort": "A1", "state": "done", "done_on": date(2026, 12, 3)},
        ],
    )  # fmt: skip
    texts = [one.text for one in left_behind(upgraded(data))]
    assert "3 tasks (1 done, 2 open); new ones are made of the chores" in texts
    assert 'of these 1 of your own, which no chore makes: "Mend the gate" 1 Dec 2026' in texts
    assert 'of these 1 put on their dates by hand: "Seed trays" 2 Dec 2026' in texts
    assert 'of these 1 with a note or a fact: "Mend the gate" 1 Dec 2026' in texts


def test_of_every_kind_something_is_known_of_its_fields_or_it_is_left() -> None:
    from calendar_tui.planning.next_season.carried import LEFT_KEYS, is_left
    from calendar_tui.season.fields import FIELDS

    for kind in KINDS:
        keys = {field.key for field in FIELDS[kind.name]}
        assert keys
        if not is_left(kind):
            assert set(LEFT_KEYS.get(kind.name, ())) <= keys


# --- varieties


SOWN = [(4, 5), (5, 5), (6, 5)]
SEEN = (date(2026, 8, 20), date(2026, 8, 22), date(2026, 8, 24))


def test_a_variety_learns_from_its_records_and_its_figures_before_are_kept() -> None:
    data = field_data(SOWN, SEEN, year=2026)
    made, new = made_of(data, today=date(2027, 1, 5))
    (one,) = made.varieties
    assert one.as_it_was == ""
    assert one.sets == len(new["variety"][0]["sets"]) > 1
    assert new["variety"][0]["marks"]["critical_day"] == "measured, 3 cohorts, 2026"
    kept, same = made_of(data, Wish(refit=False), today=date(2027, 1, 5))
    assert same["variety"] == data["variety"]
    assert kept.varieties[0].as_it_was == "as asked"


@pytest.mark.slow
def test_a_record_that_does_not_fit_is_named_beside_the_figures() -> None:
    sown = [*SOWN, (7, 1)]
    data = field_data(sown, (*SEEN, date(2026, 7, 10)), year=2026)
    made, _ = made_of(data, today=date(2027, 1, 5))
    assert made.varieties[0].doubted == ("A4",)
    text = " ".join(" ".join(next_season_text(made, "old.toml")).split())
    assert "the record of A4 does not fit its figures or each other" in text
    assert made_of(field_data(SOWN, SEEN, year=2026), today=date(2027, 1, 5))[0].varieties[0].doubted == ()


@pytest.mark.slow
def test_a_fit_that_rests_on_another_season_is_made_only_with_that_one_at_hand() -> None:
    first = field_data(SOWN, SEEN, year=2026)
    _, second = made_of(first, today=date(2027, 1, 5))
    for one in second["cohort"]:
        sown = one["planned"]["seeding"]
        one["recorded"] = {
            "seeding": sown,
            "emergence": sown + timedelta(days=5),
            "induced": date(2027, 8, 21),
        }
    alone, kept = made_of(second, today=date(2028, 1, 5))
    assert "fitted before to records of 2026, which are not at hand" in alone.varieties[0].as_it_was
    assert kept["variety"] == second["variety"]
    both, new = made_of(second, today=date(2028, 1, 5), further=[first])
    assert both.varieties[0].as_it_was == ""
    assert new["variety"][0]["marks"]["critical_day"] == "measured, 6 cohorts, 2027 2026"


# --- trials


def drawn_farm(trial=TRIAL, **more):
    """The data of a farm with its trial drawn."""
    before = held(trial, **more)
    return saved(before, draw_trial(before, "K1")).data


@pytest.mark.slow
def test_a_trial_is_drawn_anew_a_year_later_by_a_seed_that_is_stated() -> None:
    data = drawn_farm()
    made, new = made_of(data, today=AFTER)
    (trial,) = made.season.trials.values()
    assert trial.seed == 20270710
    assert trial.factors["date"] == ("2028-01-04", "2028-01-18")
    (drawn,) = made.trials
    assert (drawn.seed, drawn.plots, drawn.why_not) == (20270710, len(data["plot"]), "")
    # No cohort is made twice: the plots stand in those that were carried over.
    assert [one["id"] for one in new["cohort"]] == [one["id"] for one in data["cohort"]]
    again, _ = made_of(data, Wish(seed=5), today=AFTER)
    first, second = ([plot.treatment for plot in plots_of_trial(one.season, "K1")] for one in (made, again))
    assert first != second
    assert sorted(map(str, first)) == sorted(map(str, second))
    same, _ = made_of(data, today=AFTER)
    assert same.steps == made.steps
    with pytest.raises(Refusal, match="would come out the same; give another --seed"):
        made_of(data, Wish(seed=TRIAL["seed"]), today=AFTER)


def test_a_trial_whose_cohort_came_late_is_planted_with_it_on_its_planned_date() -> None:
    trial = {
        **{key: value for key, value in TRIAL.items() if key != "factors"},
        "design": "blocks",
        "factors": {"spacing": ["1.5x0.6", "1.5x0.9"]},
        "variety": "amber",
        "date": date(2027, 1, 9),
    }
    late = cohort(
        "L1",
        planted=date(2027, 1, 4),
        recorded={"seeding": date(2026, 12, 10), "transplant": date(2027, 1, 9)},
    )
    data = drawn_farm(trial, cohort=[late])
    made, new = made_of(data, today=AFTER)
    assert [one["id"] for one in new["cohort"]] == ["L1"]
    assert made.season.trials["K1"].date == date(2028, 1, 4)
    assert {plot["cohort"] for plot in new["plot"]} == {"L1"}


def test_a_trial_that_cannot_be_drawn_is_told_and_the_season_is_made() -> None:
    data = drawn_farm()
    # Another cohort of the same variety, place and day: whose plants stand in the plots is not known any more.
    twin = {**deepcopy(data["cohort"][-1]), "id": "twin"}
    data = {**data, "cohort": [*data["cohort"], twin]}
    made, _ = made_of(data, today=AFTER)
    assert "may be of" in made.trials[0].why_not
    assert plots_of_trial(made.season, "K1") == []


@pytest.mark.slow
def test_tasks_of_the_new_season_agree_with_its_plan() -> None:
    for data in (farm(), drawn_farm()):
        made, new = made_of(data, today=AFTER)
        assert made.season.tasks
        plan = make_plan(season_of(new), AFTER)
        assert differing_tasks(plan) == ()
        assert {task["id"] for task in new["task"]} == {task.id for task in made.season.tasks}


def test_a_held_season_of_an_older_form_is_carried_over_too() -> None:
    """The farm is of format 1."""
    assert FARM["format"] == 1
    made, _ = made_of(farm())
    assert made.plan.season.cohorts
    assert opened(upgraded(farm())).plan.season.name == "Trial"

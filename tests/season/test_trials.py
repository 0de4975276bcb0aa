"""Trials and their plots as records: what must hold, and what follows from a rename or a removal."""

from __future__ import annotations

import tomllib
from datetime import date

import pytest

from calendar_tui.season.contrasts import sides_of
from calendar_tui.season.edits import apply_edits
from calendar_tui.season.reading import read_season
from calendar_tui.season.references import renaming_edits
from calendar_tui.season.trials import level_spacing
from tests.season_data import TWO_RIVERS

GROWN = """
[[place]]
id = "F1"
kind = "field"
[[place]]
id = "H1"
kind = "hoop house"
[[variety]]
id = "amber"
response = "short-day"
[[variety]]
id = "brook"
response = "short-day"
"""
TRIAL = """
[[trial]]
id = "T1"
design = "split plot"
factors = { date = ["2026-11-02", "2026-11-16"], variety = ["amber", "brook"], spacing = ["1.5x0.6", "1.5x0.9"] }
place = "F1"
seed = 20261208
cv = 15
"""
PLOT = '{ id = "T1-101", trial = "T1", number = 101, block = 1, row = 1, column = 1, treatment = { variety = "amber" }, place = "F1" }'
OTHER = '{ id = "T1-102", trial = "T1", number = 102, block = 1, row = 1, column = 2 }'
GUARD = '{ id = "T1-g", trial = "T1", row = 2, column = 1, entry = "guard" }'


def data(trial: str = TRIAL, *plots: str):
    season = tomllib.loads(TWO_RIVERS + GROWN)
    rows = [tomllib.loads(f"plot = {plot}")["plot"] for plot in plots]
    return {**season, **tomllib.loads(trial), "plot": rows}


def problems(trial: str = TRIAL, *plots: str):
    return [problem.message for problem in read_season(data(trial, *plots)).problems]


def test_a_trial_and_its_plots_read():
    reading = read_season(data(TRIAL, PLOT, OTHER, GUARD))
    assert reading.problems == ()
    trial, plot = reading.season.trials["T1"], reading.season.plots["T1-101"]
    assert list(trial.factors) == ["date", "variety", "spacing"]
    assert (trial.blocks, trial.plot_rows, trial.row_plants, trial.cv) == (4, 4, 9, 15)
    assert plot.treatment == {"variety": "amber"}
    assert reading.season.plots["T1-g"].is_guard


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        (
            '"brook"]',
            '"broook"]',
            'trial T1: variety "broook" is not a variety of this season; did you mean "brook"?',
        ),
        ('"2026-11-16"', '"16 nov"', 'trial T1: date "16 nov" is no date; write it as 2027-05-10'),
        ('"2026-11-16"', '"2030-11-16"', "trial T1: date 2030-11-16 is outside the season, "),
        (
            '"1.5x0.9"',
            '"840x60"',
            'spacing "840x60" is in metres; each must be over 0 and up to 10 m, as 1.5x0.6',
        ),
        ('"1.5x0.9"', '"wide"', 'spacing "wide" is not read; write metres between rows and in the row'),
        ('"1.5x0.9"', '"1.5x0.6"', 'trial T1: spacing has the level "1.5x0.6" twice; name each once'),
        (
            "spacing =",
            "light =",
            "light is what a whole place gets, and no plot can be drawn for it; write places",
        ),
        (
            'place = "F1"',
            'place = "F1"\nplaces = { lit = ["H1"] }',
            "has place and places; leave one of the two out",
        ),
        (
            'place = "F1"',
            'places = { lit = ["H1"], dark = ["Q9"] }',
            'places "Q9" is not a place of this season',
        ),
        (
            'place = "F1"',
            'place = "F1"\nvariety = "amber"',
            "variety is a factor and is set for all plots too",
        ),
        (
            'place = "F1"',
            'draw_light_among = ["H1", "Q9"]',
            'trial T1: draw_light_among "Q9" is not a place of this season',
        ),
        (
            'place = "F1"',
            'draw_light_among = ["H1"]',
            "trial T1: draw_light_among: 1 places for 2 levels; there must be 2 levels or more",
        ),
        (
            'place = "F1"',
            'place = "F1"\ndraw_light_among = ["H1", "F1"]',
            "trial T1 has place and draw_light_among; leave one of the two out",
        ),
        ('place = "F1"', 'place = "Q9"', 'trial T1: place "Q9" is not a place of this season'),
        ("cv = 15", "cv = 0", "cv is 0; it must be from 0.1 to 300"),
        ('"split plot"', '"split"', 'design is "split"; it must be one of: completely randomised, blocks'),
        ("seed = 20261208", "seed = 1.5", "seed is 1.5; write a whole number from 0"),
    ],
)
def test_a_trial_that_cannot_be_is_told_with_what_would_be_right(old, new, message):
    assert old in TRIAL
    assert any(message in told for told in problems(TRIAL.replace(old, new, 1))), problems(
        TRIAL.replace(old, new, 1)
    )


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        (
            'trial = "T1", number = 102',
            'trial = "T2", number = 102',
            'plot T1-102: trial "T2" is not a trial of this',
        ),
        (
            "number = 102",
            "number = 101",
            "plot T1-102: T1 has plot 101 already, T1-101; give one of them another number",
        ),
        (
            "column = 2",
            'column = 1, place = "F1"',
            "plot T1-102: T1-101 lies on row 1, column 1 already; one plot lies",
        ),
        (
            "column = 2",
            'column = 2, cohort = "Z9"',
            'plot T1-102: cohort "Z9" is not a cohort of this season',
        ),
        (
            "column = 2",
            'column = 2, treatment = { variety = "oak" }',
            'variety "oak" is not a variety of this season',
        ),
        (
            "column = 2",
            'column = 2, entry = "guard"',
            "plot T1-102 is a guard, which is never measured; it has no number",
        ),
        ("number = 102, ", "", 'plot T1-102 has no number; add number = 101, or entry = "guard"'),
        ("column = 2", 'column = 2, why = "hail"', "plot T1-102: why it is lost needs the day, lost; set it"),
        (
            "column = 2",
            'column = 2, entry = "filler"',
            'entry is "filler"; it must be one of: test, check, guard',
        ),
    ],
)
def test_a_plot_that_cannot_be_is_told_with_what_would_be_right(old, new, message):
    assert old in OTHER
    told = problems(TRIAL, PLOT, OTHER.replace(old, new, 1))
    assert any(message in one for one in told), told


def test_a_variety_named_anew_is_so_in_its_trials_and_plots():
    was = data(TRIAL, PLOT)
    now = apply_edits(was, renaming_edits(was, "variety", "amber", "Amber-2"))
    assert now["trial"][0]["factors"]["variety"] == ["Amber-2", "brook"]
    assert now["plot"][0]["treatment"] == {"variety": "Amber-2"}
    assert read_season(now).problems == ()


def test_a_place_named_anew_is_so_where_light_is_told_by_places():
    was = data(TRIAL.replace('place = "F1"', 'places = { lit = ["H1"], dark = ["F1"] }'))
    now = apply_edits(was, renaming_edits(was, "place", "F1", "F9"))
    assert now["trial"][0]["places"] == {"lit": ["H1"], "dark": ["F9"]}
    assert read_season(now).problems == ()


def test_what_is_typed_as_a_spacing_is_metres():
    assert level_spacing("1.5 x 0.6") == (1.5, 0.6)


def test_a_date_of_a_trial_is_of_all_its_plots():
    reading = read_season(
        data(TRIAL.replace('date = ["2026-11-02", "2026-11-16"], ', "") + "date = 2026-11-02\n")
    )
    assert reading.season.trials["T1"].date == date(2026, 11, 2)


@pytest.mark.parametrize(
    ("contrast", "wrong"),
    [
        ("amber over brook", '"amber over brook" is no comparison; write levels against levels'),
        ("amber against elm", '"elm" is not a level; the levels are amber, brook'),
        ("amber against amber and brook", "names amber twice"),
    ],
)
def test_a_contrast_names_levels_once_on_two_sides(contrast, wrong):
    said = problems(TRIAL + f'contrasts = {{ variety = ["{contrast}"] }}\n')
    assert len(said) == 1
    assert wrong in said[0]


def test_a_contrast_is_of_a_factor():
    said = problems(TRIAL + 'contrasts = { sowing = ["a against b"] }\n')
    assert said == [
        'trial T1: contrasts are of "sowing", which is no factor; the factors are date, variety, spacing'
    ]


def test_the_sides_of_a_contrast():
    levels = ("amber", "brook", "salt and pepper")
    assert sides_of("amber against brook", levels) == (("amber",), ("brook",))
    assert sides_of("salt and pepper against amber and brook", levels) == (
        ("salt and pepper",),
        ("amber", "brook"),
    )


def test_a_variety_that_is_renamed_is_so_in_contrasts_too():
    was = data(TRIAL + 'contrasts = { variety = ["brook against amber", "amber against brook"] }\n')
    now = apply_edits(was, renaming_edits(was, "variety", "amber", "Amber-2"))
    assert now["trial"][0]["contrasts"] == {"variety": ["brook against Amber-2", "Amber-2 against brook"]}
    assert read_season(now).problems == ()

"""A season with trials on disk: one in two places with a border, drawn, one plot of it lost; one that is not drawn."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.trials.drawing import draw_trial
from calendar_tui.season.edits import Edit
from calendar_tui.season.reading import read_season
from calendar_tui.storage.toml.splice import spliced
from tests.commands.small_season import PLAIN
from tests.season_data import data_of

TODAY = date(2027, 1, 10)
DRAWN = """
[[trial]]
id = "K1"
name = "Spacing"
question = "Which spacing gives most on this soil?"
design = "blocks"
factors = { spacing = ["1.5x0.6", "1.5x0.75", "1.5x0.9"] }
blocks = 4
place = "F1"
variety = "amber"
date = 2027-01-04
spacing_m = [1.5, 0.6]
border = 1
cv = 12
seed = 20261208
"""
WAITING = """
[[trial]]
id = "K2"
design = "split plot"
factors = { date = ["2027-01-04", "2027-01-18"], soil = ["bare", "mulch"] }
blocks = 3
place = "F1"
variety = "amber"
spacing_m = [1.5, 0.6]
seed = 7
"""
LOST = "K1-103"


def trial_season(folder: Path, drawn_trial: str = DRAWN) -> Path:
    """The season file."""
    text = PLAIN + drawn_trial + WAITING
    data = data_of(text)
    season = read_season(data).season
    assert season is not None
    drawn = draw_trial(HeldSeason(make_plan(season, TODAY), data), "K1").change.edits
    lost = [
        Edit("set", "plot", (LOST,), ("lost",), date(2027, 1, 8)),
        Edit("set", "plot", (LOST,), ("why",), "flooded"),
    ]
    path = folder / "near-fields.toml"
    path.write_text(spliced(text, data, [*drawn, *lost]).text, encoding="utf-8")
    return path

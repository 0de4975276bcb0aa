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


VARIABLES = (
    {"id": "height", "unit": "cm", "method": "ground to the tip"},
    {"id": "stand", "name": "plants alive", "unit": "1", "scale": "count", "planned": "plants"},
)
ROUNDS = (date(2027, 1, 7), date(2027, 1, 9))
# How far plots lie from what their spacing has, in turn. Invented.
_OFF = (1.2, -0.6, 0.3, -1.4, 0.8, 2.4, -0.9, 0.1, -1.1, 0.5, -0.4, 0.7)


def observed_trial_season(folder: Path) -> Path:
    """The same with heights of two rounds and plants counted once; plot 103 is lost between the rounds."""
    path = trial_season(folder)
    text = path.read_text(encoding="utf-8")
    data = data_of(text)
    plots = [plot for plot in data["plot"] if plot.get("number")]
    found = [("add", "variable", (one["id"],), one) for one in VARIABLES]
    for n, (plot, off) in enumerate(zip(plots, _OFF, strict=True)):
        closer = float(plot["treatment"]["spacing"].partition("x")[2])
        for k, day in enumerate(ROUNDS):
            if not (k and plot["id"] == LOST):
                found.append(
                    _observation(day, plot["id"], "height", f"{30 + 20 * k - 8 * k * closer + off:.1f}")
                )
        found.append(_observation(ROUNDS[0], plot["id"], "stand", str(plot["plants"] - n % 3)))
    edits = [Edit(what, kind, ident, (), dict(table)) for what, kind, ident, table in found]
    path.write_text(spliced(text, data, edits).text, encoding="utf-8")
    return path


def _observation(day: date, at: str, variable: str, value: str):
    table = {"date": day, "at": at, "variable": variable, "value": value}
    return "add", "observation", (day, at, variable), table

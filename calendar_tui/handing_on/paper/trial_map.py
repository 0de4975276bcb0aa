"""The map of a trial as a drawing that stands alone (SVG): plots as they lie, with what each gets, north and the gate."""

from __future__ import annotations

from collections.abc import Iterator

from calendar_tui.handing_on.paper.markup import drawing, element, escaped, fitted, label
from calendar_tui.planning.trials.ground_map import GroundMap, level_name, maps_of, treatment_name
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.trials import LIGHT, Trial, TrialPlot

_WIDE, _HIGH, _HEAD, _FOOT, _MARGIN = 26.0, 18.0, 10.0, 9.0, 4.0  # mm
_NUMBER, _TEXT = 5.0, 2.8
_GUARD, _LOST, _INK, _PLAIN = "#dddddd", "#f3c6c0", "#000", "#ffffff"
_NORTH = {"back": "north is up", "front": "north is down", "left": "north is left", "right": "north is right"}


def trial_svg(season: Season, trial: Trial) -> bytes:
    """The file of a drawing: its places below each other. Raises Refusal where nothing is drawn yet."""
    svg = trial_drawing(season, trial, f"{season.name}: {trial.name or trial.id}")
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{svg}\n'.encode()


def trial_drawing(season: Season, trial: Trial, title: str) -> str:
    """The same as an element of a page."""
    maps = maps_of(season, trial)
    if not maps:
        raise Refusal(
            f"trial {trial.id} has no plots yet; draw it first: calendar-tui trial {trial.id} --draw"
        )
    wide = max(one.columns for one in maps) * _WIDE + 2 * _MARGIN
    high = sum(_height(one) for one in maps) + 2 * _MARGIN
    top, inside = _MARGIN, list[str]()
    for one in maps:
        inside += _place(trial, one, top)
        top += _height(one)
    return drawing(title, wide, high, inside)


def _height(one: GroundMap) -> float:
    return _HEAD + one.rows * _HIGH + _FOOT


def _place(trial: Trial, one: GroundMap, top: float) -> Iterator[str]:
    level = f", {LIGHT} {one.level}" if one.level else ""
    yield label(_MARGIN, top + 6, f"{trial.id} in {one.place}{level}; {_NORTH[trial.north]}", 4)
    for (row, column), plot in one.plots.items():
        yield _plot(plot, _MARGIN + (column - 1) * _WIDE, top + _HEAD + (one.rows - row) * _HIGH)
    foot = top + _HEAD + one.rows * _HIGH + 6
    yield label(_MARGIN, foot, f"gate; walked from the {trial.corner}, first {trial.direction}", 3.5)


def _plot(plot: TrialPlot, x: float, y: float) -> str:
    fill = _GUARD if plot.is_guard else _LOST if plot.lost is not None else _PLAIN
    box = element("rect", x=x, y=y, width=_WIDE, height=_HIGH, fill=fill, stroke=_INK, stroke_width=0.3)
    if plot.is_guard:
        return element("g", element("title", "guard, never measured"), box)
    lines = [level_name(factor, level) for factor, level in plot.treatment.items() if factor != LIGHT]
    texts = [
        label(x + 1.5, y + 9 + n * 3.3, fitted(line, _WIDE - 3, _TEXT), _TEXT)
        for n, line in enumerate(lines[:3])
    ]
    number = label(x + 1.5, y + 5.6, f"{plot.number}{' lost' if plot.lost is not None else ''}", _NUMBER)
    return element("g", element("title", escaped(_hover(plot))), box, number, *texts)


def _hover(plot: TrialPlot) -> str:
    parts = (
        f"plot {plot.number}, block {plot.block}",
        treatment_name(plot),
        plot.cohort,
        f"row {plot.row}, column {plot.column}",
        "" if plot.plants is None else f"{plot.plants} plants",
        "" if plot.lost is None else f"lost: {plot.why or plot.lost}",
    )
    return ", ".join(part for part in parts if part)

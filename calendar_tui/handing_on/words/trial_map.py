"""The map of a trial in text: as its plots are walked, the furthest row first, with north and the gate."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from calendar_tui.handing_on.words.plain_text import WIDTH, hanging
from calendar_tui.planning.trials.ground_map import (
    GroundMap,
    codes_of,
    level_name,
    maps_of,
    treatment_name,
)
from calendar_tui.season.cells import cell_len, cut_text, filled
from calendar_tui.season.records import Season
from calendar_tui.season.trials import LIGHT, Trial, TrialPlot

GUARD_SIGN, LOST_SIGN = "::", "x"
_GAP = 2
_ARROWS: Mapping[str, str] = {"back": "^ north", "front": "v north", "left": "< north", "right": "north >"}
_Label = Callable[[TrialPlot], str]


def map_lines(season: Season, trial: Trial, width: int = WIDTH) -> Iterator[str]:
    """Each place of a trial; with signs for treatments, and what they are, where their names do not fit."""
    maps = maps_of(season, trial)
    names = all(_wide(one, treatment_name) <= width for one in maps)
    codes = codes_of(trial)
    label: _Label = treatment_name if names else lambda plot: _code(plot, codes)
    for one in maps:
        yield ""
        yield from _place_lines(trial, one, label, width)
    if not names:
        yield from _key_lines(trial, codes, width)
    if any(plot.lost is not None for one in maps for plot in one.plots.values()):
        yield f"{LOST_SIGN} lost, nothing of it counts"
    if any(plot.is_guard for one in maps for plot in one.plots.values()):
        yield f"{GUARD_SIGN} guard, never measured"


def _code(plot: TrialPlot, codes: Mapping[tuple[str, str], str]) -> str:
    return "".join(codes.get(pair, pair[1]) for pair in plot.treatment.items() if pair[0] != LIGHT)


def _key_lines(trial: Trial, codes: Mapping[tuple[str, str], str], width: int) -> Iterator[str]:
    for factor, levels in trial.factors.items():
        named = ", ".join(
            f"{codes.get((factor, level), level)} {level_name(factor, level)}" for level in levels
        )
        yield from hanging(f"{factor}: {named}", width)


def _cells(one: GroundMap, label: _Label) -> dict[tuple[int, int], tuple[str, str]]:
    """Two lines for each plot: its number, and what it gets."""
    return {spot: (_number(plot), "" if plot.is_guard else label(plot)) for spot, plot in one.plots.items()}


def _number(plot: TrialPlot) -> str:
    if plot.is_guard:
        return GUARD_SIGN
    return f"{plot.number}{LOST_SIGN if plot.lost is not None else ''}"


def _wide(one: GroundMap, label: _Label) -> int:
    cells = _cells(one, label).values()
    return one.columns * (_GAP + max(cell_len(text) for cell in cells for text in cell))


def _place_lines(trial: Trial, one: GroundMap, label: _Label, width: int) -> Iterator[str]:
    cells = _cells(one, label)
    room = max(3, min(_wide(one, label), width) // one.columns)
    level = f", {LIGHT} {one.level}" if one.level else ""
    yield f"{one.place}{level}   {_ARROWS[trial.north]}"
    for row in range(one.rows, 0, -1):
        in_row = [cells.get((row, column), ("", "")) for column in range(1, one.columns + 1)]
        for texts in zip(*in_row, strict=True):
            if line := "".join(filled(cut_text(text, room - 1), room) for text in texts).rstrip():
                yield line
    yield f"gate; walked from the {trial.corner}, first {trial.direction}"

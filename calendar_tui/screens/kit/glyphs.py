"""What the season view is drawn with: a glyph for each phase and stage, and a colour for each style name."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from calendar_tui.planning.why.phases import PHASES
from calendar_tui.season.stages import TABLE

# Ranges, earliest to latest, of the two stages whose spread is drawn.
BRACKETS: Mapping[str, tuple[str, str]] = {s.name: s.bracket for s in TABLE if s.bracket}

# Before the name of a cohort that is marked.
MARKED = "*"


class Glyphs(NamedTuple):
    """One set of glyphs, each one cell wide.

    phases: the fill of each phase. outage: a night on which lamps failed. bar, free: a cell of a bar that is full, and of one that is free. curve: a level line low, in the middle and high in a row,. ground: of the hill of days.
    month: the line of a month's first day. folded: cohorts that share a row, from the first start to the last harvest.
    """

    phases: Mapping[str, str]
    outage: str
    curve: str
    ground: str
    month: str
    folded: str
    upright: str
    tick: str
    pointer: str
    ellipsis: str
    up: str
    down: str
    arrows: Mapping[str, str]
    bar: str
    free: str


UNICODE = Glyphs(
    phases=dict(zip(PHASES, "▁▂▃▀▄▅▇┄", strict=True)),
    outage="╳",
    curve="▁─▔",
    ground="░",
    month="┊",
    folded="─",
    upright="│",
    tick="┤",
    pointer="▶",
    ellipsis="…",
    up="▲",
    down="▼",
    arrows={"Up": "↑", "Down": "↓", "Left": "←", "Right": "→"},
    bar="▓",
    free="·",
)
ASCII = Glyphs(
    phases=dict(zip(PHASES, ".-=%:+#~", strict=True)),
    outage="!",
    curve="_-^",
    ground=".",
    month=" ",
    folded="_",
    upright="|",
    tick="|",
    pointer=">",
    ellipsis="...",
    up="^",
    down="v",
    arrows={},
    bar="#",
    free=".",
)

# Rich style text by style name, of runs and of rows alike; the 16 colours of the terminal only, so that its owner's palette
# holds, and of these none that is not legible on both black and white where it tells something (themes.py has other sets).
STYLES: Mapping[str, str] = {
    "": "",
    "title": "bold",
    "notice": "bold",
    "hours": "",
    "curve": "",
    "ground": "dim",
    "threshold": "",
    "other": "dim",
    "axis": "",
    "today": "bold red",
    "nursery": "green",
    "natural": "bold green",
    "lamps": "bold",
    "covers": "blue",
    "run": "cyan",
    "induced": "magenta",
    "flower": "bold magenta",
    "drying": "",
    "stage": "",
    "recorded": "bold",
    "range": "bold",
    "label": "",
    "group": "bold",
    "late": "bold red",
    "pointed": "bold reverse",
    "cursor": "reverse",
    "at": "bold",
    "detail": "",
    "clash": "bold red",
    "outage": "bold reverse red",
    "legend": "dim",
    "key": "bold",
    "footer": "",
    "message": "bold",
    "warning": "bold",
    "refusal": "bold red",
    "heading": "bold",
    "strong": "bold",
    "faint": "dim",
}


def glyph_set(ascii_only: bool) -> Glyphs:
    return ASCII if ascii_only else UNICODE

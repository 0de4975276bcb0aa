"""What is believed of a crop's rise in an analyte before it has results of its own: one table of figures.

The model: log value = plateau + position + h(t) + week + error, t in days after 50 % flowering, natural logarithms, with
h(t) = -ln(1 + e^(-(t - m) / s)) - d max(0, t - m - 3 s): a rise that is half done on day m, and a slow fall after it.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import log
from typing import NamedTuple


class Belief(NamedTuple):
    """Mean and standard deviation of a normal belief."""

    mean: float
    sd: float


class Fall(NamedTuple):
    """A rate of fall after the top, share a day, and the weight it has."""

    a_day: float
    weight: float


class Prior(NamedTuple):
    """Beliefs before results. *_log: natural logarithms; midpoint and week_days in days; sd of logs are shares, about.

    positions: how far a canopy position stands off the top, log. noise_log: ln of the SD of one result, log. The week's
    part, which all results of a date share, has week_ratio times that SD; it fades as e^(-days / week_days).
    laboratory_sd: of the unknown step, log, from one laboratory to another.
    """

    plateau_log: Belief
    midpoint_d: Belief
    pace_log: Belief
    falls: tuple[Fall, ...]
    positions: Mapping[str, Belief]
    other_position: Belief
    noise_log: Belief
    week_ratio: float
    week_days: float
    laboratory_sd: float


# Total THC, % of dry weight. Chosen by trying six models on made-up seasons.
TOTAL_THC = Prior(
    plateau_log=Belief(log(0.55), 0.5),
    midpoint_d=Belief(32.0, 10.0),
    pace_log=Belief(log(7.0), 0.4),
    falls=(Fall(0.0, 0.35), Fall(0.006, 0.25), Fall(0.012, 0.20), Fall(0.025, 0.12), Fall(0.05, 0.08)),
    positions={"top": Belief(0.0, 0.0), "middle": Belief(-0.12, 0.15), "bottom": Belief(-0.18, 0.18)},
    other_position=Belief(-0.10, 0.18),
    noise_log=Belief(log(0.08), 0.4),
    week_ratio=1.25,
    week_days=10.0,
    laboratory_sd=0.08,
)

# Total CBD, %: twenty times the level, by CBDA : THCA of about 20 : 1 (NC State Extension, read); spread as for THC, which is
# a placeholder. Total CBD may go on without a fall (Linder et al. 2022, read in part): one of the falls is none.
TOTAL_CBD = TOTAL_THC._replace(plateau_log=Belief(log(0.55 * 20), 0.5))

# What stands behind each figure of TOTAL_THC.
MARKS: Mapping[str, str] = {
    "plateau_log": "placeholder: 0.55 %, so that most crops pass 0.3 % (Yang et al. 2020, Linder et al. 2022, read in part)",
    "midpoint_d": "placeholder, by the published weeks of crossing (Yang et al. 2020; south Florida thesis 2021, read in part)",
    "pace_log": "placeholder: 7 d",
    "falls": "placeholder: a plateau of varied length, then a decline (Yang et al. 2020, read in part)",
    "positions": "placeholder round PMC8747189 (read): total CBD top 9.9, middle 8.2, bottom 7.7 %",
    "other_position": "placeholder",
    "noise_log": "computed: one pooled result about 8 %, from the official example +-0.06 at 0.35 % taken as k = 2",
    "week_ratio": "placeholder: a shared weekly part of 3 to 10 %",
    "week_days": "placeholder",
    "laboratory_sd": "placeholder: two laboratories may lie much further apart (Smith 2020, read: 0.11 percentage points)",
}

"""The types that a variety starts from: likely figures with spreads, as a season file has them, and where they come from.

Three figures are early, likely and late: likely, and 1.2816 standard deviations to either side, the 10th and the 90th percentile.
Those of `full_response_day` lie a width below the likely critical day: its early figure is that of the greatest width. The first
type is the default. "The fits" are fits of the graded count to half-induction dates in the open records of four sowings in 2019 at
25.5 N under natural days; docs/how-dates-are-worked-out.md has them.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

_ZHANG = "Zhang et al. 2021, Frontiers in Plant Science 12:694153 (read)"

TYPES: Mapping[str, Mapping[str, Any]] = {
    "oil-unknown": {
        "name": "oil, nothing known",
        "about": "an essential-oil variety of which nothing is known; covers both readings of the oil types below",
        "response": "short-day",
        "source": "placeholder round the fits and round the reading of Zhang et al. 2021",
        "critical_day": ["13:28", "14:06", "14:44"],
        "full_response_day": ["12:02", "12:48", "13:34"],
        "juvenile_d": [16, 25, 34],
        "inductive_days": [4.8, 8, 11.2],
        "marks": dict.fromkeys(
            ("critical_day", "full_response_day", "juvenile_d", "inductive_days"), "placeholder"
        ),
    },
    "oil-fitted": {
        "name": "oil, as fitted at 25.5 N",
        "about": "two oil varieties in Florida; the day there never passes 13 h 44, so its critical day is an extrapolation",
        "response": "short-day",
        "source": "computed: the fits of two oil varieties",
        "critical_day": ["13:47", "14:06", "14:25"],
        "full_response_day": ["11:53", "12:24", "12:55"],
        "juvenile_d": [19, 25, 31],
        "inductive_days": [6.4, 9, 11.6],
        "marks": dict.fromkeys(
            ("critical_day", "full_response_day", "juvenile_d", "inductive_days"), "computed"
        ),
    },
    "oil-zhang": {
        "name": "oil, as Zhang et al. read it",
        "about": "hardly any delay in days up to 13 h 45, 5 to 13 d of delay at 14 h 00, more above",
        "response": "short-day",
        "source": f"{_ZHANG}; juvenile time and count: placeholder round the fits",
        "critical_day": ["13:52", "14:15", "14:38"],
        "full_response_day": ["13:26", "13:45", "14:04"],
        "juvenile_d": [16, 25, 34],
        "inductive_days": [4.8, 8, 11.2],
        "marks": {
            "critical_day": "read",
            "full_response_day": "read",
            "juvenile_d": "placeholder",
            "inductive_days": "placeholder",
        },
    },
    "fibre-subtropical": {
        "name": "fibre, subtropical",
        "about": "flowers only in days well under 13 h 20",
        "response": "short-day",
        "source": "computed: the fits of subtropical fibre varieties",
        "critical_day": ["12:47", "13:18", "13:49"],
        "full_response_day": ["10:56", "11:42", "12:28"],
        "juvenile_d": [16, 25, 34],
        "inductive_days": [4.8, 8, 11.2],
        "marks": {
            "critical_day": "computed",
            "full_response_day": "computed",
            "juvenile_d": "placeholder",
            "inductive_days": "placeholder",
        },
    },
    "fibre-northern": {
        "name": "fibre, northern",
        "about": "flowered 19 to 27 d after sowing whatever the date, in days under 14 h; its critical day is hardly known",
        "response": "short-day",
        "source": "computed: the same open records at 25.5 N; critical day and width: placeholder",
        "critical_day": ["14:28", "15:30", "16:32"],
        "full_response_day": ["13:44", "14:30", "15:16"],
        "juvenile_d": [6, 11, 16],
        "inductive_days": [2.8, 6, 9.2],
        "marks": {
            "critical_day": "placeholder",
            "full_response_day": "placeholder",
            "juvenile_d": "computed",
            "inductive_days": "computed",
        },
    },
    "day-neutral": {
        "name": "day-neutral",
        "about": "flowers by age, whatever the day: 70 to 85 d from sowing to harvest",
        "response": "day-neutral",
        "source": "one breeder's figures, 70 to 85 d from sowing to harvest (read, seed trade); how they part: placeholder",
        "emergence_to_flowering_d": [25, 30, 35],
        "flowering_to_harvest_d": [36, 42, 48],
        "marks": {"emergence_to_flowering_d": "placeholder", "flowering_to_harvest_d": "placeholder"},
    },
}

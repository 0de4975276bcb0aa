"""A farm with results of the laboratory: A1 in flower since 24 Feb, its totals given by position and day after flowering."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from copy import deepcopy
from datetime import date, timedelta
from typing import Any

from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.season.sample_ids import check_sign
from tests.planning.farm import FARM, season_of

FLOWERING = date(2027, 2, 24)
RULES = {"id": "us", "name": "Example rules", "limit_percent": 0.30, "as_of": date(2026, 11, 28)}
A = {"top": {21: 0.08, 28: 0.14, 35: 0.20, 42: 0.24}}
B = {
    "top": {18: 0.06, 25: 0.12, 32: 0.19, 39: 0.18, 46: 0.25},
    "middle": {18: 0.05, 25: 0.11, 32: 0.17, 39: 0.16, 46: 0.22},
    "bottom": {18: 0.05, 25: 0.10, 32: 0.15, 39: 0.15, 46: 0.20},
}
C = {"top": {20: 0.07, 27: 0.13, 34: 0.19, 41: 0.22, 48: 0.23, 55: 0.23}}
D = {"top": {14: 0.04, 21: 0.09, 28: 0.16}}
Totals = Mapping[str, Mapping[int, float]]


def bag_id(number: int) -> str:
    plain = f"T{number:04d}"
    return plain + check_sign(plain)


def bags_of(
    cohort: str,
    totals: Totals,
    first: int = 0,
    flowering: date = FLOWERING,
    laboratories: Sequence[str] = ("lab",),
    **more: Any,
) -> Iterable[tuple[dict[str, Any], dict[str, Any]]]:
    """A bag and its result for each total (%), THC by itself; CBD twenty times as much. The laboratories by turns of a position."""
    number = first
    for position, by_day in totals.items():
        for at, (day, total) in enumerate(by_day.items()):
            number += 1
            cut = flowering + timedelta(days=day)
            laboratory = laboratories[min(at, len(laboratories) - 1)]
            bag = {"id": bag_id(number), "date": cut, "cohort": cohort, "position": position, "state": "sent"}
            found = {"THC": str(total), "THCA": "0", "CBD": str(round(total * 20, 4)), "CBDA": "0"}
            result = {"id": f"r{number:03d}", "date": cut + timedelta(days=6), "sample": bag["id"]}
            yield bag | more, result | {"laboratory": laboratory, "found": found}


def trended_data(*pairs: Iterable[tuple[dict[str, Any], dict[str, Any]]], **more: Any) -> dict[str, Any]:
    """The farm's data: A1 and B1 of one variety, B1 in flower 14 d later. pairs: of `bags_of`. more: further records."""
    data = deepcopy(FARM)
    first = data["cohort"][0]
    first["recorded"] |= {"transplant": date(2026, 11, 26), "flowering": FLOWERING}
    second = deepcopy(first) | {"id": "B1", "place": "F1"}
    second["recorded"]["flowering"] = FLOWERING + timedelta(days=14)
    del second["planned"]["lights_off"]
    other = deepcopy(second) | {"id": "P1", "variety": "plain"}
    data["cohort"] = [first, second, other]
    data["profile"] = [dict(RULES)]
    data["laboratory"] = [{"id": "lab"}, {"id": "other"}]
    every = [pair for own in pairs for pair in own]
    data["sample"] = [bag for bag, _ in every]
    data["result"] = [result for _, result in every]
    return data | more


def trended(*pairs: Iterable[tuple[dict[str, Any], dict[str, Any]]], today: date, **more: Any) -> Plan:
    return make_plan(season_of(trended_data(*pairs, **more)), today)

"""The views of bags and of their results, made on demand, so that what they need is loaded only then."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from textual.screen import Screen

from calendar_tui.planning.plan import Plan

if TYPE_CHECKING:
    from calendar_tui.planning.changes.trip_cut import TripBag
    from calendar_tui.screens.samples.rows import Bags


def first_bags(plan: Plan, data: Mapping[str, Any], *at: Any) -> Bags:
    from calendar_tui.screens.samples.rows import first_bags

    return first_bags(plan, *at[:1])


def bags(worked_out: Bags, day: date | None = None, cohort: str = "") -> Screen[Any]:
    from calendar_tui.screens.samples.view import BagsView

    return BagsView(worked_out, day, cohort)


def first_trip(plan: Plan, data: Mapping[str, Any], tasks: Sequence[str], *_: bool) -> Sequence[TripBag]:
    from calendar_tui.screens.samples.trip_view import bags_of_trip

    return bags_of_trip(plan, dict(data), tasks)


def trip(worked_out: Sequence[TripBag], tasks: Sequence[str], on_day: bool = False) -> Screen[Any]:
    from calendar_tui.screens.samples.trip_view import TripView

    return TripView(worked_out, tasks, on_day=on_day)


def results() -> Screen[Any]:
    from calendar_tui.screens.results.view import ResultsView

    return ResultsView()

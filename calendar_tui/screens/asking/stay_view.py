"""Carry pots into another place: the place and the date, then what moves; up to today it happened, later it is planned."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import Input

from calendar_tui.planning.changes.carrying import add_stays
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.asking.answers import OneChange
from calendar_tui.screens.asking.form import Form
from calendar_tui.screens.kit.actions import bindings
from calendar_tui.screens.kit.drawing import BOLD, DIM, HEADING, Bar, ListRow, row, wrapped
from calendar_tui.screens.kit.host import host
from calendar_tui.season.finders import find_cohort
from calendar_tui.season.measures import as_written, measured
from calendar_tui.season.records import Place, Season
from calendar_tui.season.typed_dates import FROM_TODAY, typed_in_season
from calendar_tui.season.wording import cohorts_text, year_day_text

FOOT = ("stay", "view")
FORMS = 'Date: 2026-11-08, "8 nov", +9 (days from today), a weekday, or today'


def light_rows(season: Season, standing: Iterable[str]) -> Iterable[ListRow]:
    """A row for each light that pots can be carried into: those under which none of the cohorts stands first."""
    lights = [(name, place) for place in season.places.values() for name in place.lights]
    here = set(standing)
    for name, place in sorted(lights, key=lambda pair: pair[0] in here):
        stand = "; they stand here" if name in here else ""
        yield row((f"{name}  ", BOLD), f"{_kind(place)}{stand}", key=name)


def _kind(place: Place) -> str:
    lamps = "lamps" if place.lamps else "no lamps"
    return (
        f"{place.kind}, {measured(place.area_m2, 'm2', as_written)}, {lamps}"
        if place.area_m2
        else f"{place.kind}, {lamps}"
    )


class StayView(Form):
    """Asks where the pots of a cohort, or several, are carried, and when."""

    HELP_FIRST = "stay"
    BINDINGS: ClassVar[list[BindingType]] = bindings("stay")

    def __init__(self, cohort_id: str, others: tuple[str, ...] = ()) -> None:
        """cohort_id, others: the cohorts whose pots are carried."""
        self._ids = (cohort_id, *others)
        self._day = Input(id="day")
        fields = (
            Bar(row((FORMS, DIM))),
            Bar(row(("Carried on; a date to come is planned:", BOLD))),
            self._day,
        )
        super().__init__(self._rows, fields, FOOT)

    def compose(self) -> ComposeResult:
        plan = host(self).plan
        if plan is not None:
            self._list.key = next((str(r.key) for r in light_rows(plan.season, self._standing(plan))), "")
        yield from super().compose()

    def on_mount(self) -> None:
        self._day.value = year_day_text(host(self).today)
        self._day.focus()

    def _standing(self, plan: Plan) -> list[str]:
        there = (plan.timelines[name] for name in self._ids if name in plan.timelines)
        return [timeline.stay_on(plan.today).light for timeline in there]

    def _rows(self, width: int) -> Iterable[ListRow]:
        plan = host(self).plan
        names = cohorts_text(self._ids)
        if plan is None or not all(name in plan.timelines for name in self._ids):
            return wrapped(f"{names} is not in this season any more.", width)
        self._heading.say(row(("Carry pots into another place", HEADING), f"  {names}"))
        return light_rows(plan.season, self._standing(plan))

    def action_place(self, by: int) -> None:
        self._list.action_step(by)

    def on_input_submitted(self) -> None:
        typed = (self._ids, self._list.key, self._day.value, host(self).date_order)
        self.ask(lambda plan: _carrying(plan, *typed))


def _carrying(plan: Plan, names: tuple[str, ...], light: str, text: str, order: str) -> OneChange:
    """The stay as typed. Raises ValueError where the date is none."""
    today = plan.today
    day = typed_in_season(
        text, plan.season, today=today, planned=today, past=False, order=order, counted=FROM_TODAY
    )
    return OneChange(f"{cohorts_text(names)} into {light}", lambda of: _stays(of, names, light, day))


def _stays(plan: Plan, names: tuple[str, ...], light: str, day: date) -> Proposal:
    cohorts = [find_cohort(plan.season, name) for name in names]
    return add_stays(plan, cohorts, light, day, done=day <= plan.today)

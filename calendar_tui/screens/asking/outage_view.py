"""Record nights on which lamps failed: a place where the cohort stands, the first and last night, then what moves."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import Input

from calendar_tui.planning.changes.outages import lamp_places, nights_text, nothing_stands_text, standing
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.asking.answers import Nights
from calendar_tui.screens.asking.form import Form
from calendar_tui.screens.kit.actions import bindings, shown_key
from calendar_tui.screens.kit.drawing import BOLD, DIM, HEADING, Bar, ListRow, row, wrapped
from calendar_tui.screens.kit.host import host
from calendar_tui.season.records import Cohort, Place, Season
from calendar_tui.season.typed_dates import NIGHTS_AGO, NIGHTS_ON, night_base, typed_in_season
from calendar_tui.season.wording import cohorts_text, year_day_text

FOOT = ("outage", "view")
FORMS = 'Dates: "8 nov", a weekday, today, -3 (nights ago); the last also +2 (nights on)'


def place_row(season: Season, cohort: Cohort, name: str, place: Place, there: str = "") -> ListRow:
    """A place with lamps or a part of it, what it is to the cohort, what stands there, and its outages so far."""
    grows = "growing place" if name in cohort.growing_lights else "nursery"
    stands = grows if name in cohort.lights else "all its parts"
    what = ", ".join(dict.fromkeys((stands, place.kind))) + (f"; {there}" if there else "")
    saved = [nights_text(o) for o in season.outages if o.place == name]
    known = f"; outages so far: {', '.join(saved)}" if saved else ""
    return row((f"{name}  ", BOLD), f"{what}{known}", key=name)


class OutageView(Form):
    """Asks for the nights without lamps."""

    HELP_FIRST = "outage"
    BINDINGS: ClassVar[list[BindingType]] = bindings("outage")

    def __init__(self, cohort_id: str, others: tuple[str, ...] = ()) -> None:
        """cohort_id, others: the cohorts whose places are listed."""
        self._ids = (cohort_id, *others)
        self._first, self._last = Input(id="first"), Input(id="last")
        fields = (
            Bar(row((FORMS, DIM))),
            Bar(row(("First night without lamps, named by its evening:", BOLD))),
            self._first,
            Bar(row(("Last night; may be left empty where it was one:", BOLD))),
            self._last,
        )
        super().__init__(self._rows, fields, FOOT)

    def compose(self) -> ComposeResult:
        self._list.key = self._standing()
        yield from super().compose()

    def on_mount(self) -> None:
        self._first.value = year_day_text(_last_night(host(self).today))
        self._first.focus()

    def _standing(self) -> str:
        """The places of the cohorts last night, as a key of the list; "" where they are empty."""
        plan = host(self).plan
        return "" if plan is None else _key(_lit_last_night(plan, self._ids))

    def _rows(self, width: int) -> Iterable[ListRow]:
        plan = host(self).plan
        cohorts = [] if plan is None else [c for c in map(plan.season.cohorts.get, self._ids) if c]
        if plan is None or not cohorts:
            return wrapped(f"{cohorts_text(self._ids)} is not in this season any more.", width)
        names = cohorts_text([cohort.id for cohort in cohorts])
        self._heading.say(row(("Record nights without lamps", HEADING), f" for {names}"))
        places = {name: (c, p) for c in reversed(cohorts) for name, p in lamp_places(plan.season, c).items()}
        if not places:
            stands = "stands" if len(cohorts) == 1 else "stand"
            return wrapped(
                f"{names} {stands} in no place with lamps: none can fail. {shown_key(self, 'view.escape')} goes back.",
                width,
            )
        night = self._night(plan)
        empty = {name: nothing_stands_text(plan, name, night, night) for name in places}
        together = _lit_last_night(plan, self._ids)
        whole = f"all {len(together)} places, as one change"
        return [
            *(
                [row((f"{' '.join(together)}  ", BOLD), whole, key=_key(together))]
                if len(together) > 1
                else []
            ),
            *(
                place_row(
                    plan.season,
                    places[name][0],
                    name,
                    places[name][1],
                    empty[name] or _standing_text(plan, name, night),
                )
                for name in sorted(places, key=lambda name: bool(empty[name]))
            ),
        ]

    def _night(self, plan: Plan) -> date:
        """The first night as it is typed so far; last night where that is no date."""
        try:
            return _typed(plan, self._first.value, None, host(self).date_order)
        except ValueError:
            return _last_night(plan.today)

    def on_input_changed(self) -> None:
        self._list.redraw()

    def action_place(self, by: int) -> None:
        self._list.action_step(by)

    def on_input_submitted(self) -> None:
        typed = (self._ids, self._list.key, self._first.value, self._last.value, host(self).date_order)
        self.ask(lambda plan: _nights(plan, *typed))


def _standing_text(plan: Plan, place: str, night: date) -> str:
    """ "A3 B1 stand there"."""
    names = standing(plan, place, night, night)
    return f"{cohorts_text(names)} {'stands' if len(names) == 1 else 'stand'} there"


def _last_night(today: date) -> date:
    """The evening of the latest night that has come."""
    return today - timedelta(days=1)


def _lit_last_night(plan: Plan, names: Iterable[str]) -> tuple[str, ...]:
    """The lights under which these cohorts stood last night, where anything stood and lamps can fail."""
    night = _last_night(plan.today)
    there = [plan.timelines[name] for name in names if name in plan.timelines]
    lights = dict.fromkeys(
        light
        for timeline in there
        if (light := timeline.stay_on(night).light) in lamp_places(plan.season, timeline.cohort)
    )
    return tuple(n for n in lights if not nothing_stands_text(plan, n, night, night))


def _key(places: Iterable[str]) -> str:
    """The key of a row that is for these places; no id of one has a comma."""
    return ",".join(places)


def _nights(plan: Plan, cohorts: tuple[str, ...], key: str, first: str, last: str, order: str) -> Nights:
    """The nights as typed. Raises ValueError where they are none."""
    begin = _typed(plan, first, None, order)
    end = _typed(plan, last, begin, order) if last.strip() else begin
    return Nights(cohorts[0] if len(cohorts) == 1 else "", tuple(key.split(",")), begin, end)


def _typed(plan: Plan, text: str, first: date | None, order: str) -> date:
    today = plan.today
    base = night_base(text, today, first)
    counted = NIGHTS_AGO if first is None else NIGHTS_ON
    return typed_in_season(
        text, plan.season, today=today, planned=base, past=True, order=order, counted=counted
    )

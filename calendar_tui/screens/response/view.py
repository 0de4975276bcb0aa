"""The response of the date: what planting on each date of a year comes to, as a plot with a cursor that reads it out."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import Any, ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.screen import Screen

from calendar_tui.handing_on.words.first_steps import next_step
from calendar_tui.planning.laying_out.stays import growing
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.response.outcomes import (
    Curve,
    Outcome,
    Planting,
    placed,
    planting_text,
    response,
    usual_nursery,
)
from calendar_tui.screens.kit.actions import bindings, footer_runs, keys_on
from calendar_tui.screens.kit.canvas import Runs, fitted, words_alone
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.sheet import Sheet
from calendar_tui.screens.kit.spans import SpanCompositor
from calendar_tui.screens.response.plot import legend_row, plot_rows
from calendar_tui.season.readers import plain
from calendar_tui.season.records import Season
from calendar_tui.season.wording import day_text, full_day_text

TITLE, WAITING = "Planting dates", "Working out..."
FOOT = ("response", "help", "view")
SMALLEST = (60, 16)
YEAR_D = 365
# Days after planting at which the lamps are tried off; None: natural days.
OFF_D: tuple[int | None, ...] = (None, 14, 28, 42, 56)
# Rows that stand beside the plot: title, legend, what is read out, and the keys.
_READ_ROWS = 4
_BESIDE = 2 + _READ_ROWS + 1


def first_planting(plan: Plan, cohort_id: str) -> Planting | None:
    """As the cohort is planted, with lamps for as long; without one the season's first variety in its first place."""
    season, timeline = plan.season, plan.timelines.get(cohort_id)
    if timeline is not None:
        cohort, here = timeline.cohort, growing(timeline.stays)[0]
        off = None if season.places[here.place].lamps is None else timeline.likely("lights_off")
        return Planting(
            variety=cohort.variety,
            place=here.place,
            part=here.part,
            start=cohort.start,
            nursery=cohort.nursery,
            lights_off=None if off is None else max((off - first_cursor(plan, cohort_id)).days, 1),
        )
    if not season.varieties or not season.places:
        return None
    name = next((p.id for p in season.places.values() if p.kind != "nursery"), next(iter(season.places)))
    place, part = placed(season, name)
    variety = next(iter(season.varieties))
    nursery = usual_nursery(season, variety, "seed", place)
    return Planting(variety=variety, place=place, part=part, nursery=nursery)


def first_curve(plan: Plan, cohort_id: str) -> Curve | None:
    """The curve the view opens on, or None where there is nothing to plant. Not for the event loop: it may take 0.3 s."""
    planting = first_planting(plan, cohort_id)
    return None if planting is None else curve_of(plan.season, planting)


def first_cursor(plan: Plan, cohort_id: str) -> date:
    """The date on which the cohort is planted; without one the season's first day."""
    timeline = plan.timelines.get(cohort_id)
    planted = None if timeline is None else planting_dates(plan, timeline.variety.id)[cohort_id]
    return planted or plan.season.first_day


def curve_of(season: Season, planting: Planting) -> Curve:
    """A year of planting dates from the season's first day."""
    return response(season, planting, season.first_day, season.first_day + timedelta(days=YEAR_D))


def planting_dates(plan: Plan, variety: str) -> dict[str, date]:
    """When the season's cohorts of a variety are planted, by cohort."""
    return {
        t.cohort.id: t.likely("transplant") or t.stages[t.cohort.first_stage].likely
        for t in plan.timelines.values()
        if t.variety.id == variety
    }


def read_out(outcome: Outcome, plan: Plan, variety: str, width: int) -> list[str]:
    """What planting on one date comes to, in four lines: growth, dates, why, and which cohorts are planted on it."""
    begun = "" if outcome.begun == outcome.planted else f"  begun {day_text(outcome.begun)}"
    off = f"  lamps off {day_text(outcome.lights_off)}" if outcome.lights_off else ""
    grows = "" if outcome.growth_d is None else f"  {outcome.growth_d} d of growth"
    there = [n for n, day in planting_dates(plan, variety).items() if day == outcome.planted]
    stages = (("flowering", outcome.flowering), ("harvest", outcome.harvest))
    dates = [
        f"{name} {day_text(r.likely)} {r.likely.year} ({day_text(r.earliest)}-{day_text(r.latest)})"
        for name, r in stages
        if r is not None
    ]
    why = (
        f"trigger {day_text(outcome.trigger.likely)}: {outcome.reason}" if outcome.trigger else outcome.reason
    )
    lines = textwrap.wrap(outcome.never or why, width)[: 1 if there else 2]
    return [
        f"Planted {full_day_text(outcome.planted)}{begun}{off}{grows}",
        "  ".join(dates),
        *lines,
        *[""] * (2 - len(lines) - bool(there)),
        *_planned_texts(plan, there),
    ]


def _planned_texts(plan: Plan, cohorts: Sequence[str]) -> list[str]:
    """What the season's calendar, with all who share the light, says of cohorts planted on the date; nothing for none."""
    flowering = ((n, plan.timelines[n].likely("flowering")) for n in cohorts)
    texts = (f"{n} flowers {day_text(day) if day else 'not at all'}" for n, day in flowering)
    return [f"planted then in the season: {', '.join(texts)}"] if cohorts else []


class ResponseView(Screen[None]):
    """One variety in one place at a time."""

    HELP_FIRST = "response"
    BINDINGS: ClassVar[list[BindingType]] = bindings("response", "view")

    def __init__(self, curve: Curve | None, cursor: date) -> None:
        """curve: what is shown first; cursor: the planting date read out first, held within the curve."""
        super().__init__()
        self._curve, self._cursor = curve, cursor
        self._planting = None if curve is None else curve.planting
        # The cursor changes one line of the plot: tiles would cost more than they save, but for the title.
        self._sheet = Sheet(self._rows)
        self._compositor = SpanCompositor()

    def compose(self) -> ComposeResult:
        yield self._sheet

    @property
    def text(self) -> str:
        """What is drawn, line by line, without styles."""
        return "\n".join("".join(text for text, _ in row) for row in self._sheet.rows)

    @property
    def outcome(self) -> Outcome | None:
        """What is read out."""
        if self._curve is None:
            return None
        outcomes = self._curve.outcomes
        n = (self._cursor - outcomes[0].planted).days
        return outcomes[min(max(n, 0), len(outcomes) - 1)]

    # --- what is drawn

    def _rows(self, width: int, height: int) -> list[Runs]:
        glyphs = host(self).glyphs
        plan, curve, outcome = host(self).plan, self._curve, self.outcome
        if plan is None or curve is None or outcome is None:
            text = "" if plan is None else next_step(plan.season)
            return words_alone(text, width, height, glyphs.ellipsis)
        if width < SMALLEST[0] or height < SMALLEST[1]:
            least = f"Planting dates need at least {SMALLEST[0]}x{SMALLEST[1]} cells; press Esc to go back."
            return words_alone(least, width, height, glyphs.ellipsis)
        variety = curve.planting.variety
        marks = planting_dates(plan, variety)
        rows = [
            _title(plan, self._planting or curve.planting, self._planting != curve.planting),
            *plot_rows(curve, width, height - _BESIDE, glyphs, outcome.planted, marks),
            legend_row(glyphs),
        ]
        for n, line in enumerate(read_out(outcome, plan, variety, width)):
            rows.append(
                ((plain(line), "at" if n == 0 else "clash" if n > 1 and outcome.never else "detail"),)
            )
        rows.append(footer_runs(keys_on(self, *FOOT), width, glyphs.arrows))
        return [fitted(row, width, glyphs.ellipsis) for row in rows]

    # --- moving

    def action_day(self, by: int) -> None:
        outcome = self.outcome
        if outcome is None or self._curve is None:
            return
        first, last = (self._curve.outcomes[n].planted for n in (0, -1))
        self._cursor = min(max(outcome.planted + timedelta(days=by), first), last)
        self._sheet.redraw()

    def on_mouse_scroll_down(self) -> None:
        self.action_day(1)

    def on_mouse_scroll_up(self) -> None:
        self.action_day(-1)

    def action_next(self, what: str) -> None:
        """The next variety, place, nursery, start, or days under lamps."""
        plan = host(self).plan
        if plan is None or self._planting is None:
            return
        following = _fitting(plan.season, _NEXT[what](plan.season, self._planting))
        if following == self._planting:
            self.notify(_NO_OTHER[what].format(place=following.place))
            return
        self._planting = following
        self._work_out(plan, self._planting)
        self._sheet.redraw()

    def action_take_date(self) -> None:
        """Say that nothing is planned from here."""
        self.notify(
            "Nothing is planned here: s in the season view staggers cohorts, r and Ctrl+T plan a date again."
        )

    def show_plan(self) -> None:
        """Work the curve out anew: the season may have changed."""
        plan = host(self).plan
        if plan is None:
            return
        if self._planting is None or not _stands(plan.season, self._planting):
            self._planting = first_planting(plan, "")
        if self._planting is None:
            self._take(plan, None)
        else:
            self._work_out(plan, self._planting)

    @work(thread=True, exclusive=True)
    def _work_out(self, plan: Plan, planting: Planting) -> None:
        curve = curve_of(plan.season, planting)
        self.app.call_from_thread(self._take, plan, curve)

    def _take(self, plan: Plan, curve: Curve | None) -> None:
        """Show a curve, unless another has been asked for meanwhile."""
        if plan is host(self).plan and self._planting == (curve and curve.planting):
            self._curve = curve
            self._sheet.redraw()

    def action_back(self) -> None:
        self.dismiss()


def _title(plan: Plan, planting: Planting, waits: bool) -> Runs:
    text = plain(planting_text(planting, plan.season.varieties[planting.variety]))
    return ((WAITING, "notice") if waits else (TITLE, "title"), (f"  {text}", ""))


# --- what comes next


def _after(known: Sequence[Any], now: object) -> Any:
    """The one after; the first after the last, and where it is none of them."""
    return known[(known.index(now) + 1) % len(known)] if now in known else known[0]


def _next_variety(season: Season, planting: Planting) -> Planting:
    return replace(planting, variety=_after(list(season.varieties), planting.variety), nursery_d=None)


def _next_place(season: Season, planting: Planting) -> Planting:
    lights = [(p.id, part) for p in season.places.values() for part in p.screened or ("",)]
    place, part = _after(lights, (planting.place, planting.part))
    return replace(planting, place=place, part=part)


def _next_nursery(season: Season, planting: Planting) -> Planting:
    nurseries = [p.id for p in season.places.values() if p.kind == "nursery" and p.id != planting.place]
    return replace(planting, nursery=_after([None, *nurseries], planting.nursery))


def _next_start(season: Season, planting: Planting) -> Planting:
    return replace(planting, start="seed" if planting.start == "cutting" else "cutting")


def _next_off(season: Season, planting: Planting) -> Planting:
    return replace(planting, lights_off=_after(OFF_D, planting.lights_off))


_NEXT: Mapping[str, Callable[[Season, Planting], Planting]] = {
    "variety": _next_variety,
    "place": _next_place,
    "nursery": _next_nursery,
    "start": _next_start,
    "lights_off": _next_off,
}


# Why a key finds nothing to change to.
_NO_OTHER = {
    "variety": "The season has no other variety.",
    "place": "The season has no other place.",
    "nursery": "The season has no other place of the kind nursery.",
    "start": "There is no other start.",
    "lights_off": "{place} has no lamps: its days are natural ones.",
}


def _fitting(season: Season, planting: Planting) -> Planting:
    """Without lamps where the place has none, and without a nursery that is the place itself."""
    lit = season.places[planting.place].lamps is not None
    nursery = None if planting.nursery == planting.place else planting.nursery
    return replace(planting, nursery=nursery, lights_off=planting.lights_off if lit else None)


def _stands(season: Season, planting: Planting) -> bool:
    """Whether the season still has all that the planting needs."""
    place = season.places.get(planting.place)
    nursery = planting.nursery is None or planting.nursery in season.places
    return (
        planting.variety in season.varieties
        and nursery
        and place is not None
        and _part(place.screened, planting)
    )


def _part(screened: Sequence[str], planting: Planting) -> bool:
    return planting.part in (screened or ("",))

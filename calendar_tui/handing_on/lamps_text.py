"""The lamp programme to hand on: rows for JSON, and a line a week with the timer's setting for people."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from calendar_tui.handing_on.plain_text import count_text, wrapped
from calendar_tui.planning.lamp_programme import LampRun, LampWeek, kwh_of, lamp_weeks
from calendar_tui.planning.wording import day_text, hours_text
from calendar_tui.season.records import Lamps

# The codes are named for the electrician to look up, not quoted.
CAUTIONS = (
    "Electricity in wet places: ground-fault protection on every circuit (in the US, NEC 410.184 and article 547; "
    "elsewhere an RCD of 30 mA, IEC 60364-7-705), and fittings made for wet places.",
    "Hard-usage cords, inspected daily; nothing hung by its cord. Circuits sized by a licensed electrician to local "
    "code. Switch off before storms.",
    "A day of 16 h is common practice, not proven for every cultivar: extending to 15 h left incomplete "
    "inflorescences on one and 18 h prevented them; 16 h was not tried (Park et al. 2023, Horticulturae 9:526).",
)


def lamp_rows(runs: Iterable[LampRun]) -> list[dict[str, Any]]:
    """A row a run: place, date (the evening), on, off and set_on, set_off ("HH:MM"), lamp_h, dark_span_h, kwh, note.

    on and off are the local clock; set_on and set_off the same in standard time. kwh is null where no power is given.
    """
    return [
        {
            "place": run.place,
            "date": run.date,
            "on": f"{run.on:%H:%M}",
            "off": f"{run.off:%H:%M}",
            "set_on": f"{run.set_on:%H:%M}",
            "set_off": f"{run.set_off:%H:%M}",
            "lamp_h": round(run.lamp_h, 4),
            "dark_span_h": round(run.dark_span_h, 4),
            "kwh": None if run.kwh is None else round(run.kwh, 4),
            "note": run.note,
        }
        for run in runs
    ]


def programme_text(place: str, lamps: Lamps, runs: tuple[LampRun, ...], untold: int) -> Iterator[str]:
    """A place's programme by week and its sums; untold is how many of its nights have no times."""
    yield from wrapped(_head(lamps), "    ", first=f"{place}  ")
    if untold:
        yield f"  ! {count_text(untold, 'night')} with lamps without a sunset and a sunrise: no times for them"
    if not runs:
        yield "  No night with lamps: no cohort asks for them, or the days are long enough."
        return
    yield "  By week: the setting of its first night with lamps, and the week's sums."
    for week in lamp_weeks(runs):
        yield from _week_text(lamps, week)
    yield f"  in all {_sums(lamps, sum(run.lamp_h for run in runs), kwh_of(runs))}"


def _head(lamps: Lamps) -> str:
    if lamps.break_from is not None and lamps.break_to is not None:
        what = f"night break {lamps.break_from:%H:%M} to {lamps.break_to:%H:%M}"
    else:
        where = "half at each end" if lamps.side == "both" else lamps.side
        what = f"day extension to {hours_text(lamps.target_h or 0)}, {where}"
    power = "power not given" if lamps.kw is None else f"{lamps.kw:g} kW"
    timer = "follows" if lamps.timer_follows_clock else "does not follow"
    return f"{what}; {power}; the timer {timer} the clock change"


def _week_text(lamps: Lamps, week: LampWeek) -> Iterator[str]:
    settings = " and ".join(f"on {run.on:%H:%M} off {run.off:%H:%M}" for run in week.first)
    dark = hours_text(week.first[0].dark_span_h)
    head = f"  {week.monday}  "
    sums = _sums(lamps, week.lamp_h, week.kwh)
    yield from wrapped(f"{settings}  dark {dark}  {sums}", " " * len(head), first=head)
    if not lamps.timer_follows_clock:
        standard = " and ".join(f"on {run.set_on:%H:%M} off {run.set_off:%H:%M}" for run in week.first)
        yield f"{' ' * len(head)}set the timer, on standard time: {standard}"
    for run in week.notes:
        yield from wrapped(f"{day_text(run.date)}: {run.note}", " " * 14, first="            ! ")


def _sums(lamps: Lamps, hours: float, kwh: float | None) -> str:
    parts = [f"{hours:.1f} h"]
    if kwh is not None:
        parts.append(f"{kwh:.1f} kWh")
        if lamps.cost_per_kwh is not None:
            parts.append(f"cost {kwh * lamps.cost_per_kwh:.2f}")
    return "  ".join(parts)

"""The lamp programme to hand on: a line a week with the timer's setting."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from calendar_tui.handing_on.words.cautions import cautions, sourced
from calendar_tui.handing_on.words.plain_text import WIDTH, count_text, wrapped
from calendar_tui.planning.lamps.runs import LampSheet, kwh_of
from calendar_tui.planning.lamps.weeks import LampWeek, lamp_weeks
from calendar_tui.planning.laying_out.programmes import programme_text, timer_follows
from calendar_tui.season.units_in_use import clock, clock_cells
from calendar_tui.season.wording import day_text, hours_text, weekday_text

ELECTRICAL = (cautions("lamps", "codes"), cautions("cords", "daily"))
CAUTIONS = (*ELECTRICAL, sourced("16 h"))

_WEEK_D = 7
_ONE_SETTING = (
    "By week: one setting, that reaches the target on each of its nights if it is left alone: on for the earliest of "
    "them, off for the latest. Then the longest dark, and what burns so."
)
_SAME_SETTING = "By week: the setting, its longest dark, and its sums."


def sheet_text(sheet: LampSheet, width: int = WIDTH) -> Iterator[str]:
    """A light's programmes, what is wrong with them, its settings by week and its sums."""
    yield from programmes_text(sheet, width)
    for warning in warnings_text(sheet):
        yield from wrapped(warning, "    ", width, "  ! ")
    yield from burning_text(sheet, width)
    for week in weeks_of(sheet):
        yield from week_text(sheet, week, width)
    if sheet.runs:
        yield from total_text(sheet).splitlines()


def programmes_text(sheet: LampSheet, width: int = WIDTH) -> Iterator[str]:
    """What the light's lamps or covers do, all season or period by period, and their power and timer."""
    kw = "power not set" if sheet.kw is None else f"{sheet.kw:g} kW"
    parts = len(sheet.place.lights)
    share = f", 1 of {parts} equal parts of {sheet.place.id}" if parts > 1 else ""
    timer = "follows" if timer_follows(sheet.place) else "does not follow"
    hardware = f"{kw}{share}; the timer {timer} the clock change"
    if sheet.place.lamps is None:
        hardware = "no lamps"
    if len(sheet.programmes) == 1:
        (only,) = sheet.programmes
        yield from wrapped(f"{programme_text(only)}; {hardware}", "    ", width, f"{sheet.name}  ")
        return
    yield from wrapped(hardware, "    ", width, f"{sheet.name}  ")
    for programme in sheet.programmes:
        head = f"  {day_text(programme.first):>6} to {day_text(programme.last):>6}  "
        yield from wrapped(programme_text(programme), " " * len(head), width, head)


def warnings_text(sheet: LampSheet) -> Iterator[str]:
    """What is wrong with the programmes, and what to be careful about with them, a sentence each."""
    if sheet.unknown_nights:
        yield f"{count_text(sheet.unknown_nights, 'night')} with lamps without a sunset and a sunrise: no times for them"
    yield from sheet.notes
    if any(p.method == "blackout" for p in sheet.programmes):
        yield sourced("covers")
    if any(p.cyclic_min is not None for p in sheet.programmes):
        yield sourced("cyclic")


def burning_text(sheet: LampSheet, width: int = WIDTH) -> Iterator[str]:
    """What the weeks below it are, or why there are none."""
    if not sheet.runs:
        none = "No night with lamps: no cohort asks for them, or the days are long enough."
        yield from wrapped(none, "  ", width)
        return
    if sheet.idle:
        yield from wrapped(sheet.idle[:1].upper() + sheet.idle[1:] + ".", "  ", width)
    if sheet.failed:
        yield from wrapped(f"Lamps failed on {nights_text(sheet.failed)}.", "  ", width)
    yield from wrapped(_ONE_SETTING if _by_sun(sheet) else _SAME_SETTING, "  ", width)


def weeks_of(sheet: LampSheet) -> tuple[LampWeek, ...]:
    """The rows of a sheet: weeks, and parts of one."""
    return tuple(lamp_weeks(sheet.runs, sheet.failed, sheet.weekday))


def _by_sun(sheet: LampSheet) -> bool:
    """Whether some of its times are set by the sun, and are others on every night."""
    return any(run.programme.on is None for run in sheet.runs)


def week_text(sheet: LampSheet, week: LampWeek, width: int = WIDTH) -> Iterator[str]:
    """A row's setting and sums, and what to know of its nights."""
    wide = clock_cells()
    settings = " and ".join(f"on {clock(s.on):>{wide}} off {clock(s.off):>{wide}}" for s in week.settings)
    head = f"  {weekday_text(week.begins):>10}  "
    indent = " " * len(head)
    nights = "" if week.nights == _WEEK_D else f"{count_text(week.nights, 'night')}  "
    sums = f"{nights}{_sums(sheet, week.lamp_h, week.kwh)}"
    if week.first[0].programme.method == "blackout":
        settings, sums = f"covers {settings}", f"{nights}no lamps"
    setting = f"{settings}  dark {hours_text(week.dark_span_h)}"
    if len(f"{head}{setting}  {sums}") <= width:
        yield f"{head}{setting}  {sums}"
    else:
        yield from wrapped(setting, indent, width, head)
        yield from wrapped(sums, indent, width)
    if not timer_follows(sheet.place):
        standard = " and ".join(f"on {clock(s.set_on)} off {clock(s.set_off)}" for s in week.settings)
        yield from wrapped(f"set the timer, on standard time: {standard}", indent, width)
    for warning in _week_warnings(week):
        yield from wrapped(warning, indent, width, f"{indent[:-2]}! ")


def _week_warnings(week: LampWeek) -> Iterator[str]:
    if week.anew:
        yield f"set it anew on {weekday_text(week.begins)}: the clock is changed"
    if week.failed:
        yield f"lamps failed on {nights_text(week.failed)}"
    yield from dict.fromkeys(f"{day_text(run.date)}: {run.note}" for run in week.notes)


def nights_text(nights: Sequence[date]) -> str:
    """Nights in order, those that follow one another as one: "20 Nov", "3 nights, 1 Dec to 2 Dec and 5 Dec"."""
    spans: list[list[date]] = []
    for night in nights:
        if spans and night - spans[-1][-1] == timedelta(days=1):
            spans[-1][1:] = [night]
        else:
            spans.append([night])
    texts = [" to ".join(map(day_text, span)) for span in spans]
    listed = " and ".join(filter(None, (", ".join(texts[:-1]), texts[-1])))
    return listed if len(nights) == 1 else f"{count_text(len(nights), 'night')}, {listed}"


def total_text(sheet: LampSheet) -> str:
    """The season's hours, kWh and cost, as the rows are set and as every night by itself would come to."""
    weeks = weeks_of(sheet)
    hours, least_h = sum(week.lamp_h for week in weeks), sum(run.lamp_h for run in sheet.runs)
    known = [week.kwh for week in weeks if week.kwh is not None]
    text = f"  in all {_sums(sheet, hours, sum(known) if len(known) == len(weeks) else None)}"
    if f"{hours:.1f}" == f"{least_h:.1f}":
        return text
    return f"{text}\n  set anew every night {_sums(sheet, least_h, kwh_of(sheet.runs))}"


def _sums(sheet: LampSheet, hours: float, kwh: float | None) -> str:
    parts = [f"{hours:.1f} h"]
    if kwh is not None:
        parts.append(f"{kwh:.1f} kWh")
        cost = sheet.place.lamps.cost_per_kwh if sheet.place.lamps else None
        if cost is not None:
            parts.append(f"cost {kwh * cost:.2f}")
    return "  ".join(parts)

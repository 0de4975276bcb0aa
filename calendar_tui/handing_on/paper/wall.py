"""The season on the wall: one page to print large, in colour or in black and white, with all drawings in it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from calendar_tui.handing_on.paper.markup import WALL_PAPERS, drawing, element, fitted, label, page
from calendar_tui.handing_on.paper.wall_frame import (
    BODY,
    SMALL,
    Frame,
    draw_axis,
    draw_hours,
    draw_legend,
    hours_of,
)
from calendar_tui.handing_on.paper.wall_rows import draw_cohort, draw_light
from calendar_tui.handing_on.words.cautions import cautions
from calendar_tui.language.speaking import decimal_text, marked, tr, tr_in, translated
from calendar_tui.planning.lamps.runs import lights_with_lamps
from calendar_tui.planning.plan import Plan
from calendar_tui.season.lots import lots_of, rules_for
from calendar_tui.season.records import Season
from calendar_tui.season.wording import full_day_text

CAUTION = cautions("aid", "licence", "agent")
LAMPS_CAUTION = cautions("lamps", "cords", "daily")
# mm of a page: the columns beside the time axis, and what stands above and below the rows.
_NAMES, _HARVESTS = 50.0, 46.0
_TITLE, _PLOT, _AXIS, _BELOW = 15.0, 46.0, 10.0, 30.0
_ROW_LEAST, _ROW_MOST = 8.4, 15.0
_PLOT_MOST = 110.0
_TITLE_SIZE = 7.0
# The axis goes on for so many days after the season, where a cohort is dried only then.
_MOST_AFTER_D = 120
_CSS = (
    "body { margin: 0 } section { break-after: page } section:last-child { break-after: auto } "
    "svg { display: block; max-width: 100%; height: auto } "
    "text { unicode-bidi: isolate } @media print { svg { max-width: none } }"
)
_DAYS = {"sunrise-sunset": marked("sunrise to sunset"), "civil-twilight": marked("with civil twilight")}
# A row to draw: a cohort's id, or the name of a light.
_Row = tuple[str, str]


def wall_page(plan: Plan, paper: str = "iso") -> bytes:
    """The wall chart of a season; paper: a key of WALL_PAPERS. As many sheets as its rows need to stay legible."""
    sheet = WALL_PAPERS[paper]
    width, height = sheet.inner
    rows = [("cohort", name) for name in plan.timelines] + [
        ("light", n) for n in lights_with_lamps(plan.season)
    ]
    sheets = list(_sheets(rows, height - _TITLE - _PLOT - _AXIS - _BELOW))
    frame = Frame(plan.season.first_day, _last_day(plan), _NAMES, width - _HARVESTS)
    body = []
    for n, held in enumerate(sheets, 1):
        drawn = _sheet(plan, frame, held, (width, height), tr("{n} of {sheets}", n=n, sheets=len(sheets)))
        title = f"{plan.season.name}, {tr('sheet {n} of {sheets}', n=n, sheets=len(sheets))}"
        body.append(element("section", drawing(title, width, height, drawn)))
    return page(plan.season.name, sheet, _CSS, body)


def _sheets(rows: Sequence[_Row], room: float) -> Iterator[Sequence[_Row]]:
    """The rows of each sheet, about as many on each; one sheet where there are none."""
    most = int(room / _ROW_LEAST)
    count = max(1, -(-len(rows) // most))
    each = -(-len(rows) // count)
    for n in range(count):
        yield rows[n * each : (n + 1) * each]


def _last_day(plan: Plan) -> date:
    last = plan.season.last_day
    ends = [t.likely("dried") or t.likely("harvest") or last for t in plan.timelines.values()]
    return min(max([last, *ends]), last + timedelta(days=_MOST_AFTER_D))


def _sheet(
    plan: Plan, frame: Frame, rows: Sequence[_Row], size: tuple[float, float], number: str
) -> Iterator[str]:
    width, height = size
    room = height - _TITLE - _PLOT - _AXIS - _BELOW
    high = min(room / max(len(rows), 1), _ROW_MOST)
    # What the rows of a small season leave free, the day length takes.
    top = _TITLE + min(_PLOT + room - high * len(rows), _PLOT_MOST) + _AXIS
    yield from _title(plan.season, plan.today, width, number)
    yield from draw_axis(frame, _TITLE + 3, top - _AXIS, top + high * len(rows), plan.today)
    yield from draw_hours(plan, frame, hours_of(plan, _TITLE + 3, top - _AXIS - 2), width)
    for n, (kind, name) in enumerate(rows):
        y = top + n * high
        if kind == "cohort":
            yield from draw_cohort(plan, plan.timelines[name], frame, y, high, width)
        else:
            yield from draw_light(plan, name, frame, y, high, width)
    if not rows:
        yield label(frame.left, top + 10, tr("No cohorts yet."), BODY)
    yield from draw_legend(width, height - _BELOW + 6)
    foot = " ".join([translated(CAUTION), *_rules_texts(plan)])
    yield label(0, height - 4.6, fitted(foot, width, SMALL), SMALL, font_weight="bold")
    yield label(0, height - 0.8, fitted(translated(LAMPS_CAUTION), width, SMALL), SMALL, font_weight="bold")


def _rules_texts(plan: Plan) -> list[str]:
    """The rules that hold for lots of the season, whose limits end some of the harvests drawn."""
    profiles = {rules_for(plan.season, lot, plan.today) for lot in lots_of(plan.season)}
    return sorted(tr("Rules: {citation}.", citation=one.citation) for one in profiles if one is not None)


def _title(season: Season, today: date, width: float, number: str) -> Iterator[str]:
    site = season.site
    north = (
        f"{decimal_text(f'{abs(site.latitude):g}')} {tr_in('compass', 'N' if site.latitude >= 0 else 'S')}"
    )
    east = (
        f"{decimal_text(f'{abs(site.longitude):g}')} {tr_in('compass', 'E' if site.longitude >= 0 else 'W')}"
    )
    about = tr(
        "{position}, clock of {zone}; natural day: {day}",
        position=f"{north}, {east}",
        zone=site.timezone,
        day=tr(_DAYS[site.day]),
    )
    made = tr("made on {day}, sheet {number}", day=full_day_text(today), number=number)
    yield label(
        0, _TITLE_SIZE, fitted(season.name, width * 0.7, _TITLE_SIZE), _TITLE_SIZE, font_weight="bold"
    )
    yield label(width, _TITLE_SIZE, made, BODY, text_anchor="end")
    yield label(0, _TITLE_SIZE + BODY + 1.4, fitted(about, width, BODY), BODY)

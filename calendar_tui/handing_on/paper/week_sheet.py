"""A week's work as a page to print: boxes to tick and lines to write on, so that the sheet itself is the record."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from calendar_tui.handing_on.paper.codes import square_code
from calendar_tui.handing_on.paper.labels import code_drawing
from calendar_tui.handing_on.paper.markup import SHEET_PAPERS, element, escaped, page
from calendar_tui.handing_on.words.cautions import cautions
from calendar_tui.handing_on.words.plain_text import task_count_text
from calendar_tui.handing_on.words.week_text import caution_text, hold_text
from calendar_tui.language.speaking import chore_text, decimal_text, marked, tr, tr_in, translated
from calendar_tui.planning.cutting.holds import Hold, holds_of
from calendar_tui.planning.lamps.runs import lamp_runs, lights_with_lamps
from calendar_tui.planning.lamps.weeks import LampWeek, lamp_weeks
from calendar_tui.planning.laying_out.programmes import place_of, timer_follows
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.spraying.closed_work import entry_texts
from calendar_tui.planning.spraying.closures import closures
from calendar_tui.planning.tasks.week import ANYONE, Only, cautions_by_task, overdue_text, week_of
from calendar_tui.season.lamp_clock import covers_text, lamps_text
from calendar_tui.season.records import Place, Season, Task
from calendar_tui.season.units_in_use import clock
from calendar_tui.season.wording import amount_text, full_day_text, night_count_text, weekday_text

_MARKS = {"open": "", "done": "x", "skipped": "-"}
CAUTION = cautions("aid", "licence", "agent", "heat", "heat index")
_HEADS = (
    "",
    marked("id"),
    marked("work"),
    marked("where"),
    marked("who"),
    "h",
    marked("h taken"),
    marked("by whom, what was found"),
)
_CSS = """
body { margin: 0; font-size: 9.5pt; color: #000 }
h1 { font-size: 17pt; margin: 0 } h2 { font-size: 11.5pt; margin: 4mm 0 1mm; break-after: avoid }
p { margin: 1mm 0 } .caution { font-weight: bold } .small { font-size: 8pt }
th.day { font-size: 11.5pt; font-weight: bold; padding-top: 3mm; border-bottom: .3mm solid #000; break-after: avoid }
tbody tr:first-child { break-after: avoid } table { margin-top: 3mm; width: 100%; border-collapse: collapse; table-layout: fixed } tr { break-inside: avoid }
th { font-size: 7.5pt; font-weight: normal; text-align: left; border-bottom: .3mm solid #000; padding: 0 1mm }
td { border-bottom: .15mm solid #777; padding: 1mm; height: 7mm; vertical-align: top; overflow-wrap: anywhere;
  unicode-bidi: isolate }
td:nth-child(n+7) { border-left: .15mm solid #777 } td:nth-child(2), td:nth-child(6) { white-space: nowrap }
thead th:nth-child(1) { width: 5mm } thead th:nth-child(2) { width: 11mm } th:nth-child(4) { width: 25mm }
th:nth-child(5) { width: 20mm } th:nth-child(6) { width: 12mm } th:nth-child(7) { width: 12mm } th:nth-child(8) { width: 38mm }
.box { display: inline-block; width: 4mm; height: 4mm; border: .35mm solid #000; text-align: center; line-height: 3.6mm;
  font-weight: bold }
.done td:nth-child(3), .skipped td:nth-child(3) { text-decoration: line-through } .sign { margin-top: 8mm }
@media screen { body { max-width: 190mm; margin: 8mm auto; padding: 0 4mm } }
"""
# Room for the smallest code; below the id, where a scanner finds it alone in its cell.
_CODES_CSS = """
thead th:nth-child(2) { width: 15mm } th:nth-child(8) { width: 33mm } td:nth-child(2) { padding: 1mm 0 0; text-align: center }
td svg { display: block; margin: 0 auto }
"""


@dataclass(frozen=True, slots=True)
class SheetChoice:
    """Which work is wanted: of the week that holds `day`; of one role, or at one place, where these are not "".

    weekday: with which the week begins, counted from Monday as 0. codes: whether each task has its id as a square code for a scanner.
    """

    day: date
    role: str = ""
    place: str = ""
    weekday: int = 0
    codes: bool = False

    def takes(self, task: Task) -> bool:
        return Only(self.role, self.place).fits(task)


def sheet_page(plan: Plan, choice: SheetChoice, paper: str = "iso") -> bytes:
    """The sheet of a week's saved tasks; paper: a key of SHEET_PAPERS. Raises NoCodes where these are wanted and cannot be made."""
    season = plan.season
    week = week_of(filter(choice.takes, season.tasks), choice.day, plan.today, choice.weekday)
    shown = [*week.overdue, *(task for _, tasks in week.days for task in tasks)]
    by_task = cautions_by_task(shown, {name: chore.caution for name, chore in season.chores.items()})
    holds = holds_of(season, plan.ripe, shown, plan.today)
    warned = {task.id: _warnings(by_task.get(task.id, ""), holds.get(task.id)) for task in shown}
    drawn = {task.id: code_drawing(square_code(task.id)) for task in shown if choice.codes}
    sections = [
        _section(season, _day_head(season, day, tasks), tasks, warned, drawn) for day, tasks in week.days
    ]
    if week.overdue:
        head = overdue_text(week, plan.today)
        sections.insert(0, _section(season, head, week.overdue, warned, drawn, overdue=True))
    body = [
        *_head(plan, week.first_day, choice),
        *_closed(season, plan.today, choice),
        element("p", escaped(translated(CAUTION)), class_="small"),
        element(
            "table",
            element("thead", _row_of("th", (escaped(tr(head) if head else "") for head in _HEADS))),
            *sections,
        ),
        *_lamps(plan, week.first_day, choice),
        *_foot(season, shown, week.next_week),
    ]
    title = tr("Week of {first}", first=week.first_day) + f" - {season.name}"
    return page(title, SHEET_PAPERS[paper], _CSS + (_CODES_CSS if choice.codes else ""), body)


def _closed(season: Season, today: date, choice: SheetChoice) -> Iterator[str]:
    """The places that nobody enters from today on; of one place where its work alone is printed."""
    here = season.place_of(choice.place)
    for one in closures(season, today):
        if here is None or season.place_of(one.light) == here:
            yield from (element("p", escaped(text), class_="caution") for text in entry_texts([one]))


def _head(plan: Plan, monday: date, choice: SheetChoice) -> Iterator[str]:
    yield element("h1", escaped(tr("Week of {first}", first=full_day_text(monday))))
    whose = [tr("work of: {role}", role=translated(choice.role))] if choice.role else []
    whose += [tr("place: {place}", place=choice.place)] if choice.place else []
    iso = monday.isocalendar()
    texts = (
        plan.season.name,
        tr("week {week} of {year}", week=iso.week, year=iso.year),
        *whose,
        tr("printed {day}", day=full_day_text(plan.today)),
    )
    yield element("p", escaped("; ".join(texts)))


def _day_head(season: Season, day: date, tasks: Iterable[Task]) -> str:
    return " - ".join(part for part in (weekday_text(day), _hours_text(season, tasks)) if part)


def _section(
    season: Season,
    head: str,
    tasks: Sequence[Task],
    warned: Mapping[str, Sequence[str]],
    drawn: Mapping[str, str],
    *,
    overdue: bool = False,
) -> str:
    """A day's rows below its head, with one left empty for work that nobody planned; that of the past has none."""
    rows = [_row(season, task, warned[task.id], drawn.get(task.id, ""), overdue) for task in tasks]
    if not overdue:
        rows.append(_row_of("td", (_box(""), *[""] * (len(_HEADS) - 1))))
    day = element("tr", element("th", escaped(head), colspan=len(_HEADS), class_="day"))
    return element("tbody", day, *rows)


def _row_of(cell: str, inside: Iterable[str], **attributes: str | None) -> str:
    return element("tr", *(element(cell, one) for one in inside), **attributes)


def _warnings(caution: str, hold: Hold | None) -> tuple[str, ...]:
    """Why a task must not be done on its day, and what to take care of."""
    return (*([hold_text(hold)] if hold else ()), *([caution_text(caution)] if caution else ()))


def _row(season: Season, task: Task, warnings: Sequence[str], code: str, dated: bool) -> str:
    chore = season.chores.get(task.chore)
    when = f"{weekday_text(task.date)}: " if dated else ""
    hour = f"{clock(chore.time)} " if chore is not None and chore.time is not None else ""
    amount = f" ({amount_text(task.amount)})" if task.amount else ""
    work = [escaped(f"{when}{hour}{chore_text(task.what)}{amount}")]
    asks = chore.asks if chore is not None and not task.fact else ""
    more = (
        (task.why, translated(task.why)),
        (task.note, tr("note: {note}", note=task.note)),
        (asks, tr("write down: {asks}", asks=chore_text(asks))),
    )
    work += [element("div", escaped(text), class_="small") for given, text in more if given]
    work += [element("div", escaped(text), class_="small caution") for text in warnings]
    done = tr("done {day}", day=weekday_text(task.done_on)) if task.done_on else ""
    seen = "; ".join(part for part in (done, task.fact) if part)
    cells = (
        _box(_MARKS[task.state]),
        escaped(task.id) + code,
        "".join(work),
        escaped(" ".join(part for part in (task.place, *task.about) if part)),
        escaped(chore_text(task.who)),
        escaped(_planned_hours(season, task)),
        "",
        escaped(seen),
    )
    return element(
        "tr", *(element("td", cell) for cell in cells), class_="" if task.state == "open" else task.state
    )


def _box(mark: str) -> str:
    return element("span", mark, class_="box")


def _planned_hours(season: Season, task: Task) -> str:
    """ "0.5", with a "~" where it is a guess."""
    if not task.hours:
        return ""
    return f"{'~' if _guessed(season, task) else ''}{decimal_text(f'{task.hours:g}')}"


def _guessed(season: Season, task: Task) -> bool:
    chore = season.chores.get(task.chore)
    return chore is not None and chore.guessed


def _hours_text(season: Season, tasks: Iterable[Task]) -> str:
    """ "~4.5 h" of work that is open; nothing where there is none."""
    open_ = [task for task in tasks if task.state == "open" and task.hours]
    hours = sum(task.hours for task in open_)
    return (
        f"{'~' if any(_guessed(season, t) for t in open_) else ''}{decimal_text(f'{hours:.4g}')} h"
        if open_
        else ""
    )


def _lamps(plan: Plan, first: date, choice: SheetChoice) -> Iterator[str]:
    """The settings of each light's timer or covers in the week: one for all its nights, and a further one where it changes."""
    lines = []
    for name in lights_with_lamps(plan.season):
        whole = place_of(plan.season, name)
        if choice.place not in ("", name, whole.id):
            continue
        runs = lamp_runs(plan.season, name, plan.light)
        week = [r for r in runs if first <= r.date < first + timedelta(days=7)]
        lines += [
            element("p", escaped(_lamps_text(whole, name, row)))
            for row in lamp_weeks(week, weekday=choice.weekday)
        ]
    if lines:
        yield element("h2", escaped(tr("Lamps and covers")))
        yield from lines


def _lamps_text(place: Place, name: str, row: LampWeek) -> str:
    covers = row.first[0].programme.method == "blackout"
    word = covers_text if covers else lamps_text
    both = f" {tr('and')} "
    times = both.join(word(s.on, s.off) for s in row.settings)
    if not timer_follows(place):
        standard = both.join(lamps_text(s.set_on, s.set_off) for s in row.settings)
        times += f" ({tr('set the timer, on standard time: {times}', times=standard)})"
    notes = "".join(dict.fromkeys(f"; {weekday_text(run.date)}: {translated(run.note)}" for run in row.notes))
    since = tr("{times} from {day}", times=times, day=weekday_text(row.first[0].date))
    return f"{name}: {since}, {night_count_text(row.nights)}{notes}"


def _foot(season: Season, shown: Sequence[Task], next_week: int) -> Iterator[str]:
    roles = dict.fromkeys(task.who or ANYONE for task in shown if task.state == "open" and task.hours)
    sums = (
        f"{translated(role)} {_hours_text(season, [t for t in shown if (t.who or ANYONE) == role])}"
        for role in roles
    )
    yield element("h2", escaped(tr("Hours of what is open, overdue included")))
    yield element("p", escaped(", ".join(sums) or tr_in("hours", "none")))
    if any(_guessed(season, task) and task.hours for task in shown):
        yield element("p", escaped(tr("~ hours are a guess")), class_="small")
    yield element("p", escaped(tr("Next week: {tasks}", tasks=task_count_text(next_week))))
    yield element(
        "p",
        escaped(tr("Checked by {name} on {date}", name="_" * 30, date="_" * 14)),
        class_="sign",
    )

"""The lines below the chart: the day at the cursor, and the dates, reasons and clashes of one cohort."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING

from calendar_tui.planning.laying_out.stages import StageDate
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.why.phases import PHASES, covered_on, phase_on
from calendar_tui.screens.kit.canvas import Runs, fitted
from calendar_tui.screens.kit.closed import closed_texts
from calendar_tui.screens.kit.glyphs import Glyphs
from calendar_tui.screens.season.sky import limits_h, natural_h
from calendar_tui.season.records import Season
from calendar_tui.season.wording import day_text, full_day_text, hours_against, stage_text

if TYPE_CHECKING:
    from calendar_tui.handing_on.words.first_steps import KeyName
    from calendar_tui.planning.spraying.closures import Closure

# Lines that a cohort's clashes may always take from its stages.
CLASH_LINES = 2
# In their place while they are not worked out.
NO_CLASHES_YET = "Looking for clashes ..."
_MADE_BY = {
    "extend": "; lamps to ",
    "night-break": "; night break: ",
    "clock": "; lamps by the clock: ",
    "blackout": "; covers: ",
}


def cursor_row(plan: Plan, timeline: Timeline | None, day: date) -> Runs:
    """The date at the cursor, its natural day, and what the selected cohort feels then."""
    natural = natural_h(plan.light, day)
    if natural is None:
        return (
            (full_day_text(day), "at"),
            ("  after the season's last day: no light is worked out", "detail"),
        )
    light = f"  natural day {hours_against(natural, *limits_h(timeline))}"
    if timeline is not None:
        light += _felt(plan, timeline, day, natural)
    return ((full_day_text(day), "at"), (light, "detail"))


def _felt(plan: Plan, timeline: Timeline, day: date, natural: float) -> str:
    """The lamps on a cohort and the phase it is in; nothing of lamps where it does not stand."""
    name, phase = timeline.cohort.id, phase_on(plan, timeline, day)
    if phase in (None, "drying"):
        start = timeline.likely(timeline.cohort.first_stage)
        before = start is None or day < start
        state = (
            "drying" if phase else f"before {stage_text(timeline.cohort.first_stage)}" if before else "ended"
        )
        return f"  {name}: {state}"
    felt = timeline.felt_h[plan.light.index(day)]
    lamps = (
        _lamps_text(plan, timeline, day) + hours_against(felt, *limits_h(timeline)) if felt != natural else ""
    )
    state = PHASES[str(phase)]
    planted = timeline.stages.get("transplant")
    if (
        phase in ("lamps", "natural")
        and planted is not None
        and planted.status != "recorded"
        and day <= plan.today
    ):
        state = state.replace("growing", "planned")
    if phase != "covers" and covered_on(plan, timeline.stays, day):
        state += ", under covers"
    return f"{lamps}  {name}: {state}"


def _lamps_text(plan: Plan, timeline: Timeline, day: date) -> str:
    """What makes the felt day of this date other than the natural one."""
    own = plan.light.places[timeline.stay_on(day).light]
    programme = own.programme_on(day)
    if programme is None or not (own.covered(day) or own.lit[plan.light.index(day)]):
        return "; lamps before sunrise: "
    return _MADE_BY[programme.method]


def detail_rows(
    timeline: Timeline,
    clashes: Sequence[str],
    cursor: date,
    width: int,
    height: int,
    glyphs: Glyphs,
    opens: str,
) -> list[Runs]:
    """The cohort's stages around the cursor and the lines of its clashes, in at most `height` rows of `width` cells.

    opens: the key that shows all of them.
    """
    stages = list(timeline.stages.values())
    room = max(height - len(clashes), min(max(height - CLASH_LINES, 1), len(stages)), 0)
    ahead = next((i for i, s in enumerate(stages) if _until(s) >= cursor), len(stages))
    top = max(min(ahead - room // 2, len(stages) - room), 0)
    shown = list(enumerate(stages))[top : top + room]
    rows = [_stage_row(stage, i == ahead, glyphs) for i, stage in shown]
    rows += [((line, "clash"),) for line in _cut(clashes, height - len(rows), glyphs, opens)]
    return [fitted(row, width, glyphs.ellipsis) for row in rows]


def _until(stage: StageDate) -> date:
    """The last date of a stage."""
    return stage.dates[-1] if stage.dates else stage.likely


def _stage_row(stage: StageDate, ahead: bool, glyphs: Glyphs) -> Runs:
    spread = ""
    if stage.earliest < stage.latest:
        spread = f"({day_text(stage.earliest)}-{day_text(stage.latest)})"
    mark = ">" if ahead else " "
    reason = f": {stage.reason}" if stage.reason else ""
    figures = f"{mark} {stage_text(stage.stage):10} {day_text(stage.likely):>6} {spread:15} {stage.status}"
    return ((figures, "at" if ahead else "detail"), (reason, "detail"))


def clash_lines(plan: Plan, timeline: Timeline, closed: Mapping[str, Closure], width: int) -> list[str]:
    """Until when its place is closed, and the cohort's clashes, in lines of at most this width."""
    from calendar_tui.handing_on.words.clash_text import one_cohort_texts  # after the first picture
    from calendar_tui.handing_on.words.plain_text import wrapped

    lines: list[str] = []
    for text in (*closed_texts(plan, timeline, closed), *one_cohort_texts(plan, timeline.cohort.id)):
        sentence = text[:1].upper() + text[1:]
        lines += wrapped(sentence, "  ", width, first="! ")
    return lines


def _cut(lines: Sequence[str], room: int, glyphs: Glyphs, opens: str) -> Sequence[str]:
    """The lines there is room for; where some are left out the last says so."""
    if len(lines) <= room or room <= 0:
        return lines[: max(room, 0)]
    more = f" {glyphs.ellipsis} {opens}: all"
    return [*lines[: room - 1], lines[room - 1][: -len(more)] + more]


def empty_rows(season: Season, width: int, key: KeyName) -> list[Runs]:
    """What a season without cohorts says."""
    from calendar_tui.handing_on.words.first_steps import next_step
    from calendar_tui.handing_on.words.plain_text import hanging

    return [((line, "detail"),) for line in hanging(next_step(season, key, here=""), width, "")]

"""Labels for trays: the cohort large, which tray of how many beside it, variety, sowing and where they stand below."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from calendar_tui.handing_on.paper.labels import LabelText
from calendar_tui.language.speaking import marked, tr, translated
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.tasks.amounts import trays_of
from calendar_tui.season.records import Cohort, Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.scanned_codes import tray_code
from calendar_tui.season.stages import BY_NAME, CUT
from calendar_tui.season.supplies import Supplies
from calendar_tui.season.wording import full_day_text, start_text

# By how a cohort is started, and whether it is: the line of its label.
_STARTED: Mapping[tuple[str, bool], str] = {
    ("sown", True): marked("sown {day}"),
    ("sown", False): marked("to be sown {day}"),
    ("stuck", True): marked("stuck {day}"),
    ("stuck", False): marked("to be stuck {day}"),
}


def tray_texts(plan: Plan, cohorts: Sequence[str]) -> list[LabelText]:
    """The labels of these cohorts' trays, of all in trays where none is named; each as often as the season says.

    Raises Refusal for a cohort without trays, or where there is none with trays.
    """
    season = plan.season
    chosen = cohorts or [name for name, cohort in season.cohorts.items() if not _is_out(cohort)]
    counts = {name: _trays(season, season.cohorts[name]) for name in chosen}
    if cohorts and (bare := [name for name, count in counts.items() if not count]):
        raise Refusal(
            tr("no trays of {cohort}: {why}", cohort=bare[0], why=_why_none(season.cohorts[bare[0]]))
        )
    if not any(counts.values()):
        raise Refusal(
            tr(
                "no cohort stands in trays: each is planted, has no nursery, or its plants or tray cells are not set"
            )
        )
    copies = (season.supplies or Supplies()).labels_per_tray
    return [
        tray_text(plan.timelines[name], n, count)
        for name, count in counts.items()
        for n in range(1, count + 1)
        for _ in range(copies)
    ]


def tray_text(timeline: Timeline, n: int, count: int) -> LabelText:
    """What stands on the label of a cohort's nth tray."""
    cohort = timeline.cohort
    return LabelText(
        tray_code(cohort.id, n),
        (
            tr("{variety}, from {start}", variety=timeline.variety.id, start=start_text(cohort.start)),
            _started_text(timeline),
            translated(timeline.where_text),
            tr("tray {n} of {count}", n=n, count=count),
        ),
        head=cohort.id,
        beside=f"{n}/{count}",
        notice="",
    )


def _started_text(timeline: Timeline) -> str:
    """ "sown Sat 10 Oct 2026"; "to be sown ..." of what is to come."""
    stage = timeline.stages[timeline.cohort.first_stage]
    day = full_day_text(stage.likely)
    done = _STARTED[BY_NAME[stage.stage].past, stage.status == "recorded"]
    return tr(done, day=day)


def _trays(season: Season, cohort: Cohort) -> int:
    return 0 if cohort.nursery is None else trays_of(season, cohort) or 0


def _is_out(cohort: Cohort) -> bool:
    """Whether its trays are empty by now."""
    return not {"transplant", *CUT}.isdisjoint(cohort.recorded)


def _why_none(cohort: Cohort) -> str:
    if cohort.nursery is None:
        return tr("it has no nursery")
    if cohort.plants is None:
        return tr("its plants are not set")
    return tr("the tray cells of {nursery} are not set", nursery=cohort.nursery)

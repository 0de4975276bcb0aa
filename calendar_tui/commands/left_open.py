"""What ticked tasks leave to be recorded, each with the command that does."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from calendar_tui.language.speaking import tr, tr_n

if TYPE_CHECKING:
    from calendar_tui.planning.changes.ticks import Tick
    from calendar_tui.season.records import Season, Task


def left_open_lines(season: Season, ticks: Sequence[Tick]) -> Iterable[str]:
    """Dates that no task records, bags, and official samples, each line once. ticks: of tasks that were not done before."""
    return dict.fromkeys(
        (
            *(line for tick in ticks for line in _unrecorded(season, tick.task)),
            *(line for tick in ticks for line in _without_bags(season, tick)),
            *(line for tick in ticks for line in _without_official(season, tick)),
        )
    )


def _unrecorded(season: Season, task: Task) -> Iterator[str]:
    """A date that a ticked task leaves to be written down, since no task records it."""
    from calendar_tui.planning.tasks.week import stage_of_work
    from calendar_tui.season.wording import stage_text

    chore = season.chores.get(task.chore)
    stage = "" if chore is None else stage_of_work(chore)
    cohort = season.cohorts.get(task.cohort)
    has_own_task = any(chore.records == stage for chore in season.chores.values())
    if cohort and stage and not has_own_task and stage not in cohort.recorded:
        yield tr("{stage} is not recorded yet; to record it:", stage=f"{task.cohort} {stage_text(stage)}")
        yield f"  calendar-tui record {task.cohort} {stage} DATE"


def _without_bags(season: Season, tick: Tick) -> Iterator[str]:
    """That bags of work that is ticked are not recorded, and how to record which were cut."""
    from calendar_tui.planning.changes.ticks import cuts_bags
    from calendar_tui.season.sample_ids import grouped

    if not cuts_bags(season, tick.task):
        return
    day = tick.day
    near = [s for s in season.samples.values() if abs((s.date - day).days) <= 3 and s.state != "lost"]
    ahead = [s.id for s in near if s.state == "planned" and s.cohort in tick.task.about]
    if left := [name for name in tick.task.about if name not in {s.cohort for s in near}]:
        yield tr(
            "bags of {cohorts} are not recorded yet; to record them, with an id for each label:",
            cohorts=", ".join(left),
        )
        yield f"  calendar-tui sample {' '.join(left)} --date {day}"
    if ahead:
        yield tr_n(
            "a bag has its id and no cut yet; to record that it was cut:",
            "{count} bags have their ids and no cut yet; to record those that were cut:",
            len(ahead),
        )
        yield f"  calendar-tui sample {' '.join(map(grouped, ahead))} taken"


def _without_official(season: Season, tick: Tick) -> Iterator[str]:
    """That the official sample of work that is ticked is not recorded, and how to record it."""
    from calendar_tui.planning.changes.ticks import official_to_record

    for lot in official_to_record(season, tick.task):
        yield tr("the official sample of {lot} is not recorded as taken yet; to record it:", lot=lot)
        yield f"  calendar-tui official {lot} taken {tick.day} --who AGENT"

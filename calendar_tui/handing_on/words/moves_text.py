"""What a proposal would move, in words: stage by stage and task by task, or by group where it moves many."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from calendar_tui.handing_on.words.plain_text import (
    WIDTH,
    evidence_lines,
    hanging,
    range_text,
    wrapped,
)
from calendar_tui.handing_on.words.task_moves_text import (
    MOST_ALONE,
    MOST_KINDS,
    group_task_lines,
    moved_by_text,
    spans_text,
    task_lines,
)
from calendar_tui.language.speaking import marked, tr, tr_n, translated
from calendar_tui.planning.changes.proposal import Proposal, StageMove
from calendar_tui.planning.laying_out.stages import Range, StageDate
from calendar_tui.season.cells import cell_len, cut_text, filled
from calendar_tui.season.stages import STAGES
from calendar_tui.season.wording import (
    alike_text,
    cohorts_text,
    dates_in_turn,
    day_move_text,
    day_text,
    days_text,
    some_text,
    stage_text,
)

NO_DATE_MOVES = marked("no date of a cohort moves")
# A proposal that moves more cohorts than MOST_ALONE, or more tasks than these, is told by group.
MOST_TASKS = 40
# Cells for the name of a stage, more where one is longer in the crew's language.
_STAGE_WIDTH = 11
# So many warnings of so many characters are told of a group.
_MOST_WARNINGS, _WARNING_CHARACTERS = 4, 145
# So many of either behind each answer, where there are several.
_MOST_TOLD_APART = 2


@dataclass(frozen=True, slots=True)
class _Part:
    """A paragraph about a group. first: stands before its first line; stage: whether it is about a stage."""

    first: str
    text: str
    stage: bool

    def lines(self, width: int) -> list[str]:
        text = self.text if self.stage else cut_text(self.text, _WARNING_CHARACTERS)
        return wrapped(text, " " * cell_len(self.first), width, self.first)


def answers_text(
    proposals: Mapping[str | None, Proposal], everything: bool = False, briefly: bool = False
) -> Iterator[str]:
    """What each answer would move, under its heading; by group, what is alike for all of them stands first, once.

    everything, briefly: as in `moves_text`.
    """
    alike: list[_Part] = []
    if len(proposals) > 1 and not everything and all(map(is_group, proposals.values())):
        first, *others = ([*_stage_parts(p), *_warning_parts(p)] for p in proposals.values())
        alike = [part for part in first if all(part in parts for parts in others)]
    if alike:
        yield f"== {tr('either way')} =="
        yield from _part_lines(alike)
    for answer, proposal in proposals.items():
        if len(proposals) > 1:
            yield f"== {answer_text(str(answer), proposal)} =="
        yield from moves_text(proposal, everything, alike, briefly)


def moves_text(
    proposal: Proposal,
    everything: bool = False,
    shown: Collection[_Part] = frozenset(),
    briefly: bool = False,
) -> Iterator[str]:
    """Old and new of the stages and tasks of a proposal, with the days of growth it leaves.

    Where many move they are told by group: what is alike once, with the cohorts it is true of. everything: one by one.
    shown: parts of it that stand above already. briefly: more tasks than a few are counted, since nobody is asked about them.
    """
    yield from hanging(translated(proposal.change.what))
    for text in proposal.verdicts if everything else verdict_texts(proposal):
        yield from wrapped(translated(text), "    ", first="  ")
    if not everything and is_group(proposal):
        yield from _group_lines(proposal, shown)
        return
    yield from _each_stage(proposal)
    for mark, text in proposal.marked_warnings:
        yield from wrapped(translated(text), "    ", first=f"  {mark} ")
    for text in proposal.notes:
        yield from wrapped(tr("note: {note}", note=translated(text)), "    ", first="  ")
    for text in proposal.evidence:
        yield from evidence_lines(text)
    if briefly and not everything and len(proposal.tasks) > MOST_KINDS:
        yield from group_task_lines(proposal.tasks)
    else:
        yield from task_lines(proposal.tasks, everything)


def verdict_texts(proposal: Proposal) -> tuple[str, ...]:
    """What a proposal comes to; those alike of several cohorts together."""
    return alike_text(proposal.verdicts, proposal.plan.timelines)


def _group_lines(proposal: Proposal, shown: Collection[_Part]) -> Iterator[str]:
    """What moves by group, without what stands there already."""
    yield from _part_lines([p for p in _stage_parts(proposal) if p not in shown])
    if not proposal.stages:
        yield f"  {tr(NO_DATE_MOVES)}"
    warnings, notes = (
        [p for p in make(proposal) if p not in shown] for make in (_warning_parts, _note_parts)
    )
    yield from _part_lines(warnings, _MOST_TOLD_APART if shown else _MOST_WARNINGS)
    yield from _part_lines(notes)
    for text in proposal.evidence[:_MOST_WARNINGS]:
        yield from evidence_lines(text)
    yield from group_task_lines(proposal.tasks, kinds=_MOST_TOLD_APART if shown else MOST_KINDS)


def _part_lines(parts: Sequence[_Part], most: int = _MOST_WARNINGS, width: int = WIDTH) -> Iterator[str]:
    """All that tell of stages, and so many of the others; how many are left out."""
    others = [part for part in parts if not part.stage]
    for part in (*(part for part in parts if part.stage), *others[:most]):
        yield from part.lines(width)
    if (left := len(others) - most) > 0:
        yield f"{others[0].first}{tr('and {more} more; --all lists them', more=left)}"


def is_group(proposal: Proposal) -> bool:
    """Whether a proposal moves so many cohorts or tasks that it is shown by group."""
    cohorts = {*proposal.cohorts, *(move.cohort for move in proposal.stages)}
    return len(cohorts) > MOST_ALONE or (not proposal.cohort and len(proposal.tasks) > MOST_TASKS)


def _each_stage(proposal: Proposal) -> Iterator[str]:
    names = [stage_text(move.stage) for move in proposal.stages]
    width = max(_STAGE_WIDTH, *map(cell_len, names), 0)
    for move, name in zip(proposal.stages, names, strict=True):
        yield f"  {filled(move.cohort, 6)} {filled(name, width)} {stage_move_text(move)}"
    if not proposal.stages:
        yield f"  {tr(NO_DATE_MOVES)}"
    old, new = proposal.growth_d
    if proposal.stages and new != old:
        end = proposal.plan.timelines[proposal.cohort or proposal.stages[0].cohort].growth_end
        text = tr(
            "days of growth before {stage}: {days}",
            stage=translated(end),
            days=f"{_figure(old)} -> {_figure(new)}",
        )
        yield f"  {text}"


def group_stage_lines(proposal: Proposal, width: int = WIDTH) -> Iterator[str]:
    """A line for each change of stages, with the cohorts that have it."""
    for part in _stage_parts(proposal):
        yield from part.lines(width)
    if not proposal.stages:
        yield f"  {tr(NO_DATE_MOVES)}"


def _stage_parts(proposal: Proposal) -> Iterator[_Part]:
    """What moves alike as one: stages that move by as many days in the same cohorts too."""
    by_stage: dict[tuple[int, str], list[StageMove]] = {}
    wider = list[StageMove]()
    for move in proposal.stages:
        if _only_range_moves(move):
            wider.append(move)
        else:
            by_stage.setdefault((STAGES.index(move.stage), _change_text(move)), []).append(move)
    alike: dict[tuple[str, tuple[str, ...]], dict[str, str]] = {}
    for (stage, change), moves in sorted(by_stage.items(), key=lambda group: (group[0][0], -len(group[1]))):
        names = tuple([move.cohort for move in moves])
        spans = spans_text(_likely_of(m.old for m in moves), _likely_of(m.new for m in moves))
        alike.setdefault((change, names), {})[stage_text(STAGES[stage])] = spans
    for (change, names), stages in alike.items():
        (first, spans), *others = stages.items()
        count = tr_n("{count} cohort", "{count} cohorts", len(names))
        whose = f"{count}, {cohorts_text(names)}" if len(names) > 1 else names[0]
        likewise = (
            tr("; likewise {stages}", stages=", ".join(f"{stage} {days}" for stage, days in others))
            if others
            else ""
        )
        yield _Part(f"  {filled(first, _STAGE_WIDTH)} ", f"{change}: {spans}; {whose}{likewise}", True)
    if wider:
        moved = sorted({move.stage for move in wider}, key=STAGES.index)
        cohorts = cohorts_text(tuple(dict.fromkeys(move.cohort for move in wider)))
        text = tr(
            "of {stages} of {cohorts} move; their likely dates stay",
            stages=", ".join(map(stage_text, moved)),
            cohorts=cohorts,
        )
        yield _Part(f"  {filled(tr('ranges'), _STAGE_WIDTH)} ", text, True)


def _warning_parts(proposal: Proposal) -> Iterator[_Part]:
    for mark, text in proposal.marked_warnings:
        yield _Part(f"  {mark} ", translated(text), False)


def _note_parts(proposal: Proposal) -> Iterator[_Part]:
    for text in alike_text(proposal.notes, proposal.plan.timelines):
        yield _Part(f"  {tr('note:')} ", translated(text), False)


def _only_range_moves(move: StageMove) -> bool:
    """Whether the likely date and how it is known stay."""
    old, new = move.old, move.new
    return old is not None and new is not None and (old.likely, old.status) == (new.likely, new.status)


def _change_text(move: StageMove) -> str:
    """ "9 d later", "is planned", "comes", "falls away": of a move of more than its range."""
    if move.old is None or move.new is None:
        return tr("comes") if move.old is None else tr("falls away")
    days = (move.new.likely - move.old.likely).days
    return moved_by_text(days) if days else tr("is {state}", state=tr(move.new.status))


def _likely_of(dates: Iterable[StageDate | None]) -> list[date]:
    return [stage_date.likely for stage_date in dates if stage_date is not None]


def _figure(days: int | None) -> str:
    return tr("none") if days is None else str(days)


def answer_text(answer: str, proposal: Proposal) -> str:
    """What an answer to the lights-off question comes to: "hold lights off: 77 days of growth, harvest 21 Apr".

    Of several cohorts the harvests that move, each with its cohort.
    """
    moves = [move for move in proposal.stages if move.stage == "harvest"]
    harvests = {move.cohort: move.new for move in moves}
    if proposal.cohort:
        days, harvest = proposal.growth_d[1], harvests.get(proposal.cohort)
        comes = [tr("no flowering") if days is None else tr("{days} of growth", days=days_text(days))]
        comes += [] if harvest is None else [_harvest_text(harvest)]
    elif len(harvests) > MOST_ALONE:
        changes = Counter(_change_text(move) for move in moves if not _only_range_moves(move))
        comes = [
            tr_n("{count} harvest: {change}", "{count} harvests: {change}", count, change=change)
            for change, count in changes.most_common()
        ]
    else:
        comes = [f"{name} {_harvest_text(new)}" for name, new in harvests.items()]
    return f"{_answer_of(answer)}: {some_text(comes) or tr('no harvest moves')}"


def _answer_of(answer: str) -> str:
    """ "hold lights off", "shift lights off", "2027-01-30 lights off": an answer is typed alike in every language."""
    return tr("{answer} lights off", answer=answer)


def _harvest_text(harvest: StageDate | None) -> str:
    if harvest is None:
        return tr("harvest falls away")
    return tr("harvest {day}", day=day_text(harvest.likely))


def stage_move_text(move: StageMove) -> str:
    """ "30 Oct -> 8 Nov  9 d later (4 Nov - 12 Nov)"."""
    if move.old is None or move.new is None:
        return f"{_day(move.old)} -> {_day(move.new)}"
    if move.old.range == move.new.range:
        return f"{day_text(move.new.likely)}  {tr('stays')}" + (
            "" if move.old.status == move.new.status else f", {tr(move.new.status)}"
        )
    days = (move.new.likely - move.old.likely).days
    if not days:
        return f"{day_text(move.new.likely)}  {tr('stays')}; {ranges_text(move.old.range, move.new.range)}"
    return f"{day_move_text(move.old.likely, move.new.likely)}  {moved_by_text(days)}{new_range(move.new)}"


def new_range(stage_date: StageDate) -> str:
    """ " (4 Nov - 12 Nov)"; "" where it is certain."""
    return f" ({text})" if (text := range_text(stage_date)) else ""


def ranges_text(old: Range, new: Range) -> str:
    """ "range 20 Oct - 3 Nov -> 22 Oct - 1 Nov"."""
    was, was_last, now, now_last = dates_in_turn(old.earliest, old.latest, new.earliest, new.latest)
    return tr("range {spans}", spans=f"{was} - {was_last} -> {now} - {now_last}")


def _day(stage_date: StageDate | None) -> str:
    return tr("none") if stage_date is None else day_text(stage_date.likely)

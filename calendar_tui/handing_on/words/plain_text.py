"""Plain text for terminals, scripts and screen readers: what the views show, in lines of at most a given width."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from calendar_tui.season.wording import (
    MOST_LISTED,
    cohorts_text,
    day_text,
    days_text,
    delay_text,
    some_text,
    stage_text,
)

if TYPE_CHECKING:
    from calendar_tui.planning.changes.proposal import Proposal, StageMove, TaskMove
    from calendar_tui.planning.clashes import Clash
    from calendar_tui.planning.laying_out.stages import Range, StageDate
    from calendar_tui.planning.laying_out.timeline import Timeline
    from calendar_tui.season.records import Task

WIDTH = 80

_NO_BREAK = "\N{NO-BREAK SPACE}"


def wrapped(text: str, indent: str, width: int = WIDTH, first: str = "") -> list[str]:
    """Text in lines; `first` stands before the first line in place of the indent."""
    return _lines(text, width, indent, first or indent) or [first]


def hanging(text: str, width: int = WIDTH, indent: str = "  ") -> list[str]:
    """Text in lines, those below the first indented."""
    return _lines(text, width, indent)


def unbroken(text: str) -> str:
    """Text that `wrapped` and `hanging` keep on one line, such as a figure and its unit."""
    return text.replace(" ", _NO_BREAK)


def _lines(text: str, width: int, indent: str, first: str = "") -> list[str]:
    lines = textwrap.wrap(text, width, initial_indent=first, subsequent_indent=indent, break_on_hyphens=False)
    return [line.replace(_NO_BREAK, " ") for line in lines]


def cut_text(text: str, room: int, cut: str = "...") -> str:
    """The text in `room` letters at the most; what is cut ends in the mark for that."""
    return text if len(text) <= room else text[: max(room - len(cut), 0)] + cut


def count_text(count: int, one: str, several: str = "") -> str:
    """ "1 clash", "2 clashes"; `several` is the word with an s where it is left out."""
    return f"{count} {one if count == 1 else several or one + 's'}"


def differing_text(count: int) -> str:
    """ "1 saved task differs from the plan", "30 saved tasks differ from the plan"."""
    return f"{count_text(count, 'saved task')} {'differs' if count == 1 else 'differ'} from the plan"


def clash_texts(names: Iterable[str], clashes_of: Callable[[str], Iterable[Clash]]) -> dict[str, list[str]]:
    """The clashes of these cohorts, each in full with the first it touches, and in a word with the others.

    Of very many a cohort has its own, and how many of others touch it besides: thousands under one light hold one
    another back, each with each.
    """
    told: dict[Clash, str] = {}
    found: dict[str, list[str]] = {}
    for name in dict.fromkeys(names):
        clashes = list(clashes_of(name))
        shown = clashes if len(clashes) <= MOST_LISTED else _few_of(name, clashes)
        found[name] = []
        for clash in shown:
            first = told.setdefault(clash, name)
            found[name].append(clash.text if first == name else f"{clash.kind}: see {first}")
        if left := len(clashes) - len(shown):
            found[name].append(
                f"{count_text(left, 'more clash', 'more clashes')} of other cohorts: see there"
            )
    return found


def _few_of(name: str, clashes: Iterable[Clash]) -> list[Clash]:
    """A cohort's own clashes, and those of no one cohort."""
    return [clash for clash in clashes if not clash.cohorts or clash.cohorts[0] == name]


def dates_text(
    timelines: Iterable[Timeline], clashes: Mapping[str, Sequence[str]], evidence: Mapping[str, Sequence[str]]
) -> Iterator[str]:
    """Every stage of every cohort: date, range, status and reason; then what clashes, and what records say."""
    for timeline in timelines:
        yield from _cohort_text(timeline)
        for text in clashes.get(timeline.cohort.id, ()):
            yield from wrapped(text, "    ", first="  ! ")
        for text in evidence.get(timeline.cohort.id, ()):
            yield from _evidence_text(text)
        yield ""


def _cohort_text(timeline: Timeline) -> Iterator[str]:
    cohort = timeline.cohort
    plants = f"{count_text(cohort.plants, 'plant')} " if cohort.plants else ""
    where = ", then ".join(stay.light for stay in cohort.stays)
    kind = "cuttings" if cohort.start == "cutting" else "seed"
    yield f"{cohort.id}  {timeline.variety.id}, {plants}from {kind}, {where}"
    for stage_date in timeline.stages.values():
        head = f"  {stage_text(stage_date.stage):<11} {stage_date.likely}  {range_text(stage_date):<17} "
        yield from wrapped(stage_date.status_text, " " * 14, first=head)
    if timeline.growth_d is not None:
        yield f"  {days_text(timeline.growth_d)} of growth before {timeline.growth_end}"


def _evidence_text(text: str) -> Iterator[str]:
    """What a record says; its further lines hold a command, to be copied."""
    sentence, *further = text.splitlines()
    yield from wrapped(sentence, "    ", first="  = ")
    for line in further:
        yield from wrapped(line, "    ")


def range_text(stage_date: StageDate) -> str:
    """ "10 Apr - 6 May", or nothing where the date is certain."""
    if stage_date.earliest == stage_date.latest:
        return ""
    return f"{day_text(stage_date.earliest)} - {day_text(stage_date.latest)}"


def moves_text(proposal: Proposal) -> Iterator[str]:
    """Old and new of every stage and task of a proposal, with the days of growth it leaves."""
    yield from hanging(proposal.change.what)
    for text in proposal.verdicts:
        yield from wrapped(text, "    ", first="  ")
    for move in proposal.stages:
        yield f"  {move.cohort:<6} {stage_text(move.stage):<11} {stage_move_text(move)}"
    if not proposal.stages:
        yield "  no date of a cohort moves"
    old, new = proposal.growth_d
    if proposal.stages and new != old:
        end = proposal.plan.timelines[proposal.cohort or proposal.stages[0].cohort].growth_end
        yield f"  days of growth before {end}: {_figure(old)} -> {_figure(new)}"
    for text in (*proposal.doubts, *proposal.new_clashes):
        yield from wrapped(text, "    ", first="  ! ")
    for text in proposal.notes:
        yield from wrapped(text, "    ", first="  note: ")
    for text in proposal.evidence:
        yield from _evidence_text(text)
    count = len(proposal.tasks)
    yield f"  {count_text(count, 'task')} {'moves' if count == 1 else 'move'}" + (":" if count else "")
    for task_move in proposal.tasks:
        yield from wrapped(task_move_text(task_move), " " * 9, first="    ")


def _figure(days: int | None) -> str:
    return "none" if days is None else str(days)


def answer_text(answer: str, proposal: Proposal) -> str:
    """What an answer to the lights-off question comes to: "hold lights off: 77 days of growth, harvest 21 Apr".

    Of several cohorts the harvests that move, each with its cohort.
    """
    harvests = {m.cohort: m.new for m in proposal.stages if m.stage == "harvest"}
    if not proposal.cohort:
        moved = [
            f"{name} harvest {day_text(new.likely) if new else 'falls away'}"
            for name, new in harvests.items()
        ]
        return f"{answer} lights off: {some_text(moved) if moved else 'no harvest moves'}"
    days, harvest = proposal.growth_d[1], harvests.get(proposal.cohort)
    growth = "no flowering" if days is None else f"{days_text(days)} of growth"
    return f"{answer} lights off: {growth}" + (
        "" if harvest is None else f", harvest {day_text(harvest.likely)}"
    )


def stage_move_text(move: StageMove) -> str:
    """ "30 Oct -> 8 Nov  9 d late"."""
    if move.old is None or move.new is None:
        return f"{_day(move.old)} -> {_day(move.new)}"
    if move.old.range == move.new.range:
        return f"{day_text(move.new.likely)}  stays" + (
            "" if move.old.status == move.new.status else f", {move.new.status}"
        )
    days = (move.new.likely - move.old.likely).days
    if not days:
        return f"{day_text(move.new.likely)}  stays; {ranges_text(move.old.range, move.new.range)}"
    change = delay_text(days).replace("late", "later").replace("early", "earlier")
    return f"{day_text(move.old.likely)} -> {day_text(move.new.likely)}  {change}"


def ranges_text(old: Range, new: Range) -> str:
    """ "range 20 Oct - 3 Nov -> 22 Oct - 1 Nov"."""
    was, now = (f"{day_text(r.earliest)} - {day_text(r.latest)}" for r in (old, new))
    return f"range {was} -> {now}"


def _day(stage_date: StageDate | None) -> str:
    return "none" if stage_date is None else day_text(stage_date.likely)


def task_move_text(move: TaskMove) -> str:
    """ "k3f7 A1 Scout pests  8 Nov -> 17 Nov"."""
    whose = cohorts_text(move.task.about) or move.task.place
    name = " ".join(part for part in (move.task.id, whose, move.task.what) if part)
    if move.old is None:
        return f"{name}  new on {day_text(move.task.date)}"
    if move.new is None:
        return f"{name}  {day_text(move.task.date)} falls away"
    if move.old.date == move.new.date:
        return f"{name}  {day_text(move.task.date)} stays{task_details_text(move)}"
    return f"{name}  {day_text(move.old.date)} -> {day_text(move.new.date)}"


def task_details_text(move: TaskMove) -> str:
    """ " (hours 3.1 -> 2.8 h)": what is new about a task besides its date; "" for nothing that is shown."""
    if move.old is None or move.new is None:
        return ""
    old, new = move.old, move.new
    pairs = ((name, words(old), words(new), unit) for name, words, unit in _DETAILS)
    changed = [
        f"{name} {was or 'none'} -> {f'{now}{unit}' if now else 'none'}"
        for name, was, now, unit in pairs
        if was != now
    ]
    return f" ({', '.join(changed)})" if changed else ""


# What a task says besides its date: the name it has in a message, how it is put, and its unit.
_DETAILS: tuple[tuple[str, Callable[[Task], str], str], ...] = (
    ("what", lambda task: task.what, ""),
    ("cohorts", lambda task: " ".join(task.about), ""),
    ("place", lambda task: task.place, ""),
    ("who", lambda task: task.who, ""),
    ("hours", lambda task: f"{task.hours:g}" if task.hours else "", " h"),
    ("amount", lambda task: task.amount, ""),
    ("why", lambda task: task.why, ""),
)

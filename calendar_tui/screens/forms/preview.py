"""What a form would move, in a few rows while it is filled in."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from calendar_tui.handing_on.words.plain_text import count_text
from calendar_tui.planning.changes.proposal import Proposal, StageMove
from calendar_tui.planning.laying_out.stages import StageDate
from calendar_tui.screens.kit.drawing import BOLD, DIM, HEADING, WARNING, ListRow, row, wrapped
from calendar_tui.season.stages import DECIDED, STAGES
from calendar_tui.season.wording import dates_in_turn, day_move_text, stage_text

# The stages that a grower asks for first, where there is no room for all.
_FIRST_STAGES = {*DECIDED, "flowering"} - {"lights_on"}


def preview_rows(proposal: Proposal, width: int, height: int) -> list[ListRow]:
    """So many rows at most: what is changed, dates of what is new, dates that move, tasks and clashes."""
    rows = wrapped(proposal.change.what, width, style=HEADING)[:2]
    rows += [
        r for mark, text in proposal.marked_doubts for r in wrapped(text, width, f"{mark} ", "  ", WARNING)
    ]
    rows += [r for text in proposal.verdicts for r in wrapped(text, width, "", "  ")]
    rows += list(_date_rows(proposal, width))
    rows += [r for text in proposal.new_clashes for r in wrapped(text, width, "! ", "  ", WARNING)]
    rows += [r for text in proposal.notes for r in wrapped(text, width, "- ", "  ", DIM)]
    last = row((_sums(proposal), DIM))
    return [*rows[: height - 1], last][:height] if height > 0 else []


def _sums(proposal: Proposal) -> str:
    tasks = count_text(len(proposal.tasks), "task") if proposal.tasks else "no task"
    clashes = len(proposal.new_clashes)
    brings = f", {count_text(clashes, 'new clash', 'new clashes')}" if clashes else ""
    return f"{tasks} new or moved{brings}. Nothing is saved yet."


def _date_rows(proposal: Proposal, width: int) -> Iterator[ListRow]:
    """A paragraph for each cohort with the dates that are new or move, the edited ones first."""
    by_cohort: dict[str, list[StageMove]] = {name: [] for name in proposal.cohorts}
    for move in proposal.stages:
        by_cohort.setdefault(move.cohort, []).append(move)
    for name, moves in by_cohort.items():
        in_order = sorted(moves, key=lambda m: STAGES.index(m.stage))
        texts = [*_new_texts(in_order), *(text for move in in_order if (text := _move_text(move)))]
        if texts:
            yield from wrapped(
                ", ".join(texts), width, f"{name} ", "  ", BOLD if name in proposal.cohorts else DIM
            )


def _new_texts(moves: Sequence[StageMove]) -> Iterator[str]:
    """ "transplant 8 Dec, harvest 5 Mar 2027 (25 Feb to 14 Mar)": the dates that are new, each with its year where that is new."""
    new = [(m.stage, m.new) for m in moves if m.new and m.old is None and m.stage in _FIRST_STAGES]
    days = dates_in_turn(*(date.likely for _, date in new))
    for (stage, date), day in zip(new, days, strict=True):
        yield f"{stage_text(stage)} {day}{_range_text(date)}"


def _range_text(stage: StageDate) -> str:
    if stage.earliest == stage.latest:
        return ""
    return f" ({' to '.join(dates_in_turn(stage.earliest, stage.latest))})"


def _move_text(move: StageMove) -> str:
    """ "harvest 5 Mar -> 9 Mar +4 d"; "" for what stays, or is new."""
    name = stage_text(move.stage)
    if move.new is None:
        return f"{name} falls away"
    if move.old is None or move.old.likely == move.new.likely:
        return ""
    days = (move.new.likely - move.old.likely).days
    return f"{name} {day_move_text(move.old.likely, move.new.likely)} {days:+d} d"

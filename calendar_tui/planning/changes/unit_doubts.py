"""What speaks for another unit than a typed result was read in: the laboratory's files, a total that no hemp has, a jump."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

from calendar_tui.nature.measured import Interval
from calendar_tui.planning.changes.completing import KIND
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.results.figures import Figures, percent_text
from calendar_tui.planning.results.told import bag_text
from calendar_tui.planning.results.used import Results, Used
from calendar_tui.season.records import Season

# A total THC over this, %, is hardly one of hemp; a total so many times the last one hardly one of the same plants.
# Both common practice, no source.
MOST, JUMP = Decimal(5), 10
_MG_G, _PERCENT = "mg/g", "%"
_TENTH = Decimal("0.1")


def with_unit_questions(proposal: Proposal, *, unit_typed: bool) -> Proposal:
    """A proposal of one result, with one question about all that speaks for another unit; as it is where nothing does."""
    names = {edit.ident[0] for edit in proposal.change.edits if edit.kind == KIND}
    asked = tuple(
        text
        for name in names
        for text in _unit_questions(proposal.plan.season, proposal.plan.results, name, unit_typed)
    )
    return replace(proposal, questions=(*asked, *proposal.questions), doubts=(*asked, *proposal.doubts))


def _unit_questions(season: Season, results: Results, name: str, unit_typed: bool) -> tuple[str, ...]:
    """name: of the result that is typed."""
    one = next((used for used in results.used if used.result.id == name), None)
    if one is None or one.figures.thc is None:
        return ()
    why = [
        *_of_laboratory(season, one, unit_typed),
        *_too_much(one.figures),
        *_jump(results, one, one.figures.thc),
    ]
    return (f"% or mg/g? {'; '.join(why)}{_both(one, one.figures.thc)}",) if why else ()


def _of_laboratory(season: Season, one: Used, unit_typed: bool) -> Iterator[str]:
    laboratory = season.laboratories.get(one.result.laboratory or one.sample.laboratory)
    if not unit_typed and laboratory is not None and laboratory.unit not in ("", one.result.unit):
        yield f"no unit is typed, and the files of {laboratory.id} are in {laboratory.unit}"


def _too_much(figures: Figures) -> Iterator[str]:
    if figures.thc is not None and figures.thc.low > MOST:
        yield f"a total THC of {figures.thc_text} is over {MOST} %"


def _jump(results: Results, one: Used, thc: Interval) -> Iterator[str]:
    """Against the last bag of that lot and position that was cut on that day or before."""
    place = one.sample.cohort, one.sample.lot, one.sample.position
    before = [
        other
        for other in results.used
        if other.result.id != one.result.id
        and other.day <= one.day
        and (other.sample.cohort, other.sample.lot, other.sample.position) == place
    ]
    last = before[-1] if before else None
    if last is None or last.figures.thc is None or not last.figures.thc.high:
        return
    if thc.low >= JUMP * last.figures.thc.high:
        yield (
            f"a total THC of {one.figures.thc_text} is ten times the last one there or more: {last.figures.thc_text} of "
            f"{bag_text(last.sample)}"
        )


def _both(one: Used, thc: Interval) -> str:
    """What the total is as it was read, and in the other of the two units."""
    if one.result.unit not in (_MG_G, _PERCENT):
        return ""
    other, factor = (_MG_G, _TENTH) if one.result.unit == _PERCENT else (_PERCENT, 1 / _TENTH)
    as_other = percent_text(thc.times(factor), one.figures.limit)
    return f": total THC {one.figures.thc_text} as typed, {as_other} in {other}; then write: unit {other}"

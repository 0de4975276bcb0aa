"""What makes one look again at a report of the authority before it is saved: on which sample it is put, and its own figures."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from calendar_tui.nature.legal_limits import OVER, WITHIN
from calendar_tui.nature.measured import Interval
from calendar_tui.planning.cutting.official_state import FAILED, PASSED, OfficialState, rules_of, verdict_on
from calendar_tui.planning.results.figures import percent_text
from calendar_tui.season.lots import lot_named
from calendar_tui.season.records import Season
from calendar_tui.season.rules import Lot, Official, Profile
from calendar_tui.season.wording import full_day_text

# The verdict of the rules' arithmetic that speaks against what the authority wrote.
_AGAINST = {PASSED: OVER, FAILED: WITHIN}


def report_doubts(lot: Lot, state: OfficialState, new: Official, profile: Profile | None) -> Iterator[str]:
    """Each a sentence. state: of the lot before; new: the sample as it would be with the report."""
    if state.taken is not None and state.taken.outcome:
        yield from _replaced(lot.id, state.taken, new)
        yield from _of_another(lot, state, new)
    yield from _against_itself(new, profile)


def official_questions(before: Season, after: Season, names: Sequence[str], today: date) -> Iterator[str]:
    """Of samples that are added, changed field by field, or taken out. names: theirs."""
    for name in names:
        old, new = before.officials.get(name), after.officials.get(name)
        if old is not None and old.outcome == FAILED:
            yield from _unfailed(old, new)
        if new is None:
            continue
        if old is not None and old.outcome and new.outcome:
            yield from _replaced(new.lot, old, new)
        lot = lot_named(after, new.lot)
        if lot is not None and (old is None or _report_of(old) != _report_of(new)):
            yield from _against_itself(new, rules_of(after, lot, new))


def _unfailed(old: Official, new: Official | None) -> Iterator[str]:
    """That a lot would not count as failed any more. Another outcome in place of the failure is asked about by itself."""
    if new is None or new.state != old.state or new.lot != old.lot or not new.outcome:
        lead = "without it" if new is None else "with this"
        yield f"{_named(old.lot, old)} failed; {lead} {old.lot} does not count as failed by it any more"


def _report_of(one: Official) -> tuple[str, ...]:
    return one.outcome, one.total, one.uncertainty, one.uncertainty_is


def _named(lot: str, one: Official) -> str:
    return f"the official sample {one.id} of {lot} of {full_day_text(one.date)}"


def _replaced(lot: str, old: Official, new: Official) -> Iterator[str]:
    named = _named(lot, old)
    if old.outcome != new.outcome:
        yield (
            f"{named} {old.outcome} already, and this makes it {new.outcome}; another test is a sample of its own; first: "
            f"{lot} taken DATE --who AGENT"
        )
    if old.total and old.total != new.total:
        yield f"this puts a total of {new.total} % in place of {old.total} % in {named}"


def _of_another(lot: Lot, state: OfficialState, new: Official) -> Iterator[str]:
    coming = state.coming
    if coming is not None and coming.id != new.id:
        yield (
            f"{coming.id}, {coming.state} for {full_day_text(coming.date)}, is not recorded as taken, so the report is put with "
            f"{new.id}; where it is of {coming.id}, first: {lot.id} taken DATE"
        )


def _against_itself(new: Official, profile: Profile | None) -> Iterator[str]:
    verdict = verdict_on(new, profile)
    if verdict is None or verdict.judgement is None or verdict.judgement.verdict != _AGAINST.get(new.outcome):
        return
    judged = verdict.judgement
    ends = percent_text(Interval(judged.low, judged.high), None if profile is None else profile.limit)
    yield (
        f"{new.outcome}, though its total of {new.total} % is {judged.verdict} by the rules' arithmetic: {ends}; look at the report "
        "again"
    )


def report_notes(new: Official) -> Iterator[str]:
    """What the record of a report lacks."""
    if not new.total:
        yield f"no total of the report is recorded with {new.id}; with it: {new.outcome} --total T --uncertainty U"

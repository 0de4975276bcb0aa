"""What makes one look again at a report of the authority before it is saved: on which sample it is put, and its own figures."""

from __future__ import annotations

from collections.abc import Iterator

from calendar_tui.nature.legal_limits import OVER, WITHIN
from calendar_tui.planning.cutting.official_state import FAILED, PASSED, OfficialState, verdict_on
from calendar_tui.season.rules import Lot, Official, Profile
from calendar_tui.season.wording import full_day_text

# The verdict of the rules' arithmetic that speaks against what the authority wrote.
_AGAINST = {PASSED: OVER, FAILED: WITHIN}


def report_doubts(lot: Lot, state: OfficialState, new: Official, profile: Profile | None) -> Iterator[str]:
    """Each a sentence. state: of the lot before; new: the sample as it would be with the report."""
    if state.taken is not None and state.taken.outcome:
        yield from _replaced(lot, state.taken, new)
        yield from _of_another(lot, state, new)
    yield from _against_itself(new, profile)


def _replaced(lot: Lot, old: Official, new: Official) -> Iterator[str]:
    named = f"the official sample {old.id} of {lot.id} of {full_day_text(old.date)}"
    if old.outcome != new.outcome:
        yield (
            f"{named} {old.outcome} already, and this makes it {new.outcome}; another test is a sample of its own; first: "
            f"{lot.id} taken DATE --who AGENT"
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
    yield (
        f"{new.outcome}, though its total of {new.total} % is {judged.verdict} by the rules' arithmetic: {judged.low:f} to "
        f"{judged.high:f} %; look at the report again"
    )


def report_notes(new: Official) -> Iterator[str]:
    """What the record of a report lacks."""
    if not new.total:
        yield f"no total of the report is recorded with {new.id}; with it: {new.outcome} --total T --uncertainty U"

"""A result typed by hand: of a bag whose id is read with its slips, new or as more of the one that is in."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace
from decimal import Decimal

from calendar_tui.nature.legal_limits import ABSOLUTE
from calendar_tui.nature.measured import ABSOLUTELY_DRY, AS_RECEIVED, DRY
from calendar_tui.planning.changes.completing import KIND, completion_of
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.record_change import add_record
from calendar_tui.planning.changes.record_proposal import checked_season, proposed
from calendar_tui.planning.changes.typed_results import WATER, result_fields
from calendar_tui.planning.results.figures import percent_text
from calendar_tui.planning.results.remarks import remarks_of
from calendar_tui.planning.results.told import aside_texts, displaced_texts, taken_texts
from calendar_tui.planning.results.used import Results
from calendar_tui.season.field_errors import FieldError, FieldErrors
from calendar_tui.season.naming import next_names
from calendar_tui.season.readers import Unreadable
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.sample_ids import grouped, is_sound, nearest_ids, read_sample_id
from calendar_tui.season.wording import year_day_text

# Near the limits of detection an uncertainty may be as large as its result; from here on it is asked about. Common practice, no source.
_LARGE = Decimal("0.1")


def read_bag(season: Season, typed: str, *, unknown: bool = False) -> str:
    """The id of the bag that is typed, I, L and O as they are meant. unknown: whether one that is not there will do.

    Raises Refusal with the nearest that are.
    """
    if typed.strip() in season.samples:
        return typed.strip()
    try:
        bag = read_sample_id(typed, tuple(season.samples))
    except Unreadable as wrong:
        raise Refusal(f"the id {wrong}") from wrong
    if bag not in season.samples and not unknown:
        near = nearest_ids(bag, season.samples)
        meant = f"; near it: {', '.join(map(grouped, near))}" if near else ""
        raise Refusal(f"there is no bag {grouped(bag)}{meant}")
    return bag


def record_result(held: HeldSeason, bag: str, typed: Mapping[str, str], *, apart: bool = False) -> Proposal:
    """The proposal of a typed result, with a question where it may be of another unit. Arguments and errors as of `_recorded`."""
    from calendar_tui.planning.changes.unit_doubts import with_unit_questions

    proposal = _recorded(held, bag, typed, apart=apart)
    return with_unit_questions(proposal, unit_typed=bool(result_fields(typed).get("unit", "").strip()))


def _recorded(held: HeldSeason, bag: str, typed: Mapping[str, str], *, apart: bool) -> Proposal:
    """The proposal that adds a result of a bag, or completes the one that is in where it only adds to it.

    typed: fields by their names; the report is of today where no date is typed. apart: whether it stands by itself
    whatever is in. Raises FieldErrors.
    """
    name = result_name(bag, tuple(held.plan.season.results))
    given = {"date": year_day_text(held.plan.today), "sample": bag, **result_fields(typed)}
    added = add_record(held, KIND, name, given)
    new = next(edit.value for edit in added.change.edits if (edit.op, edit.kind) == ("add", KIND))
    more = None if apart else completion_of(held.records(KIND), new, dated="date" in typed)
    if more is None:
        _refuse_water_twice(given, added.plan.season.results[name].basis)
        return _told(held, added, name)
    season = checked_season(held, more.edits, {KIND: [(more.name,)]}, {})
    _refuse_water_twice(given, season.results[more.name].basis)
    return _told(held, proposed(held, season, more.text, more.edits, KIND, [(more.name,)]), more.name)


def _refuse_water_twice(given: Mapping[str, str], basis: str) -> None:
    """Raises FieldErrors where water is typed of figures that have none to take out."""
    if WATER in given and basis in (DRY, ABSOLUTELY_DRY):
        right = f'the figures are {basis}: their water is out already; leave it out, or set the basis to "{AS_RECEIVED}"'
        raise FieldErrors([FieldError(WATER, given[WATER], right)])


def _uncertainty_doubts(results: Results, name: str) -> tuple[str, ...]:
    """That an absolute uncertainty is more than its result, as a relative one that was read wrongly is."""
    for one in results.used:
        found, thc = one.figures.uncertainty, one.figures.thc
        if one.result.id != name or found is None or thc is None or found.kind != ABSOLUTE:
            continue
        if found.amount > thc.high and found.amount >= _LARGE:
            return (
                f"an uncertainty of {found.amount} percentage points is more than the total THC of {percent_text(thc)} itself: "
                "is it relative, in % or as a share of the result, or absolute? look at the report",
            )
    return ()


def _told(held: HeldSeason, proposal: Proposal, name: str) -> Proposal:
    """With what the result comes to and what in it is to be looked at, or why it is kept aside; and what it puts out of use."""
    results = proposal.plan.results
    remarks = (text for one in results.used if one.result.id == name for text in remarks_of(one))
    aside = (*aside_texts(results, {name}), *remarks)
    asked = (*_uncertainty_doubts(results, name), *displaced_texts(held.plan.results, results))
    return replace(
        proposal,
        doubts=(*aside, *asked, *proposal.doubts),
        questions=(*asked, *proposal.questions),
        notes=(*taken_texts(results, {name}), *proposal.notes),
    )


def result_name(bag: str, taken: Collection[str]) -> str:
    """ "26A1TA-1", "26A1TA-2"; "r1" for what no name can be made of."""
    return next_names(f"{bag}-0" if is_sound(bag) else "r0", taken)[0]

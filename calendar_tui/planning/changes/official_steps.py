"""The steps of an official sample as changes: asked for, booked, taken, and what the authority wrote; what a failure asks for."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal, InvalidOperation
from typing import Any, NamedTuple

from calendar_tui.nature.legal_limits import ABSOLUTE, RELATIVE, Uncertainty
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.official_work import official_work
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.record_proposal import checked_season, proposed
from calendar_tui.planning.changes.report_doubts import report_doubts, report_notes
from calendar_tui.planning.changes.ticks import ticks_texts
from calendar_tui.planning.cutting.official_state import (
    ASKED,
    BOOKED,
    FAILED,
    PASSED,
    TAKEN,
    OfficialState,
    SampleDays,
    official_state,
    rules_of,
    sample_days,
)
from calendar_tui.planning.tasks.by_chore import task_id
from calendar_tui.season.edits import Edit
from calendar_tui.season.field_errors import FieldError, FieldErrors
from calendar_tui.season.lots import rules_for
from calendar_tui.season.measured_texts import POINT, Limits, read_measured
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.rules import CHECK, REMEDIATION, Lot, Official, Profile
from calendar_tui.season.wording import alike_text, full_day_text
from calendar_tui.season.work import Task

STEPS, OUTCOMES = (ASKED, BOOKED, TAKEN), (PASSED, FAILED)
NO_PRODUCER = "only an authorised agent takes it, never the producer"


class Report(NamedTuple):
    """What the authority wrote. total: %, as text; uncertainty: as text, relative: in % of the total; after: what follows a failure.
    "" for not given.
    """

    outcome: str
    total: str = ""
    uncertainty: str = ""
    relative: bool = False
    after: str = ""


class _Step(NamedTuple):
    """What a step changes of one sample. name: its id; what: behind the name of its lot, "booked for Thu 10 Dec"."""

    name: str
    what: str
    edits: list[Edit]
    doubts: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    questions: tuple[str, ...] = ()


def recorded_step(
    held: HeldSeason, lots: Sequence[Lot], step: str, typed_day: date | None, who: str, report: Report
) -> Proposal:
    """The proposal of a step of a sample of each of these lots: one of STEPS with who takes it, or one of OUTCOMES with the report.

    typed_day: None for today, and for the day of a report that is recorded already with the same outcome.
    Raises Refusal, FieldErrors.
    """
    _refuse_beside(step, who, report)
    day = typed_day or held.plan.today
    if len(lots) > 1 and report.total:
        raise _wrong("total", report.total, "a report is of one lot; record it of each by itself")
    of_each = [
        _report_on(held, lot, typed_day, report) if step in OUTCOMES else _step_to(held, lot, step, day, who)
        for lot in lots
    ]
    about = [(one.name,) for one in of_each]
    edits = [edit for one in of_each for edit in one.edits]
    season = checked_season(held, edits, {"official": about}, {})
    done, ticks = official_work(season, lots, held.plan.today)
    if done:
        edits += ticks
        season = checked_season(held, edits, {"official": about}, {})
    whats = [f"{lot.id} {one.what}" for lot, one in zip(lots, of_each, strict=True)]
    what = "; ".join(f"official sample of {text}" for text in alike_text(whats, [lot.id for lot in lots]))
    proposal = proposed(held, season, what, edits, "official", about)
    doubts = dict.fromkeys(doubt for one in of_each for doubt in one.doubts)
    notes = (
        *(note for one in of_each for note in one.notes),
        *ticks_texts(done),
    )
    asked = dict.fromkeys(text for one in of_each for text in one.questions)
    return replace(
        proposal,
        questions=(*asked, *proposal.questions),
        doubts=(*asked, *doubts, *proposal.doubts),
        notes=(*notes, *proposal.notes),
    )


def _refuse_beside(step: str, who: str, report: Report) -> None:
    """Raises FieldErrors for what does not go with a step."""
    given = {
        "who": who,
        "total": report.total,
        "uncertainty": report.uncertainty,
        "relative": report.relative,
        "after": report.after,
    }
    right = {
        PASSED: ("total", "uncertainty", "relative"),
        FAILED: ("total", "uncertainty", "relative", "after"),
    }
    wrong = [name for name, value in given.items() if value and name not in right.get(step, ("who",))]
    if wrong:
        steps = ", ".join(name for name in (*STEPS, *OUTCOMES) if wrong[0] in right.get(name, ("who",)))
        raise _wrong(wrong[0], "", f"it does not apply to {step}; it goes with {steps}")


def _step_to(held: HeldSeason, lot: Lot, state: str, day: date, who: str) -> _Step:
    """That a sample of a lot is asked for, booked for, or was taken on a day. Raises Refusal, FieldErrors."""
    now = official_state(held.plan.season, lot)
    _refuse_step(held, now, lot, state, day, who)
    by = f" by {who}" if who else ""
    verb = {"asked": "asked for", "booked": "booked for"}.get(state, "taken on")
    what = f"{verb} {full_day_text(day)}{by}"
    fields: dict[str, Any] = {"date": day, "state": state} | ({"who": who} if who else {})
    if now.coming is None:
        name = _free_name(held, lot)
        asked = {} if state == TAKEN else {"asked": held.plan.today}
        edits = [Edit("add", "official", (name,), (), {"id": name, "lot": lot.id} | fields | asked)]
    else:
        name = now.coming.id
        edits = _set(now.coming, fields)
    return _Step(name, what, edits, tuple(_outside(held, lot, day)))


def _refuse_step(held: HeldSeason, now: OfficialState, lot: Lot, state: str, day: date, who: str) -> None:
    if state != TAKEN:
        return
    if day > held.plan.today:
        raise _wrong(
            "date",
            "",
            f"{full_day_text(day)} is to come; a sample is recorded as taken once it is: book it, such as: {lot.id} booked {day}",
        )
    if not who and (now.coming is None or not now.coming.who):
        raise _wrong("who", "", f"by whom was it taken? give the agent's name; {NO_PRODUCER}")


def _report_on(held: HeldSeason, lot: Lot, typed_day: date | None, report: Report) -> _Step:
    """The result of the newest sample taken, and, where it failed, what its rules allow as tasks.

    Raises Refusal, FieldErrors.
    """
    state = official_state(held.plan.season, lot)
    taken = state.taken
    if taken is None:
        raise Refusal(
            f"no official sample of {lot.id} is recorded as taken; first: {lot.id} taken DATE --who AGENT"
        )
    stands = taken.reported if taken.outcome == report.outcome else None
    day = typed_day or stands or held.plan.today
    if day < taken.date:
        raise _wrong(
            "date",
            "",
            f"the report of {full_day_text(day)} is before the sample of {full_day_text(taken.date)}",
        )
    if day > held.plan.today:
        raise _wrong("date", "", f"{full_day_text(day)} is to come; a report is recorded once it is in")
    _refuse_figures(report)
    fields: dict[str, Any] = {"reported": day, "outcome": report.outcome}
    if report.total:
        fields["total"] = report.total
    if report.uncertainty:
        kind = RELATIVE if report.relative else ABSOLUTE
        fields |= {"uncertainty": report.uncertainty, "uncertainty_is": kind}
    if report.after:
        fields["after"] = report.after
    edits = _set(taken, fields)
    profile = rules_of(held.plan.season, lot, taken)
    tasks = _new_tasks(held, lot, _after_failure(profile, lot, taken, report), typed_day or held.plan.today)
    edits += [Edit("add", "task", (task.id,), (), _task_table(task)) for task in tasks]
    what = f"of {full_day_text(taken.date)} {report.outcome}"
    new = replace(taken, **fields)
    notes = [f"new task {task.id}, {full_day_text(task.date)}: {task.what}" for task in tasks]
    asked = tuple(report_doubts(lot, state, new, profile))
    return _Step(taken.id, what, edits, notes=(*report_notes(new), *notes), questions=asked)


def _refuse_figures(report: Report) -> None:
    """Raises Refusal for a total or an uncertainty that no report can mean."""
    if report.uncertainty and not report.total:
        raise _wrong("uncertainty", report.uncertainty, "it is of a total; give the total too")
    if not report.total:
        return
    high = _total(report.total)
    if not report.uncertainty:
        return
    kind = RELATIVE if report.relative else ABSOLUTE
    try:
        Uncertainty(Decimal(report.uncertainty), kind).refuse_beyond(high)
    except InvalidOperation as wrong:
        right = "write percentage points, such as 0.06, or make it relative: in % of the total"
        raise _wrong("uncertainty", report.uncertainty, right) from wrong
    except ValueError as wrong:
        raise _wrong("uncertainty", "", f"{wrong}; relative is for one in % of the total") from wrong


def _total(typed: str) -> Decimal:
    """The upper end of a total, %. Raises Refusal."""
    try:
        percent = read_measured(typed, "%", POINT, Limits()).percent
    except ValueError:
        percent = None
    if percent is None:
        raise _wrong("total", typed, "write % from 0 to 100 with a point, such as 0.35")
    return percent.high


def _wrong(words: str, typed: str, right: str) -> FieldErrors:
    return FieldErrors([FieldError(words, typed, right)])


def _after_failure(profile: Profile | None, lot: Lot, before: Official, report: Report) -> Iterator[str]:
    """What a report asks for that was not known before: to leave the lot as it is, what its rules allow, what the authority has follow."""
    citation = CHECK if profile is None else profile.citation
    if report.outcome == FAILED and before.outcome != FAILED:
        yield (
            f"Lot {lot.id} failed its official sample: mark it, leave it where it is, do not cut, move or mix it; follow the "
            f"authority's procedure ({citation})"
        )
        for way in () if profile is None or report.after else profile.after_failure:
            yield f"Lot {lot.id}: ask the authority about {way}, by its procedure"
    if report.after and report.after != before.after:
        yield f"Lot {lot.id}: {report.after}, as the authority has it follow, by its procedure and no other ({citation})"
    if report.after == REMEDIATION != before.after:
        yield f"Lot {lot.id}: book the official sample of the remediated biomass; none of it is used, moved or sold before it passes ({citation})"


def _new_tasks(held: HeldSeason, lot: Lot, whats: Iterable[str], day: date) -> tuple[Task, ...]:
    taken = {task.id for task in held.plan.season.tasks}
    made: list[Task] = []
    for what in whats:
        task = Task(id="", date=day, what=what, cohort=lot.cohort, who="grower")
        task = replace(task, id=task_id(task, taken))
        taken.add(task.id)
        made.append(task)
    return tuple(made)


def _task_table(task: Task) -> dict[str, Any]:
    return {key: getattr(task, key) for key in ("id", "date", "cohort", "what", "who")}


def _outside(held: HeldSeason, lot: Lot, day: date) -> Iterator[str]:
    """That a sample would be taken outside the days of the rules, by the expected harvest or the flowering."""
    season, timeline = held.plan.season, held.plan.timelines[lot.cohort]
    days = sample_days(season, timeline, lot, min(day, held.plan.today))
    profile, harvest = rules_for(season, lot, day), timeline.likely("harvest")
    if profile is None or not days or any(one.has(day) for one in days):
        return
    before_d = profile.sample_before_harvest_d
    if before_d is None:
        why = "outside the days on which the rules have it taken by the flowering"
    elif harvest is None or day > harvest:
        return
    else:
        why = f"more than {before_d} d before the harvest expected on {full_day_text(harvest)}"
    right = ", or ".join(_days_text(one) for one in days)
    yield f"{full_day_text(day)} is {why}; right would be {right} ({profile.citation})"


def _days_text(days: SampleDays) -> str:
    profile = days.turn.profile
    by_harvest = profile is not None and profile.sample_before_harvest_d is not None
    first = "the end of flowering" if days.first is None else full_day_text(days.first)
    if days.last is None or (by_harvest and days.turn.until is None):
        return f"from {first} on" if by_harvest else f"from {first}"
    return f"from {first} to {full_day_text(days.last)}"


def _free_name(held: HeldSeason, lot: Lot) -> str:
    taken = {name.casefold() for name in held.plan.season.officials}
    n = 1
    while f"{lot.id}-o{n}".casefold() in taken:
        n += 1
    return f"{lot.id}-o{n}"


def _set(one: Official, fields: dict[str, Any]) -> list[Edit]:
    return [
        Edit("set", "official", (one.id,), (key,), value)
        for key, value in fields.items()
        if getattr(one, key) != value
    ]

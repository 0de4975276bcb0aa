"""The sentences that tell what records say: the difference, the figure it speaks to, and what it would mean."""

from __future__ import annotations

import shlex
from collections.abc import Iterable, Iterator, Sequence
from datetime import date

from calendar_tui.planning.evidence.figures import present
from calendar_tui.planning.evidence.recorded import Evidence, Meaning, Seen
from calendar_tui.season.field_names import field_words
from calendar_tui.season.records import Span, Variety
from calendar_tui.season.stages import BY_NAME, SHOWING_VARIETY
from calendar_tui.season.variety_types import from_type
from calendar_tui.season.wording import clock_text, day_text, hours_text, stage_text

# So many cohorts are told one by one in a sentence; the rest are counted, and have their own pages.
MOST_NAMED = 4
# The stages whose records a fit of the variety uses.
_FITTED = frozenset(SHOWING_VARIETY) - {"trigger"}
DAY_LENGTHS = ("critical_day", "full_response_day")


def evidence_note(evidence: Evidence, cohort: str = "") -> str:
    """A paragraph and, where there is something to take over, the command that does, on a line of its own.

    cohort: tell only what is from this one or about it. One record is held against one figure here; what a fit can use is
    left to that, which weighs all records and all figures together.
    """
    text = evidence_text(evidence, cohort)
    fits = _fits(evidence)
    if cohort in evidence.pending or not (evidence.apart if fits else evidence.firm):
        return text
    records = len(evidence.seen)
    lead = "One cohort is one record." if records == 1 else f"From {records} records."
    name = shlex.quote(evidence.variety.id)
    if fits:
        return f"{text}\n{lead} To fit all figures to all records of {evidence.variety.id}:\ncalendar-tui variety {name} --fit"
    return f"{text}\n{lead} To take it over:\n{command_text(evidence)}"


def _fits(evidence: Evidence) -> bool:
    """Whether a fit of the variety uses these records."""
    by_light = evidence.variety.response == "short-day"
    return by_light and evidence.stage in _FITTED and not evidence.key.endswith("_cd")


def evidence_brief(evidence: Evidence, cohort: str) -> str:
    """A line for a list of many cohorts; "" where nothing is apart from its projection, or nothing moves for it."""
    if not evidence.apart:
        return ""
    for seen in evidence.seen:
        if seen.cohort == cohort:
            return f"{_seen_text(evidence, seen)} {next(_figure_text(evidence))}"
    for meaning in evidence.others:
        moves = (meaning.new, meaning.new_harvest) != (meaning.old, meaning.old_harvest)
        if meaning.cohort == cohort and moves:
            who = _listed([s.cohort for s in evidence.seen])
            who = f"{who} did" if len(evidence.seen) == 1 else f"the median of {who}"
            return f"If it does as {who}: {_meaning_text(evidence.stage, meaning)}."
    return ""


def evidence_text(evidence: Evidence, cohort: str = "") -> str:
    """What the records say in one paragraph; for one `cohort`, what is from it or about it."""
    own = [s for s in evidence.seen if s.cohort == cohort]
    about = [m for m in evidence.others if m.cohort == cohort]
    sentences = [_seen_text(evidence, seen) for seen in (own or evidence.seen)[:MOST_NAMED]]
    if not own and len(evidence.seen) > MOST_NAMED:
        sentences.append(f"And {len(evidence.seen) - MOST_NAMED} more.")
    if own or cohort not in evidence.pending:
        sentences += _figure_text(evidence)
    if evidence.others:
        sentences.append(_others_text(evidence, about or evidence.others))
    elif evidence.pending and not evidence.key:
        sentences.append(f"Nothing certain follows for {_listed(evidence.pending)}.")
    sentences.append("Nothing is changed.")
    return " ".join(sentences)


def _seen_text(evidence: Evidence, seen: Seen) -> str:
    what = f"{seen.cohort} ({evidence.variety.id}) {BY_NAME[evidence.stage].past}"
    expected, days = seen.projected, seen.days
    if expected is None or days is None:
        return f"{what} on {day_text(seen.day)}, against what was worked out: {seen.never}."
    if days == 0:
        return f"{what} as projected, {day_text(seen.day)}."
    apart = f"{abs(days)} d {'later' if days > 0 else 'earlier'} than projected"
    spread = (
        "" if expected.earliest == expected.latest else f", {_range_text(expected.earliest, expected.latest)}"
    )
    within = "within the range" if seen.within else "outside the range"
    inside = f": {within}" if spread else ""
    return f"{what} {apart} ({day_text(seen.day)}, projected {day_text(expected.likely)}{spread}{inside})."


def _range_text(earliest: date, latest: date) -> str:
    return f"{day_text(earliest)} to {day_text(latest)}"


def _figure_text(evidence: Evidence) -> Iterator[str]:
    """What the figure comes to by the records, against the one there is."""
    values = sorted(s.figure.value for s in evidence.seen if s.figure is not None)
    if not values:
        yield "No one figure of the variety gives that date: look first at the light and lamps it had."
        return
    key = evidence.key
    text = figure_with_unit(key, values[0])
    if len(values) > 1:
        if values[0] != values[-1]:
            text = f"{text.removesuffix(_unit(key))} to {figure_with_unit(key, values[-1])}"
        middle = present(evidence.changed or evidence.variety, key)
        text += f" in {len(values)} cohorts, median {figure_with_unit(key, middle)},"
    there = figure_with_unit(key, present(evidence.variety, key))
    of_type = f" of the type {evidence.variety.type}" if key in from_type(evidence.variety) else ""
    yield f"{_name(evidence)}: {text} against {there} ({field_words('variety', key)}{of_type})."
    if unsure := [s.cohort for s in evidence.seen if not s.sure]:
        base = stage_text(evidence.base)
        yield f"{base.capitalize()} of {_listed(unsure)} is not recorded, so the time before it may be what differs."


def _name(evidence: Evidence) -> str:
    if evidence.key == "critical_day":
        return "A critical day that gives the trigger"
    if evidence.key == "inductive_days":
        return "Count of short days when induced"
    return f"{stage_text(evidence.base)} to {stage_text(evidence.stage)}".capitalize()


def figure_with_unit(key: str, value: float) -> str:
    """ "19 d", "210 C d", "9.4", "13 h 52": a figure with its unit."""
    if key == "critical_day":
        return hours_text(value)
    return f"{round(value, 1):g}" + ("" if key == "inductive_days" else _unit(key))


def _unit(key: str) -> str:
    return " C d" if key.endswith("_cd") else " d"


def _others_text(evidence: Evidence, others: Sequence[Meaning]) -> str:
    several = len(others) > 1
    names = _listed([m.cohort for m in others])
    lead = f"If {names} {'do' if several else 'does'} the same"
    if len(evidence.seen) > 1:
        lead = f"By the median, {names}"
    texts = [
        (f"{m.cohort} " if several else "") + _meaning_text(evidence.stage, m) for m in others[:MOST_NAMED]
    ]
    return f"{lead}: {'; '.join(texts)}."


def _listed(names: Sequence[str]) -> str:
    shown = ", ".join(names[:MOST_NAMED])
    return f"{shown} and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else shown


def _meaning_text(stage: str, meaning: Meaning) -> str:
    moved = f"{stage_text(stage)} {_move_text(meaning.old, meaning.new)}"
    if meaning.old_harvest is None:
        return moved
    return f"{moved}, harvest {_move_text(meaning.old_harvest, meaning.new_harvest)}"


def _move_text(old: date, new: date | None) -> str:
    if new == old:
        return f"stays {day_text(old)}"
    return f"{'no date' if new is None else day_text(new)} rather than {day_text(old)}"


def record_evidence(evidence: Iterable[Evidence], cohort: str, stage: str) -> tuple[str, ...]:
    """What the record of a stage of a cohort says, "says about A2, A3: ..." first; nothing where it says nothing."""
    return tuple(
        f"{_lead(of_figure)}: {evidence_note(of_figure, cohort)}"
        for of_figure in evidence
        if of_figure.stage == stage and cohort in (s.cohort for s in of_figure.seen)
    )


def _lead(evidence: Evidence) -> str:
    return f"says about {_listed(evidence.pending)}" if evidence.pending else "says"


def command_text(evidence: Evidence) -> str:
    """The command that takes the figure over, marked as from the farm's own records."""
    changed = evidence.changed
    assert changed is not None
    figure = f"{field_words('variety', evidence.key)} {given_text(changed, evidence.key)}"
    return f"calendar-tui variety {shlex.quote(changed.id)} {figure} --mark own"


def given_text(variety: Variety, key: str) -> str:
    """A figure as one types it: "15,19,25", "13:52", "13:30,13:52,14:10"."""
    span: Span = getattr(variety, key)
    figures = span if span.early < span.late else span[:1]
    return ",".join(clock_text(n) if key in DAY_LENGTHS else f"{round(n, 3):g}" for n in figures)

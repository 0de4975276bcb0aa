"""The same answers as plain data for JSON: dates become ISO 8601 text when they are written."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from calendar_tui.nature.sky import Daylight
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.clash import Clash
from calendar_tui.planning.clash_groups import ClashesOnce, alone
from calendar_tui.planning.evidence.recorded import Evidence, Seen
from calendar_tui.planning.evidence.words import given_text
from calendar_tui.planning.laying_out.stages import StageDate
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.readers import meant
from calendar_tui.season.stages import CODES
from calendar_tui.storage.problems import FileProblem

Row = dict[str, Any]


def problem_rows(problems: Iterable[FileProblem], severity: str) -> list[Row]:
    """file; line and column from 1, or null; severity; message; fix: the word that was meant, or null."""
    return [
        {
            "file": p.file,
            "line": p.line,
            "column": p.column,
            "severity": severity,
            "message": p.message,
            "fix": meant(p.message) or None,
        }
        for p in problems
    ]


def daylight_rows(days: Iterable[Daylight]) -> list[Row]:
    """date; sunrise and sunset as UTC instants or null; natural_h and civil_h in hours."""
    return [
        {
            "date": d.date,
            "sunrise": d.sunrise,
            "sunset": d.sunset,
            "natural_h": round(d.natural_h, 4),
            "civil_h": round(d.civil_h, 4),
        }
        for d in days
    ]


def stage_row(stage_date: StageDate | None) -> Row | None:
    if stage_date is None:
        return None
    row: Row = {
        "earliest": stage_date.earliest,
        "likely": stage_date.likely,
        "latest": stage_date.latest,
        "status": stage_date.status,
        "reason": stage_date.reason,
    }
    if stage_date.intended is not None:
        row["intended"] = stage_date.intended
    if stage_date.dates:
        row["dates"] = list(stage_date.dates)
    return row


def dates_rows(timelines: Iterable[Timeline], evidence: Iterable[Evidence] = ()) -> list[Row]:
    """One row per cohort and stage.

    code: of the growth stage, or null; not_yet: the last look without it; forecast: earliest, likely and latest as projected before its record; evidence: where
    a record says something about its variety.
    """
    by_stage = {(s.cohort, e.stage): {"evidence": _evidence_row(e, s)} for e in evidence for s in e.seen}
    return [
        {
            "cohort": t.cohort.id,
            "stage": stage_date.stage,
            "code": CODES[stage_date.stage] or None,
            **(stage_row(stage_date) or {}),
            **{
                key: dates[stage_date.stage]
                for key, dates in (("not_yet", t.cohort.not_yet), ("forecast", t.cohort.forecast))
                if stage_date.stage in dates
            },
            **by_stage.get((t.cohort.id, stage_date.stage), {}),
        }
        for t in timelines
        for stage_date in t.stages.values()
    ]


def clash_rows(once: ClashesOnce, names: Iterable[str]) -> list[Row]:
    """Each clash that touches these cohorts, once, in the order of the text: the farm's, places', those alike, each one's own.

    A row for all about one thing. once: the clashes of the whole season.

    about: such as "crew: grower" or "shock"; place: where it belongs, or null; cohorts: those it touches; clashes: each
    with its sentence, and where something is over-full the day or the week's Monday, amount, has and unit.
    """
    shown = set(names)
    own = (alone(clash) for clashes in once.own.values() for clash in clashes)
    return [
        {
            "about": group.of,
            "place": group.place or None,
            "cohorts": list(group.cohorts),
            "clashes": [_clash_row(clash) for clash in group.clashes],
        }
        for group in (*once.farm, *once.places, *once.alike, *own)
        if not shown.isdisjoint(group.cohorts)
    ]


def _clash_row(clash: Clash) -> Row:
    row: Row = {"text": clash.text}
    if clash.excess is not None:
        row |= clash.excess._asdict()
        del row["what"]
    return row


def _evidence_row(evidence: Evidence, seen: Seen) -> Row:
    """A record against its projection; figure and given: as the variety command takes them, null where none fits."""
    expected = seen.projected
    return {
        "projected": expected and dict(zip(("earliest", "likely", "latest"), expected.range, strict=True)),
        "days_late": seen.days,
        "within_range": seen.within,
        "figure": evidence.key or None,
        "given": evidence.changed and given_text(evidence.changed, evidence.key),
        "others": [
            {
                "cohort": m.cohort,
                "old": m.old,
                "new": m.new,
                "old_harvest": m.old_harvest,
                "new_harvest": m.new_harvest,
            }
            for m in evidence.others
        ],
    }


def proposal_row(proposal: Proposal, answer: str | None, saved: bool) -> Row:
    """What a proposal moves, and whether it was saved. answer: to the lights-off question, None if it is not asked."""
    old, new = proposal.growth_d
    return {
        "change": proposal.change.what,
        "saved": saved,
        "lights_off": answer,
        "growth_d": {"old": old, "new": new},
        "stages": [
            {"cohort": m.cohort, "stage": m.stage, "old": stage_row(m.old), "new": stage_row(m.new)}
            for m in proposal.stages
        ],
        "tasks": [
            {
                "id": m.task.id,
                "cohort": m.task.cohort,
                "cohorts": list(m.task.about),
                "what": m.task.what,
                "old": m.old.date if m.old else None,
                "new": m.new.date if m.new else None,
            }
            for m in proposal.tasks
        ],
        "verdicts": list(proposal.verdicts),
        "clashes": list(proposal.new_clashes),
        "doubts": list(proposal.doubts),
        "questions": list(proposal.questions),
        "notes": list(proposal.notes),
        "evidence": list(proposal.evidence),
    }

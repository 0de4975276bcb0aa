"""What the harvest asks of the grower: lots to cut, and batches to take out of the dryer."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date

from calendar_tui.language.speaking import phrase
from calendar_tui.planning.clash import Clash
from calendar_tui.planning.cutting.windows import FROST, MEANT, SEASON, STORMS, lot_cut, sight_of
from calendar_tui.planning.deciding.decision import BATCH, CUT, Decision, is_soon
from calendar_tui.planning.drying.batches import dryings
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.results.used import Results
from calendar_tui.season.lots import is_cut, lots_of
from calendar_tui.season.records import Season

# The last day to cut is listed from so many days before; a starting value, no source.
CUT_AHEAD_D = 30
# What was cut or dried and should not have been stays in the list for so many days; a starting value, no source.
MADE_D = 30
# What ends every lot's days to cut, and is no decision by itself; a sample that is only meant may still be put off.
_FAR = (SEASON, FROST, STORMS, MEANT)


def cut_decisions(
    season: Season, timelines: Mapping[str, Timeline], today: date, results: Results
) -> Iterator[Decision]:
    """The lots of which the cutting is to begin by a day near at hand, and the rule that sets it."""
    sight = sight_of(season, timelines, today, results)
    for lot in lots_of(season):
        if is_cut(season, lot, today):
            continue
        cut = lot_cut(sight, lot, guess=False)
        if cut.official.failed and cut.official.coming is None:
            # Nothing of it is cut before the authority allows it; what follows is a decision of its own.
            continue
        ends = [end for kind, end in cut.ends if kind not in _FAR]
        last = min(ends, key=lambda end: end.day, default=None)
        if last is not None and is_soon(last.day, today, CUT_AHEAD_D):
            where = timelines[lot.cohort].stay_on(today).light
            rules = "" if cut.profile is None else cut.profile.citation
            waits = [phrase("waits for {what}", what=one) for one in cut.window.waits_for]
            why = "; ".join((last.rule, *waits))
            yield Decision(
                CUT,
                lot.id,
                phrase("{lot} cut", lot=lot.id),
                where,
                last.day,
                why,
                cohorts=(lot.cohort,),
                rules=rules,
            )


def batch_decisions(season: Season, today: date) -> Iterator[Decision]:
    """The batches that are dry enough, or have been in for as long as their variety dries."""
    for drying in dryings(season):
        name = drying.batch.id
        if drying.is_in and drying.batch.date <= today and is_soon(drying.latest, today):
            yield Decision(
                BATCH,
                name,
                phrase("batch {name} out of the dryer", name=name),
                "",
                drying.latest,
                drying.why,
                record=name,
            )


def made_decisions(
    timelines: Mapping[str, Timeline], clashes: Iterable[Clash], today: date
) -> Iterator[Decision]:
    """What was cut or dries against the rules or the label: what follows is to be decided today, with the authority."""
    for clash in clashes:
        made = clash.recorded
        if made is None or (today - made.day).days > MADE_D:
            continue
        kind = BATCH if made.kind == "batch" else CUT
        where = timelines[clash.own].stay_on(made.day).light if clash.own else ""
        yield Decision(
            kind, clash.own, clash.kind, where, today, clash.text, cohorts=clash.cohorts, record=made.id
        )

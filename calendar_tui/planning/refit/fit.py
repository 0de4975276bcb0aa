"""A fit: every figure of a variety before and after the records of its cohorts, and how far they can be relied upon.

Needs numpy, by `nature/refit.py`.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, NamedTuple

from calendar_tui.nature import refit
from calendar_tui.nature.refit import TAUGHT, Margin, Weights
from calendar_tui.nature.spans import span_with_records
from calendar_tui.nature.teaching import likely_day
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.refit.choice import AS_IT_COMES, Choice
from calendar_tui.planning.refit.doubts import (
    Outside,
    Sorted,
    Tried,
    better_types,
    improbable,
    outside,
    sorted_records,
)
from calendar_tui.planning.refit.outlook import Outlook, outlook_of
from calendar_tui.planning.refit.records import (
    SPANS,
    LeftOut,
    Named,
    SeasonCohort,
    ends,
    induction_record,
    recorded_spans,
    season_cohorts,
    years_text,
)
from calendar_tui.planning.refit.start import FITTED_MARK, before_records, belief, set_aside
from calendar_tui.season.finders import find_variety
from calendar_tui.season.fitted_sets import IN_SETS, STEPS, figures_of_sets
from calendar_tui.season.marks import DEFAULT_MARKS
from calendar_tui.season.records import FigureSet, Season, Span, Variety
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.variety_types import type_of, with_figures
from calendar_tui.season.wording import some_text

# Of the standard deviation before, so much is left at the most of what is learnt, and of what is learnt a little.
LEARNT, A_LITTLE = 0.6, 0.92
NOT_AT_ALL = "not at all"
# Of the standard deviation before: a mean that moves by more is worth a word.
MOVED = 0.5
NOT_BY_THIS_LIGHT = (
    "{kind} gives that date by no likely figures under the light on file, and no other records bear it out; look at its date, "
    "at its light, at lamps and outages that were not recorded, and at the type"
)
KEYS: Mapping[str, str] = dict(zip((*TAUGHT, "width_h"), (*IN_SETS, "full_response_day"), strict=True))


class FigureFit(NamedTuple):
    """One of the four figures. key: of the variety; left: standard deviation after over before, 1 is nothing learnt."""

    key: str
    before: Margin
    after: Margin
    left: float

    @property
    def how(self) -> str:
        """ "learnt", "a little", "not at all"; what moves by half its spread is learnt a little at least."""
        if self.left <= LEARNT:
            return "learnt"
        moved = abs(self.after.mean - self.before.mean) > MOVED * self.before.sd
        return "a little" if self.left <= A_LITTLE or moved else NOT_AT_ALL


class Pair(NamedTuple):
    """Two figures that the records teach only together; correlation: -1 to 1, of the width where one is the full-response day."""

    one: str
    other: str
    correlation: float


class SpanFit(NamedTuple):
    """A span before and after the spans that were recorded, d."""

    key: str
    before: Span
    after: Span
    recorded: tuple[tuple[Named, int], ...]


@dataclass(frozen=True, slots=True)
class UsedRecord:
    """A record that counts, or that the others contradict, and what is projected for it without it: by the records of the others, and by no record.

    by: the stage that is recorded, or "look" where it was not there yet; after, until: between which days it was induced. alone: whether there are no others.
    """

    name: Named
    by: str
    after: date | None
    until: date | None
    by_others: date | None
    by_none: date | None
    alone: bool

    @property
    def error_d(self) -> int | None:
        """Days from what the others' records project to the record; negative: it was earlier. None where it is within."""
        return _apart(self, self.by_others)

    @property
    def error_before_d(self) -> int | None:
        """The same without any record."""
        return _apart(self, self.by_none)


def _apart(used: UsedRecord, projected: date | None) -> int | None:
    """Days from a projected date to the nearest day of a record's interval; 0 within it."""
    if projected is None:
        return None
    if used.until is not None and projected > used.until:
        return (used.until - projected).days
    if used.after is not None and projected <= used.after:
        return (used.after - projected).days + 1
    return 0


@dataclass(frozen=True, slots=True, eq=False)
class Fit:
    """What records make of a variety.

    variety: as it stands; aside: its figures of earlier fits, which do not count before the records; start: as it is without
    these; contradicted: records that do not count, for the others contradict them; outside: records that count although its type
    makes them improbable; counted: ids of cohorts whose records count as asked, contradicted or not; seasons: their years; sites: names of seasons at another site; fitted: the variety with the figures taken
    over, which are `changed`.
    """

    variety: Variety
    start: Variety
    aside: tuple[str, ...]
    seasons: tuple[str, ...]
    sites: tuple[str, ...]
    records: tuple[UsedRecord, ...]
    contradicted: tuple[UsedRecord, ...]
    counted: frozenset[str]
    left_out: tuple[LeftOut, ...]
    outside: Outside | None
    figures: tuple[FigureFit, ...]
    pairs: tuple[Pair, ...]
    spans: tuple[SpanFit, ...]
    outlook: Outlook
    fitted: Variety
    changed: tuple[str, ...]

    @property
    def doubted(self) -> tuple[str, ...]:
        """The cohorts whose records a person should look at before the fit is relied upon."""
        left_out = [one.name for one in self.left_out if one.improbable]
        outside = self.outside.names if self.outside else ()
        names = (*(one.name for one in self.contradicted), *outside, *left_out)
        return tuple(dict.fromkeys(name.cohort for name in names))


def fit(plans: Sequence[Plan], variety_id: str, choice: Choice = AS_IT_COMES) -> Fit:
    """The fit of a variety to the records of its cohorts in several seasons; the first has the variety that is fitted.

    Raises Refusal where there is none to fit: it is day-neutral, not in each season, or no record can be used.
    """
    variety = find_variety(plans[0].season, variety_id)
    _check(plans, variety)
    start = before_records(variety)
    kind = belief(start)
    cohorts, twice = season_cohorts(plans, variety, choice.without)
    before, sorted_out, silent = _sorted(cohorts, kind, choice.counted)
    records = [one.record for one in sorted_out.used]
    left_out = (*_not_by_light(start, before, sorted_out.left_out), *silent, *twice)
    spans = tuple(_spans(cohorts, start, (*sorted_out.left_out, *sorted_out.contradicted)))
    if not records and not spans:
        raise Refusal(_nothing_text(variety, sorted_out.contradicted, left_out))
    after = refit.after_all(before, [one.likelihood for one in sorted_out.used])
    seasons = tuple(dict.fromkeys(years_text(plan.season) for plan in plans))
    changed = (*(IN_SETS if records else ()), *(span.key for span in spans))
    figures = _figure_fits(before, after) if records else ()
    marks = _marks(variety, start, figures, len(records), seasons)
    fitted = _fitted(variety, sets_of(after) if records else (), spans, marks | _span_marks(spans, seasons))
    return Fit(
        variety,
        start,
        tuple(key for key in set_aside(variety) if key in changed),
        seasons,
        tuple(p.season.name for p in plans[1:] if _place(p.season) != _place(plans[0].season)),
        tuple(_used(before, sorted_out.used, sorted_out.used)),
        tuple(_used(before, sorted_out.contradicted, (*sorted_out.used, *sorted_out.contradicted))),
        frozenset(one.name.cohort for one in records if one.name.cohort in choice.counted),
        left_out,
        outside(start, before, sorted_out.used),
        figures,
        _pairs(after) if records else (),
        spans,
        outlook_of(plans[0], variety, records, after),
        fitted,
        changed,
    )


def _place(season: Season) -> tuple[float, float]:
    return season.site.latitude, season.site.longitude


def _check(plans: Sequence[Plan], variety: Variety) -> None:
    for plan in plans:
        name, there = plan.season.name, plan.season.varieties.get(variety.id)
        if there is None:
            raise Refusal(
                f"{name} has no variety {variety.id}; its varieties are {', '.join(plan.season.varieties)}. Leave it out"
            )
        if there.response != "short-day":
            raise Refusal(
                f"{variety.id} is {there.response} in {name}: it flowers by age, so no figure of it can be read from light"
            )


def _sorted(
    cohorts: Sequence[SeasonCohort], kind: refit.Type, counted: Collection[str]
) -> tuple[Weights, Sorted, list[LeftOut]]:
    """What is believed before, the records that count or not, and the cohorts without one.

    Where a record is improbable, figures further off are tried too: the type may be another.
    """
    grid = refit.grid_of(kind)
    before = refit.prior(kind, grid)
    tried, silent = _tried(cohorts, before)
    if improbable(before, tried):
        before = refit.prior(kind, refit.wider(grid))
        tried, silent = _tried(cohorts, before)
    return before, sorted_records(before, tried, counted), silent


def _tried(every: Iterable[SeasonCohort], before: Weights) -> tuple[list[Tried], list[LeftOut]]:
    tried, silent = list[Tried](), list[LeftOut]()
    for cohort in every:
        one = induction_record(cohort, before.grid.juvenile_d)
        if isinstance(one, LeftOut):
            silent.append(one)
        else:
            light = refit.Cohort(one.light.felt_h, one.light.starts, one.record)
            tried.append(Tried(one, refit.grid_likelihood(light, before.grid)))
    return tried, silent


def kind_text(variety: Variety) -> str:
    """ "the type oil-unknown"; of a variety that has figures of its own: what is believed of it."""
    return (
        f"the type {variety.type}"
        if variety.type and variety.written.isdisjoint(IN_SETS)
        else f"what is believed of {variety.id}"
    )


def _not_by_light(start: Variety, before: Weights, records: Sequence[Tried]) -> Iterable[LeftOut]:
    """Why each of these records does not count, and what type would give it."""
    for one in records:
        better = better_types(start, before, [one])
        other = f"; another type would give it: {', '.join(better)}" if better else ""
        yield LeftOut(
            one.record.name, NOT_BY_THIS_LIGHT.format(kind=kind_text(start)) + other, improbable=True
        )


def _nothing_text(variety: Variety, contradicted: Sequence[Tried], left_out: Sequence[LeftOut]) -> str:
    if contradicted:
        names = [one.record.name.cohort for one in contradicted]
        return (
            f"{variety.id} has no record to fit: those of {some_text(names)} contradict each other. Correct the one that is "
            f"wrong, or leave it out, such as: --without {names[-1]}; where all are right: --count {' '.join(names)}"
        )
    if not left_out:
        return f"{variety.id} has no cohort, so there is nothing to fit"
    reasons = "; ".join(f"{one.name.cohort}: {one.why}" for one in left_out)
    return (
        f"{variety.id} has no record to fit ({reasons}); record induced or flowering of a cohort, such as: calendar-tui "
        f"record {left_out[0].name.cohort} induced DATE"
    )


def _spans(cohorts: Iterable[SeasonCohort], start: Variety, doubted: Iterable[Tried]) -> Iterable[SpanFit]:
    """doubted: records that do not count; their date may be wrong, so neither does a span that begins or ends on it."""
    stages = {one.record.name: one.record.by for one in doubted}
    by_key: dict[str, list[tuple[Named, int]]] = {}
    for key, name, days in recorded_spans(cohorts):
        if stages.get(name) not in SPANS[key]:
            by_key.setdefault(key, []).append((name, days))
    for key, recorded in by_key.items():
        before: Span = getattr(start, key)
        after = span_with_records(before, [days for _, days in recorded])
        yield SpanFit(key, before, Span(*(round(n, 1) for n in after)), tuple(recorded))


def _used(before: Weights, records: Sequence[Tried], every: Sequence[Tried]) -> Iterable[UsedRecord]:
    """every: the records among whom those to be held against the others are."""
    for tried in records:
        one, days, count = tried.record, tried.likelihood.days, len(tried.record.light.felt_h)
        others = refit.after_all(before, [other.likelihood for other in every if other is not tried])
        by_others, by_none = (likely_day(weights, days, count) for weights in (others, before))
        yield UsedRecord(
            one.name,
            one.by,
            *ends(one.light, one.record),
            None if by_others is None else one.light.day(by_others),
            None if by_none is None else one.light.day(by_none),
            len(every) == 1,
        )


def _figure_fits(before: Weights, after: Weights) -> tuple[FigureFit, ...]:
    left = refit.learnt(before, after)
    return tuple(
        FigureFit(KEYS[name], refit.margin(before, name), refit.margin(after, name), left[name])
        for name in TAUGHT
    )


def _pairs(after: Weights) -> tuple[Pair, ...]:
    return tuple(Pair(KEYS[t.one], KEYS[t.other], t.correlation) for t in refit.ties(after))


def _fitted(
    variety: Variety, sets: tuple[FigureSet, ...], spans: Sequence[SpanFit], marks: Mapping[str, str]
) -> Variety:
    figures = figures_of_sets(sets) if sets else {}
    figures |= {span.key: span.after for span in spans}
    more: dict[str, Any] = {"sets": sets} if sets else {}
    if before := _before_fit(variety, figures):
        more["before_fit"] = before
    return with_figures(variety, marks={**variety.marks, **marks}, **figures, **more)


def _marks(
    variety: Variety, start: Variety, figures: Sequence[FigureFit], cohorts: int, seasons: Sequence[str]
) -> dict[str, str]:
    """Where each figure of the response comes from: of what the records teach nothing it is where it came from before."""
    own = {key: mark for key, mark in variety.marks.items() if not mark.startswith(FITTED_MARK)}
    kind = type_of(start)
    of_type = kind.marks if kind is not None else {}
    return {
        one.key: _mark(cohorts, seasons)
        if one.how != NOT_AT_ALL
        else own.get(one.key) or of_type.get(one.key) or DEFAULT_MARKS[one.key][-1]
        for one in figures
    }


def _span_marks(spans: Iterable[SpanFit], seasons: Sequence[str]) -> dict[str, str]:
    return {span.key: _mark(len(span.recorded), seasons) for span in spans}


def _before_fit(variety: Variety, figures: Iterable[str]) -> dict[str, Span]:
    """What is kept of the figures that a fit replaces, so that the next one starts where this one did."""
    aside = set_aside(variety)
    own = [key for key in figures if key in variety.written and key not in aside]
    return {**variety.before_fit, **{key: getattr(variety, key) for key in own}}


def _mark(cohorts: int, seasons: Sequence[str]) -> str:
    """ "measured, 4 cohorts, 2026 2027"."""
    return f"{FITTED_MARK}{cohorts} cohort{'' if cohorts == 1 else 's'}, {' '.join(seasons)}"


def sets_of(weights: Weights) -> tuple[FigureSet, ...]:
    """Equally likely sets of figures that stand for the weights, to the minute and the tenth of a day, by critical day."""
    drawn = refit.representatives(weights)
    sets = (
        FigureSet(critical, critical - width, juvenile, needed) for critical, width, juvenile, needed in drawn
    )
    return tuple(
        sorted(FigureSet(*(_rounded(key, n) for key, n in zip(IN_SETS, one, strict=True))) for one in sets)
    )


def _rounded(key: str, value: float) -> float:
    return round(float(value) * STEPS[key]) / STEPS[key]

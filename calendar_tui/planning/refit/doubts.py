"""Records that what is believed of a variety, or the other records, make improbable: which of them count all the same.

One that is against the type may stand for lamps that failed; several that agree speak against the type. One that the others
contradict counts for nothing until somebody has looked at it. Needs numpy, by `nature/refit.py`.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from typing import NamedTuple

import numpy as np

from calendar_tui.nature import refit
from calendar_tui.nature.looks import Floats, error_cdf
from calendar_tui.nature.refit import GridLikelihood, Weights
from calendar_tui.nature.teaching import days_outside, tail
from calendar_tui.planning.refit.records import InductionRecord, Named
from calendar_tui.planning.refit.start import belief
from calendar_tui.season.fitted_sets import IN_SETS
from calendar_tui.season.records import Variety
from calendar_tui.season.variety_types import filled, own_values, variety_types

# A record to which what is believed gives less than this, with all earlier or all later ones, is improbable.
UNREADABLE = 0.001
# A record to which it gives less than this speaks against the type, where another makes all of them much more likely.
UNLIKELY = 0.01
# The others contradict a record where they give a share under this to it and all beyond, or where it lies so many days outside
# of the range that they foretell: heavy tails give a share to what is weeks off too, and it would narrow what they foretell.
CONTRADICTED, WEEKS_OFF_D = 0.02, 14
# At the figures that give records best, each has at least this share, with all earlier or all later ones, where they agree.
AGREES = 0.02
# A type is named where it makes the records so many times more likely than the one on file (placeholder).
MORE_LIKELY = 10.0


class Tried(NamedTuple):
    """A record, and what the points of the grid make of it."""

    record: InductionRecord
    likelihood: GridLikelihood


class Outside(NamedTuple):
    """Records that count although the type makes them unlikely, and the types that make all records much more likely."""

    names: tuple[Named, ...]
    better: tuple[str, ...]


class Sorted(NamedTuple):
    """Records that count; those left out, which what is believed makes improbable; and those that the others contradict."""

    used: tuple[Tried, ...]
    left_out: tuple[Tried, ...]
    contradicted: tuple[Tried, ...]


def sorted_records(before: Weights, every: Sequence[Tried], counted: Collection[str] = ()) -> Sorted:
    """Each record counts that is not improbable before the others, or not improbable after them, unless they contradict it.

    counted: the ids of cohorts whose records count although the others contradict them.

    Where two or more are improbable, but some figures of the grid give all records together, all count. Else the one that
    the others make least probable is left out, and the rest are tried again.
    """
    doubted = improbable(before, every)
    used, left_out = list(every), list[Tried]()
    while doubted:
        if len(doubted) > 1 and agree(used):
            return Sorted(tuple(used), tuple(left_out), ())
        least, share = _least_borne_out(before, used, doubted)
        if share >= UNREADABLE:
            break
        used, doubted = ([one for one in some if one is not least] for some in (used, doubted))
        left_out.append(least)
    kept = uncontradicted(before, used, counted)
    return Sorted(
        tuple(kept),
        tuple([one for one in every if one in left_out]),
        tuple([one for one in used if one not in kept]),
    )


def uncontradicted(before: Weights, every: Sequence[Tried], counted: Collection[str] = ()) -> list[Tried]:
    """The records none of which the others contradict, but those of cohorts that are `counted`, by their ids.

    All that are contradicted go at once: of two that contradict each other nobody knows which is wrong, and which was
    recorded first changes nothing.
    """
    kept = list(every)
    while len(kept) > 1:
        odd = {
            one.record.name
            for one in kept
            if one.record.name.cohort not in counted
            and _is_contradicted(_after_others(before, kept, one), one)
        }
        if not odd:
            break
        kept = [one for one in kept if one.record.name not in odd]
    return kept


def _is_contradicted(by_others: Floats, one: Tried) -> bool:
    days = one.likelihood.days
    return (
        _share(by_others, one) < CONTRADICTED
        or days_outside(by_others, days, one.record.record) >= WEEKS_OFF_D
    )


def improbable(before: Weights, every: Sequence[Tried], under: float = UNREADABLE) -> list[Tried]:
    """The records to which what is believed gives next to nothing."""
    believed = refit.by_scale(before, ())
    return [one for one in every if _share(believed, one) < under]


def outside(start: Variety, before: Weights, used: Sequence[Tried]) -> Outside | None:
    """The records that speak against the type; None where there are none, or where they are unlikely and no type is better."""
    if not (unlikely := improbable(before, used, UNLIKELY)):
        return None
    better = better_types(start, before, used)
    if not better and not improbable(before, unlikely):
        return None
    return Outside(tuple(one.record.name for one in unlikely), better)


def _share(by_scale: Floats, one: Tried) -> float:
    return tail(by_scale, one.likelihood.days, one.record.record)


def _least_borne_out(before: Weights, used: Sequence[Tried], doubted: Sequence[Tried]) -> tuple[Tried, float]:
    shares = [(_share(_after_others(before, used, one), one), n) for n, one in enumerate(doubted)]
    share, n = min(shares)
    return doubted[n], share


def _after_others(before: Weights, used: Sequence[Tried], one: Tried) -> Floats:
    return refit.by_scale(before, [other.likelihood for other in used if other is not one])


def agree(records: Sequence[Tried]) -> bool:
    """Whether the figures of the grid that give the records best, whatever was believed, give each of them well."""
    at = int(np.argmax(_together(records)))
    return all(_share_at(int(one.likelihood.days.ravel()[at]), one) >= AGREES for one in records)


def _together(records: Sequence[Tried]) -> Floats:
    """The log of how likely each point of the grid makes all records."""
    return refit.together([one.likelihood for one in records])


def _share_at(day: int, one: Tried) -> float:
    """The share of records so early or earlier, or so late or later if that is less, of plants that are induced on a day."""
    after, until = one.record.record
    if day < 0:
        return float(np.isinf(until))
    ends = np.clip(np.array([after, until]), -1e6, 1e6) + 0.5 - day
    by_after, by_until = error_cdf(ends)
    return float(min(by_until, 1 - by_after))


def better_types(variety: Variety, before: Weights, records: Sequence[Tried]) -> tuple[str, ...]:
    """The types under which no record is improbable, and all are far more likely than before; the likeliest first."""
    kinds = (kind for kind in variety_types().values() if kind.response == variety.response)
    own = _log_evidence(before, records)
    rated = list(_rated([kind.id for kind in kinds if kind.id != variety.type], variety, before, records))
    return tuple(kind for log, kind in sorted(rated, reverse=True) if log > own + np.log(MORE_LIKELY))


def _rated(
    kinds: Sequence[str], variety: Variety, before: Weights, records: Sequence[Tried]
) -> Iterator[tuple[float, str]]:
    values = {key: value for key, value in own_values(variety).items() if key not in (*IN_SETS, "sets")}
    for kind in kinds:
        prior = refit.prior(belief(Variety(**filled(values | {"type": kind}))), before.grid)
        if not improbable(prior, records):
            yield _log_evidence(prior, records), kind


def _log_evidence(prior: Weights, records: Sequence[Tried]) -> float:
    """The log of how likely the records are under a prior, all together."""
    together = _together(records)
    most = np.max(together)
    return float(most + np.log((prior.share * np.exp(together - most)).sum()))

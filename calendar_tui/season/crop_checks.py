"""What must hold among the records that begin with flowering: names that are there, and times in their order."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any
from zoneinfo import ZoneInfo

from calendar_tui.season.finders import of_kind
from calendar_tui.season.kinds import BY_NAME, KINDS
from calendar_tui.season.observing_checks import OBSERVING_CHECKS
from calendar_tui.season.problems import Problem
from calendar_tui.season.readers import choices
from calendar_tui.season.records import Cohort, Season
from calendar_tui.season.rules import Lot
from calendar_tui.season.sample_ids import is_sound, plain_id, sound_ids_near
from calendar_tui.season.spray_times import application_of
from calendar_tui.season.trial_checks import TRIAL_CHECKS

# A result of a bag that is not known is kept aside and told, and stops nobody; so is a bag cut in place of another.
# Observations are looked at by their own check.
_MAY_BE_UNKNOWN = {
    ("result", "sample"),
    ("sample", "again"),
    ("observation", "at"),
    ("observation", "variable"),
}


def _names(season: Season) -> Iterator[Problem]:
    for (kind, key), known_kinds in _named_keys().items():
        records = of_kind(season, kind)
        if not records:
            continue
        known: dict[str, Any] = {name: 1 for k in known_kinds for name in of_kind(season, k)}
        if "place" in known_kinds:
            known |= {name: 1 for place in season.places.values() for name in place.lights}
        for i, record in enumerate(records.values()):
            first, *within = key.split(".")
            value = getattr(record, first)
            for name in _names_in(value.get(within[0], ()) if within else value):
                if name and name not in known:
                    what = " or ".join(known_kinds)
                    right = choices(name, known) if known else f"; there is none yet: add a {known_kinds[0]}"
                    yield Problem(
                        (kind, i, first, *within),
                        f'{kind} {record.id}: {within[0] if within else key} "{name}" is not a {what} of this season{right}',
                    )


def _names_in(value: Any) -> Iterator[str]:
    """The names that a key holds: one, or several in a list or a table of lists."""
    if isinstance(value, str):
        yield value
    elif value is not None:
        for part in value.values() if isinstance(value, Mapping) else value:
            yield from _names_in(part)


def _named_keys() -> dict[tuple[str, str], tuple[str, ...]]:
    """The keys of these kinds that hold names, each with the kinds that may be named there."""
    keys: dict[tuple[str, str], tuple[str, ...]] = {}
    for kind in KINDS:
        for naming in kind.named_in:
            key = naming.kind, naming.key
            if BY_NAME[naming.kind].of_crop and key not in _MAY_BE_UNKNOWN:
                keys[key] = (*keys.get(key, ()), kind.name)
    return keys


def _bag_ids(season: Season) -> Iterator[Problem]:
    """A bag whose check does not fit would be found by no label, or by that of another."""
    reported = {result.sample for result in season.results.values()} - season.samples.keys()
    for i, name in enumerate(season.samples):
        if is_sound(name):
            continue
        near = sound_ids_near(name, reported, season.samples)
        why = (
            "is written in capitals without dashes"
            if plain_id(name) in near
            else "has a last sign that fits the others"
        )
        right = f"; near it is {' or '.join(near)}" if near else "; calendar-tui sample COHORT makes ids"
        yield Problem(("sample", i, "id"), f'sample "{name}": the id of a bag {why}{right}')


def _sampled_plots(season: Season) -> Iterator[Problem]:
    for i, sample in enumerate(season.samples.values()):
        plot = season.plots.get(sample.plot)
        if plot is None:
            continue
        if plot.is_guard:
            wrong = "is a guard, which is never sampled; name a plot with a number"
        elif plot.cohort != sample.cohort:
            wrong = f"has plants of {plot.cohort or 'no cohort'}; name the plot that the bag is of, or that cohort"
        else:
            continue
        yield Problem(("sample", i, "plot"), f"sample {sample.id} of {sample.cohort}: plot {plot.id} {wrong}")


def _sampled_lots(season: Season) -> Iterator[Problem]:
    """A lot is of one variety, so a bag of it is of its cohort: else its result would count for neither."""
    for i, sample in enumerate(season.samples.values()):
        lot = season.lots.get(sample.lot)
        if lot is not None and lot.cohort != sample.cohort:
            yield Problem(
                ("sample", i, "lot"),
                f"sample {sample.id} of {sample.cohort}: lot {lot.id} is of {lot.cohort}; name a lot of {sample.cohort}, "
                "or that cohort",
            )


def _lots(season: Season) -> Iterator[Problem]:
    for i, lot in enumerate(season.lots.values()):
        if lot.id in season.cohorts:
            yield Problem(
                ("lot", i, "id"),
                f"lot {lot.id}: a cohort has this id, and a cohort is a lot of its own where it has no others; "
                f"give another, such as {lot.id}-1",
            )


def _flowering_ends(season: Season) -> Iterator[Problem]:
    cohorts: list[tuple[str, int, Cohort | Lot, Cohort]] = [
        ("cohort", i, one, one) for i, one in enumerate(season.cohorts.values())
    ]
    lots = [
        ("lot", i, one, season.cohorts[one.cohort])
        for i, one in enumerate(season.lots.values())
        if one.cohort in season.cohorts
    ]
    for kind, i, one, cohort in (*cohorts, *lots):
        ends, starts = one.flowering_ends, cohort.recorded.get("flowering")
        if ends is not None and starts is not None and ends < starts:
            yield Problem(
                (kind, i, "flowering_ends"),
                f"{kind} {one.id}: flowering_ends {ends} is before its flowering, {starts}; right would be that day or later",
            )


def _blocks_once(season: Season) -> Iterator[Problem]:
    """A block of a cohort is in one lot at most."""
    first_of: dict[tuple[str, str], str] = {}
    for i, lot in enumerate(season.lots.values()):
        for block in lot.blocks:
            first = first_of.setdefault((lot.cohort, block), lot.id)
            if first != lot.id:
                yield Problem(
                    ("lot", i, "blocks"),
                    f"lot {lot.id}: block {block} of {lot.cohort} is in lot {first} already; a block is in one lot at most, "
                    "so take it out of one of them",
                )


def _profiles(season: Season) -> Iterator[Problem]:
    for i, profile in enumerate(season.profiles.values()):
        limit, line = profile.limit, profile.negligence
        if limit is not None and line is not None and line < limit:
            yield Problem(
                ("profile", i, "negligence_percent"),
                f"profile {profile.id}: negligence_percent is {line}, under the limit of {limit}; it must be the limit or more",
            )
        if limit is not None and profile.as_of is None:
            yield Problem(
                ("profile", i), f"profile {profile.id} has no as_of; write the day on which the rule was read"
            )
        if profile.acid_factor == 0:
            yield Problem(
                ("profile", i, "acid_factor"),
                f"profile {profile.id}: acid_factor is 0; write how much THC one part of THCA gives, such as 0.877",
            )


def _sprays(season: Season) -> Iterator[Problem]:
    for i, spray in enumerate(season.sprays.values()):
        if spray.ended_on < spray.date:
            yield Problem(
                ("spray", i, "end_date"),
                f"spray {spray.id}: end_date {spray.ended_on} is before its date {spray.date}",
            )
        elif spray.ended_on == spray.date and spray.start is not None and spray.end < spray.start:
            yield Problem(
                ("spray", i, "end"),
                f"spray {spray.id} ends at {spray.end:%H:%M}, before it begins at {spray.start:%H:%M}; "
                "if it ended on the next day, give end_date",
            )
        else:
            try:
                application_of(spray, ZoneInfo(season.site.timezone))
            except ValueError as wrong:
                yield Problem(("spray", i, "end"), f"spray {spray.id}: {wrong}")
        if (spray.cleared is None) != (spray.cleared_date is None):
            key = "cleared" if spray.cleared_date is None else "cleared_date"
            yield Problem(("spray", i, key), f"spray {spray.id}: cleared and cleared_date go together")
        parts = season.places[spray.place].screened if spray.place in season.places else ()
        for part in spray.parts:
            if parts and part not in parts:
                yield Problem(
                    ("spray", i, "parts"),
                    f'spray {spray.id}: "{part}" is not a part of {spray.place}{choices(part, parts)}',
                )


def _batches(season: Season) -> Iterator[Problem]:
    for i, batch in enumerate(season.batches.values()):
        if batch.out is not None and batch.out < batch.date:
            yield Problem(
                ("batch", i, "out"),
                f"batch {batch.id} is out on {batch.out}, before it went in on {batch.date}",
            )
        weights = [one.weight_kg for one in season.passes.values() if one.batch == batch.id]
        fresh = sum(weight or 0.0 for weight in weights)
        if weights and None not in weights and batch.dry_kg is not None and batch.dry_kg >= fresh:
            yield Problem(
                ("batch", i, "dry_kg"),
                f"batch {batch.id}: {batch.dry_kg:g} kg dry is no less than the {fresh:g} kg fresh of its passes; write what was "
                "weighed dry, or mend the weights of the passes",
            )


def _passes(season: Season) -> Iterator[Problem]:
    for i, one in enumerate(season.passes.values()):
        for part in (part for part, kg in one.fresh_kg.items() if not kg):
            yield Problem(
                ("pass", i, "fresh_kg"),
                f"pass {one.id}: 0 kg of {part} is no weight; leave it out until it is weighed",
            )
        twice = [plot for n, plot in enumerate(one.plots) if plot in one.plots[:n]]
        if twice:
            yield Problem(
                ("pass", i, "plots"),
                f"pass {one.id}: plot {twice[0]} stands there twice; name each plot once",
            )
        batch = season.batches.get(one.batch)
        if batch is not None and batch.date < one.date:
            yield Problem(
                ("pass", i, "batch"),
                f"pass {one.id} is cut on {one.date}, after batch {batch.id} went in on {batch.date}; nothing wet is added to a "
                "batch that dries: give it a batch of its own",
            )


def _readings(season: Season) -> Iterator[Problem]:
    for i, one in enumerate(season.readings.values()):
        batch = season.batches.get(one.batch)
        if batch is not None and one.date < batch.date:
            yield Problem(
                ("reading", i, "date"),
                f"reading {one.id} is of {one.date}, before batch {batch.id} went in on {batch.date}; write the day on which it "
                "was read",
            )


CROP_CHECKS: tuple[Callable[[Season], Iterator[Problem]], ...] = (
    _names,
    _bag_ids,
    _sampled_plots,
    _sampled_lots,
    _lots,
    _flowering_ends,
    _blocks_once,
    _profiles,
    _sprays,
    _batches,
    _passes,
    _readings,
    *TRIAL_CHECKS,
    *OBSERVING_CHECKS,
)

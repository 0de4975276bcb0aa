"""The bags of a season as plain data for JSON."""

from __future__ import annotations

from collections.abc import Sequence

from calendar_tui.handing_on.tables.json_rows import Row
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.results.due import Due
from calendar_tui.planning.sampling.missed import is_left_out
from calendar_tui.planning.sampling.planned import PlannedBag
from calendar_tui.planning.sampling.week import SamplingWeek, bag_sizes
from calendar_tui.season.records import Season
from calendar_tui.season.sampling import Sample


def samples_data(plan: Plan, week: SamplingWeek, held: Sequence[Sample], out: Sequence[Due]) -> Row:
    """week: its first and last day, and its bags; `sample` is null where none is recorded, `kept` whether the budget leaves it,
    `left_out` whether it is settled without having been cut.

    given_up: of all that is still to be cut, with the key of `[capacity]` that says so. short: lots with fewer dates of the top
    than a trend needs. held: not sent yet; out: at a laboratory, with the days on which they are due.
    """
    given = {one.bag for one in week.kept.given_up}
    return {
        "week": {
            "first": week.first,
            "last": week.last,
            "bags": [
                {
                    **_planned(plan.season, one.bag),
                    "kept": one.bag not in given,
                    "left_out": is_left_out(plan.season, one, plan.today),
                    "sample": None if one.sample is None else sample_row(one.sample),
                }
                for one in week.bags
            ],
            "further": [sample_row(sample) for sample in week.further],
        },
        "kept": len(week.kept.kept),
        "given_up": [{**_planned(plan.season, one.bag), "by": one.by} for one in week.kept.given_up],
        "short": [{"cohort": cohort, "lot": lot, "dates": n} for (cohort, lot), n in week.kept.short.items()],
        "held": [sample_row(sample) for sample in held],
        "out": [
            {
                **sample_row(due.sample),
                "likely": due.likely,
                "latest": due.latest,
                "overdue": due.is_overdue(plan.today),
            }
            for due in out
        ],
        "sizes": _sizes(plan.season, week),
    }


def sample_row(sample: Sample) -> Row:
    """A recorded bag."""
    return {
        "id": sample.id,
        "date": sample.date,
        "cohort": sample.cohort,
        "lot": sample.lot,
        "block": sample.block,
        "plot": sample.plot,
        "position": sample.position,
        "plants": sample.plants,
        "who": sample.who,
        "laboratory": sample.laboratory,
        "state": sample.state,
        "sent": sample.sent,
        "again": sample.again,
    }


def _planned(season: Season, bag: PlannedBag) -> Row:
    return {
        "date": bag.day,
        "planned": bag.meant,
        "why": bag.why,
        "cohort": bag.cohort,
        "lot": bag.lot,
        "block": bag.block,
        "plot": bag.plot,
        "position": bag.position,
        "plants": bag.plants,
        "laboratory": bag.laboratory,
        "plan": bag.plan,
        "tagged": list(season.samplings[bag.plan].tagged),
    }


def _sizes(season: Season, week: SamplingWeek) -> list[Row]:
    """CV in % of one result, by how the crop was begun and plants a bag."""
    starts = dict.fromkeys((season.cohorts[one.bag.cohort].start, one.bag.plants) for one in week.bags)
    return [
        {"start": start, "plants": size.plants, "cv": round(size.cv, 1)}
        for start, plants in starts
        for size in bag_sizes(start, plants)
    ]

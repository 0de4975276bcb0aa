"""The instants and the waits of a spray's record, from its dates, its local times and what its label says."""

from __future__ import annotations

from datetime import datetime, time, tzinfo

from calendar_tui.nature.local_times import day_begins, instant
from calendar_tui.nature.spray_waits import Application, PreHarvest, ReEntry
from calendar_tui.season.found_reading import wait_parts
from calendar_tui.season.spraying import Spray


def application_of(spray: Spray, zone: tzinfo) -> Application:
    """A spray as its label's waits count from it. Raises ValueError for times that are no instants or stand the wrong way round.

    Without a start it began with its day; without a recorded time its condition is met at the end of that day.
    """
    end = instant(datetime.combine(spray.ended_on, spray.end), zone, spray.end_is)
    if spray.start is None:
        begin = min(day_begins(datetime.combine(spray.date, time()), zone), end)
    else:
        # An hour that the clock has twice begins with the first: nothing hangs on it but the order.
        begin = instant(datetime.combine(spray.date, spray.start), zone, "first")
    met = None
    if spray.cleared_date is not None and spray.cleared is not None:
        met = instant(datetime.combine(spray.cleared_date, spray.cleared), zone, "second")
    return Application(spray.product, begin, end, _re_entry(spray), _pre_harvest(spray), met)


def _re_entry(spray: Spray) -> ReEntry:
    if not spray.reentry:
        return ReEntry(condition=spray.condition)
    count, unit = wait_parts(spray.reentry)
    return ReEntry(count * (24 if unit == "d" else 1), spray.condition)


def _pre_harvest(spray: Spray) -> PreHarvest:
    if not spray.preharvest:
        return PreHarvest()
    count, unit = wait_parts(spray.preharvest)
    if unit == "d" and count == int(count):
        return PreHarvest(days=int(count))
    return PreHarvest(hours=count * (24 if unit == "d" else 1))

"""What must hold in a season that reads well: a list of small functions, each from a season to its problems."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from calendar_tui.season.capacity_checks import CAPACITY_CHECKS
from calendar_tui.season.kinds import KINDS
from calendar_tui.season.lamp_checks import LAMP_CHECKS
from calendar_tui.season.problems import Problem
from calendar_tui.season.readers import choices
from calendar_tui.season.records import Cohort, Outage, Programme, Season, Variety
from calendar_tui.season.stages import BEFORE, DECIDED, LAMP_STAGES, LOOKED_FOR, STAGES, stages_for
from calendar_tui.season.stay_checks import STAY_CHECKS, stay_path
from calendar_tui.season.supply_checks import SUPPLY_CHECKS
from calendar_tui.season.wording import hours_text
from calendar_tui.season.work_checks import WORK_CHECKS

LONGEST_SEASON_D = 800
# No zone's clock is so far from the sun: the west of China is 3.2 h off, by one clock for the whole country.
CLOCK_APART_H = 4.5
# Few farms see the sun at its highest so far from twelve o'clock of standard time; a starting value, no source.
NOON_APART_H = 3


def _season_days(season: Season) -> Iterator[Problem]:
    length = (season.last_day - season.first_day).days
    if not 1 <= length <= LONGEST_SEASON_D:
        yield Problem(
            ("season", "last_day"),
            f"last_day is {length} days after first_day; it must be 1 to {LONGEST_SEASON_D} days after it",
        )


def _longitude(season: Season) -> Iterator[Problem]:
    """A longitude and a time zone from different parts of the world: mostly a sign left out."""
    if wrong := longitude_text(season.site.longitude, season.site.timezone, season.first_day):
        yield Problem(("site", "longitude"), f"site: {wrong}")


def longitude_text(longitude: float, timezone: str, day: date) -> str:
    """That a longitude (degrees east) is far from the clock of a time zone on a day, and what may be right; or ""."""
    if "/" not in timezone or timezone.startswith("Etc/"):
        return ""  # a clock of no place, such as UTC
    offset = datetime.combine(day, time(12), ZoneInfo(timezone)).utcoffset() or timedelta()
    clock_h = offset / timedelta(hours=1)
    apart_h = _apart_h(clock_h, longitude)
    if apart_h <= CLOCK_APART_H:
        return ""
    turned = _apart_h(clock_h, -longitude) <= CLOCK_APART_H
    right = f"did you mean {-longitude:g}?" if turned else "east is positive, west is negative"
    return f"longitude {longitude:g} is {apart_h:.0f} h from the clock of {timezone}; {right}"


def noon_text(longitude: float, timezone: str, day: date) -> str:
    """That solar noon at a longitude (degrees east) is far from twelve by a zone's standard time, as a question; or ""."""
    if "/" not in timezone or timezone.startswith("Etc/"):
        return ""  # a clock of no place, such as UTC
    noon = datetime.combine(day, time(12), ZoneInfo(timezone))
    standard = (noon.utcoffset() or timedelta()) - (noon.dst() or timedelta())
    clock_h = standard / timedelta(hours=1)
    if _apart_h(clock_h, longitude) <= NOON_APART_H:
        return ""
    minutes = round((12 + clock_h - longitude / 15) % 24 * 60) % (24 * 60)
    side = "east" if longitude < 0 else "west"
    turned = _apart_h(clock_h, -longitude) <= NOON_APART_H
    right = f"{abs(longitude):g} {side}" if turned else "right, with east positive and west negative"
    return (
        f"solar noon there is at {minutes // 60:02d}:{minutes % 60:02d} by the standard time of {timezone}; "
        f"is the longitude {right}?"
    )


def _apart_h(clock_h: float, longitude: float) -> float:
    """Hours between a clock's offset and the sun's time at a longitude, the short way round."""
    return abs((clock_h - longitude / 15 + 12) % 24 - 12)


def _references(season: Season) -> Iterator[Problem]:
    for i, cohort in enumerate(season.cohorts.values()):
        if cohort.variety not in season.varieties:
            text = _unknown(f"cohort {cohort.id}: variety", cohort.variety, season.varieties, "variety")
            yield Problem(("cohort", i, "variety"), text)
        for n, stay in enumerate(cohort.stays):
            if stay.place and stay.place not in season.places:
                path = stay_path(i, cohort, n, "place")
                text = _unknown(f"cohort {cohort.id}: {path[-1]}", stay.place, season.places, "place")
                yield Problem(path, text)
    periods: tuple[tuple[str, Sequence[Outage | Programme]], ...] = (
        ("outage", season.outages),
        ("programme", season.programmes),
    )
    for kind, of_kind in periods:
        for i, period in enumerate(of_kind):
            if season.place_of(period.place) is None:
                known = {name: p for p in season.places.values() for name in (p.id, *p.lights)}
                yield Problem((kind, i, "place"), _unknown(f"{kind}: place", period.place, known, "place"))


def _unknown(what: str, value: str, known: Mapping[str, object], kind: str) -> str:
    there = choices(value, known) if known else f"; there is none yet: add a [[{kind}]]"
    return f'{what} "{value}" is not a {kind} of this season{there}'


def _thresholds(season: Season) -> Iterator[Problem]:
    for i, variety in enumerate(season.varieties.values()):
        if (
            variety.response == "short-day"
            and variety.full_response_day.likely >= variety.critical_day.likely
        ):
            yield Problem(
                ("variety", i, "full_response_day"),
                f"variety {variety.id}: full_response_day must be shorter than critical_day{_of_type(variety)}",
            )
        if variety.response == "short-day" and variety.inductive_days.early <= 0:
            yield Problem(
                ("variety", i, "inductive_days"), f"variety {variety.id}: inductive_days must be over 0"
            )


def _of_type(variety: Variety) -> str:
    """Which critical day is meant, where the record gives none and its type does; else ""."""
    if variety.type is None or "critical_day" in variety.written:
        return ""
    return f", which is {hours_text(variety.critical_day.likely)} for the type {variety.type}; give critical_day too"


def _types(season: Season) -> Iterator[Problem]:
    typed = [(i, v) for i, v in enumerate(season.varieties.values()) if v.type is not None]
    if not typed:
        return
    from calendar_tui.season.variety_types import type_problem

    for i, variety in typed:
        if wrong := type_problem(variety):
            yield Problem(("variety", i, "type"), f"variety {variety.id}: {wrong}")


def _sets(season: Season) -> Iterator[Problem]:
    fitted = [(i, v) for i, v in enumerate(season.varieties.values()) if v.sets]
    if not fitted:
        return
    from calendar_tui.season.fitted_sets import set_problem

    for i, variety in fitted:
        if wrong := set_problem(variety):
            yield Problem(("variety", i, "sets"), f"variety {variety.id}: {wrong}")


def stages_of(cohort: Cohort) -> tuple[str, ...]:
    """The stages this cohort can have a date for, from how it is started and where."""
    return stages_for(cohort.start, cohort.nursery is not None)


def stage_problem(season: Season, cohort: Cohort, table: str, stage: str) -> str:
    """Why a cohort can't have this stage under planned, replanned, recorded or not_yet, or ''."""
    if stage not in stages_of(cohort):
        unmoved = 'none of its stays has from = "transplant"' if cohort.written_stays else "it has no nursery"
        why = unmoved if stage == "transplant" else f"it starts from {cohort.start}"
        return f"cohort {cohort.id} has no {stage}: {why}. Its stages: {', '.join(stages_of(cohort))}"
    if table == "not_yet" and stage not in LOOKED_FOR:
        there = ", ".join(s for s in LOOKED_FOR if s in stages_of(cohort))
        return f"cohort {cohort.id}: {stage} is not looked for; not_yet may hold {there}"
    if table in ("planned", "replanned") and stage not in DECIDED:
        return (
            f"cohort {cohort.id}: {stage} is worked out, not planned; "
            f"planned may hold {', '.join(s for s in DECIDED if s in stages_of(cohort))}; a date seen goes under recorded"
        )
    if stage not in LAMP_STAGES:
        return ""
    grown = dict.fromkeys(stay.place for stay in cohort.growing_stays)
    places = [season.places.get(name) for name in grown]
    if all(place is not None and place.lamps is None for place in places):
        names = f"place {cohort.place} has" if len(grown) == 1 else f"places {', '.join(grown)} have"
        return f"cohort {cohort.id} has {stage}, but its {names} no lamps; add lamps = {{ target_h = 16.0 }} to the place"
    return ""


def _stages(season: Season) -> Iterator[Problem]:
    for i, cohort in enumerate(season.cohorts.values()):
        for table, dates in _date_tables(cohort):
            for stage in dates:
                if message := stage_problem(season, cohort, table, stage):
                    yield Problem(("cohort", i, table, stage), message)
        if cohort.fixed(cohort.first_stage) is None:
            yield Problem(
                ("cohort", i),
                f"cohort {cohort.id} has no {cohort.first_stage} date; add planned = {{ {cohort.first_stage} = "
                f"{season.first_day.isoformat()} }}",
            )


def _date_tables(cohort: Cohort) -> tuple[tuple[str, Mapping[str, date]], ...]:
    names = "planned", "replanned", "recorded", "not_yet"
    return tuple([(name, getattr(cohort, name)) for name in names])


def order_problem(cohort: Cohort, dates: Mapping[str, date], stage: str) -> str:
    """Why `stage` stands in the wrong order among these dates of a cohort, or ''."""
    for earlier in STAGES:
        if earlier in BEFORE[stage] and earlier in dates and dates[earlier] > dates[stage]:
            return (
                f"cohort {cohort.id}: {stage} on {dates[stage]} is before {earlier} on {dates[earlier]}; "
                f"it must be on {dates[earlier]} or later"
            )
    return ""


def _order(season: Season) -> Iterator[Problem]:
    for i, cohort in enumerate(season.cohorts.values()):
        intended = {**cohort.planned, **cohort.replanned}
        for table, dates in (
            ("planned", cohort.planned),
            ("replanned", intended),
            ("recorded", cohort.recorded),
        ):
            for stage in getattr(cohort, table):
                if message := order_problem(cohort, dates, stage):
                    yield Problem(("cohort", i, table, stage), f"{table}: {message}")


def look_problem(cohort: Cohort, stage: str) -> str:
    """Why a look that did not see `stage` yet cannot be, beside what is recorded; or ''."""
    looked = cohort.not_yet[stage]
    for later in STAGES:
        day = cohort.recorded.get(later)
        if day is not None and day <= looked and (later == stage or stage in BEFORE[later]):
            return (
                f"cohort {cohort.id}: {stage} was not there yet on {looked}, but {later} is recorded on {day}; "
                f"the look must be before {day}"
            )
    return ""


def _looks(season: Season) -> Iterator[Problem]:
    for i, cohort in enumerate(season.cohorts.values()):
        for stage in cohort.not_yet:
            if message := look_problem(cohort, stage):
                yield Problem(("cohort", i, "not_yet", stage), f"not_yet: {message}")


def _inside_season(season: Season) -> Iterator[Problem]:
    for i, cohort in enumerate(season.cohorts.values()):
        for table, dates in _date_tables(cohort):
            for stage, day in dates.items():
                if not season.first_day <= day <= season.last_day:
                    yield Problem(
                        ("cohort", i, table, stage),
                        f"cohort {cohort.id}: {stage} on {day} is outside the season, "
                        f"{season.first_day} to {season.last_day}",
                    )


def _heat(season: Season) -> Iterator[Problem]:
    site, heat = season.site, season.heat
    lows, highs = site.monthly_low_c, site.monthly_high_c
    if (lows is None) != (highs is None):
        there, missing = ("low", "high") if highs is None else ("high", "low")
        yield Problem(
            ("site", f"monthly_{there}_c"), f"site: monthly_{there}_c needs monthly_{missing}_c beside it"
        )
    for month, (low, high) in enumerate(zip(lows or (), highs or (), strict=False), 1):
        if low > high:
            yield Problem(
                ("site", "monthly_low_c"),
                f"site: month {month} has a minimum of {low:g} C over its maximum of {high:g} C; change them round",
            )
    if heat is None:
        return
    if heat.base_c >= heat.upper_c:
        yield Problem(
            ("heat", "base_c"), f"heat: base_c {heat.base_c:g} must be under upper_c {heat.upper_c:g}"
        )
    if not heat.base_c < heat.reference_c <= heat.upper_c:
        yield Problem(
            ("heat", "reference_c"),
            f"heat: reference_c {heat.reference_c:g} must be over base_c {heat.base_c:g} and up to upper_c {heat.upper_c:g}",
        )
    if lows is None and season.station is None:
        yield Problem(
            ("heat",),
            "heat is switched on, but there are no temperatures; add monthly_low_c and monthly_high_c to [site], or "
            "a [station] with file and unit",
        )


def _station(season: Season) -> Iterator[Problem]:
    columns = season.station.columns if season.station else None
    if columns and len({columns.date, columns.low, columns.high}) < 3:
        yield Problem(
            ("station", "columns"),
            f'station: date, low and high are columns "{columns.date}", "{columns.low}" and "{columns.high}"; '
            "name three different ones",
        )


def _thermometer(season: Season) -> Iterator[Problem]:
    seen: set[date] = set()
    for i, one in enumerate(season.thermometer):
        if one.low_c > one.high_c:
            text = f"thermometer: the low of {one.date}, {one.low_c:g} C, is over the high, {one.high_c:g} C; change them round"
            yield Problem(("thermometer", i, "low_c"), text)
        if one.date in seen:
            yield Problem(
                ("thermometer", i, "date"), f"thermometer: {one.date} stands twice; keep one line a day"
            )
        seen.add(one.date)


def _crop(season: Season) -> Iterator[Problem]:
    if any(getattr(season, kind.attr) for kind in KINDS if kind.of_crop):
        from calendar_tui.season.crop_checks import CROP_CHECKS

        for check in CROP_CHECKS:
            yield from check(season)


CHECKS: tuple[Callable[[Season], Iterator[Problem]], ...] = (
    _season_days,
    _longitude,
    _references,
    _thresholds,
    _types,
    _sets,
    _stages,
    _order,
    _looks,
    _inside_season,
    _heat,
    _station,
    _thermometer,
    *STAY_CHECKS,
    *LAMP_CHECKS,
    *WORK_CHECKS,
    *SUPPLY_CHECKS,
    *CAPACITY_CHECKS,
    _crop,
)

"""Site, soil and weather of a growers' page."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from math import isnan

from calendar_tui.handing_on.report.parts import Part, Section, Table, Text, numbered, section
from calendar_tui.handing_on.report.subject import Subject
from calendar_tui.handing_on.words.openness import ROUNDED_TO_DEGREES
from calendar_tui.season.measures import as_written, measured
from calendar_tui.season.records import Place
from calendar_tui.season.weather import known_days
from calendar_tui.season.wording import MONTHS, season_days_text, some_text
from calendar_tui.season.work import PLACE_KINDS

# Of fewer days a month has no mean (common practice, no source).
_LEAST_DAYS = 20
_DAYS = {"sunrise-sunset": "sunrise to sunset", "civil-twilight": "with civil twilight"}


def ground_section(subject: Subject) -> Section:
    return section("Site, soil and weather", [*_site(subject), *_weather(subject)])


def _site(subject: Subject) -> Iterator[Part]:
    site, season = subject.plan.season.site, subject.plan.season
    latitude, longitude = subject.position
    rounded = "" if subject.openness.place else f" (rounded to {ROUNDED_TO_DEGREES:g} degrees)"
    position = f"{abs(latitude):g} {'N' if latitude >= 0 else 'S'}, {abs(longitude):g} {'E' if longitude >= 0 else 'W'}{rounded}"
    yield Table(
        "Where and when",
        ("what", "is"),
        (
            ("position", position),
            ("season", season_days_text(season)),
            ("length of day", f"counted from {_DAYS[site.day]}" if site.day in _DAYS else site.day),
            *_places(subject),
        ),
    )
    if bare := [place.id for place in _used(subject) if not place.holds_pots and not place.soil]:
        yield Text(f"Soil is not recorded of {some_text(bare)}.")


def _used(subject: Subject) -> list[Place]:
    """The places where the cohorts grow, by kind in the order of the kinds."""
    used = {stay.place for timeline in subject.timelines for stay in timeline.stays}
    places = [place for place in subject.plan.season.places.values() if place.id in used]
    return sorted(places, key=lambda one: PLACE_KINDS.index(one.kind))


def _places(subject: Subject) -> Iterator[tuple[str, str]]:
    for place in _used(subject):
        name = f" ({place.name})" if subject.openness.place and place.name else ""
        parts = [
            place.kind,
            *([measured(place.area_m2, "m2", as_written)] if place.area_m2 is not None else []),
            *([f"pots of {measured(place.pot_l, 'L', as_written)}"] if place.pot_l is not None else []),
            *([f"lamps to {place.lamps.target_h:g} h"] if place.lamps and place.lamps.target_h else []),
            *([f"soil: {place.soil}"] if place.soil else []),
        ]
        yield f"place {place.id}{name}", ", ".join(parts)


def _weather(subject: Subject) -> Iterator[Part]:
    """Months of the station beside those that the season takes as normal."""
    site, days = subject.plan.season.site, known_days(subject.plan.season)
    by_month: dict[tuple[int, int], list[tuple[float, float]]] = {}
    for n, (low, high) in enumerate(zip(days.low_c, days.high_c, strict=True) if days else ()):
        assert days is not None
        day = days.first + timedelta(days=n)
        in_season = (
            subject.plan.season.first_day <= day <= min(subject.plan.today, subject.plan.season.last_day)
        )
        if in_season and not isnan(low) and not isnan(high):
            by_month.setdefault((day.year, day.month), []).append((low, high))
    full = {month: days for month, days in by_month.items() if len(days) >= _LEAST_DAYS}
    if not full:
        yield Text("Weather: no station is named, or it has too few days of the season.")
        return
    rows = [
        (
            f"{MONTHS[month - 1]} {year}",
            str(len(days)),
            *(_mean_text(days, side) for side in (0, 1)),
            *(
                f"{usual[month - 1]:.1f}" if usual else ""
                for usual in (site.monthly_low_c, site.monthly_high_c)
            ),
        )
        for (year, month), days in sorted(full.items())
    ]
    yield Table(
        "Temperatures by month, C",
        ("month", "days", "mean low", "mean high", "usual low", "usual high"),
        tuple(rows),
        f"Means of the days that the station has; months with fewer than {_LEAST_DAYS} are left out. Usual is what the season takes "
        "for this site. Rain, wind and the climate under cover are not recorded.",
        numbered(1, 2, 3, 4, 5),
    )


def _mean_text(days: list[tuple[float, float]], side: int) -> str:
    return f"{sum(one[side] for one in days) / len(days):.1f}"

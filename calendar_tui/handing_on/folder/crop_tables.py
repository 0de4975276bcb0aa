"""Site, places, varieties and cohorts as tables of an open folder."""

from __future__ import annotations

from collections.abc import Iterator

from calendar_tui.handing_on.folder.columns import INTEGER, NOTE, NUMBER, Column, Row, Table, kept
from calendar_tui.handing_on.words.openness import ROUNDED_TO_DEGREES, Openness, shown_position, years_text
from calendar_tui.planning.plan import Plan
from calendar_tui.season.fields import FIELDS
from calendar_tui.season.records import Cohort, Place, Span
from calendar_tui.season.work import PLACE_KINDS, RESPONSES, SEED_KINDS

# Of hemp; the number of its species in the NCBI taxonomy, as a public list of names has it.
_ORGANISM, _CROP = "NCBITAXON:3483", "HMP"
_HOURS = "h"
_NO_FIGURES = ("id", "type", "response", "seed_kind", "sets", "before_fit", "marks")


def _site_rows(plan: Plan, openness: Openness) -> Iterator[Row]:
    site = plan.season.site
    latitude, longitude = shown_position(site, openness)
    yield {
        "season": plan.season.name if openness.place else years_text(plan.season),
        "latitude": latitude,
        "longitude": longitude,
        "rounded_to_degrees": 0.0 if openness.place else ROUNDED_TO_DEGREES,
        "timezone": site.timezone,
        "day": site.day,
        "first_day": plan.season.first_day,
        "last_day": plan.season.last_day,
    }


SITE = Table(
    "site",
    "Site and season",
    "Where and when. The position is rounded unless it was asked for as it is.",
    ("season",),
    (
        Column(
            "season",
            means="name, or its years where that was not asked for",
            needed=True,
            miappe="Study unique ID",
        ),
        Column(
            "latitude", NUMBER, "north positive", "degrees", "Geographic location (latitude)", needed=True
        ),
        Column(
            "longitude", NUMBER, "east positive", "degrees", "Geographic location (longitude)", needed=True
        ),
        Column(
            "rounded_to_degrees",
            NUMBER,
            "to which the position is rounded; 0 where it is as it is",
            "degrees",
        ),
        Column("timezone", means="of the dates, as in the IANA time zone database", needed=True),
        Column("day", means="how day length is counted", categories=("sunrise-sunset", "civil-twilight")),
        Column("first_day", "date", "of the season", miappe="Start date of study", needed=True),
        Column("last_day", "date", "of the season", miappe="End date of study", needed=True),
    ),
    _site_rows,
)


def _place_rows(plan: Plan, openness: Openness) -> Iterator[Row]:
    for place in plan.season.places.values():
        for light in dict.fromkeys((place.id, *place.lights)):
            yield {"place": light, **_place_row(place, openness)}


def _place_row(place: Place, openness: Openness) -> Row:
    return {
        **PLACES.kept_of(place),
        "name": place.name if openness.place else None,
        "lamps_h": place.lamps and place.lamps.target_h,
        "lamps_kw": place.lamps and place.lamps.kw,
    }


PLACES = Table(
    "places",
    "Places",
    "Areas whose plants share one light; a place that is screened into parts has a row for itself and for each part.",
    ("place",),
    (
        Column("place", means="place, or a screened part of it", needed=True),
        kept("place", "id", name="part_of", means="the place as a whole", needed=True),
        Column("name", means="longer name; left out unless the exact place was asked for"),
        kept(
            "place",
            "kind",
            means="kind of place",
            miappe="Type of growth facility",
            rdf="growth_facility",
            categories=PLACE_KINDS,
        ),
        kept("place", "area_m2", NUMBER, means="growing area of the whole place"),
        kept("place", "pot_l", NUMBER),
        kept("place", "soil"),
        Column("lamps_h", NUMBER, "day and lamps together, where lamps extend the day", "h"),
        Column("lamps_kw", NUMBER, "of its lamps", "kW"),
    ),
    _place_rows,
)


def _variety_rows(plan: Plan, openness: Openness) -> Iterator[Row]:
    for variety in plan.season.varieties.values():
        yield {**VARIETIES.kept_of(variety), "organism": _ORGANISM, "crop": _CROP}


VARIETIES = Table(
    "varieties",
    "Varieties",
    "Seed lots and clone lines.",
    ("variety",),
    (
        kept(
            "variety",
            "id",
            name="variety",
            means="seed lot or clone line",
            needed=True,
            miappe="Biological material ID",
        ),
        kept("variety", "response", categories=RESPONSES),
        kept("variety", "type", means="the figures that it started from"),
        kept("variety", "seed_kind", categories=SEED_KINDS),
        Column("organism", means="hemp", miappe="Organism"),
        Column("crop", means="hemp", icasa="CRID"),
    ),
    _variety_rows,
)


def _figure_rows(plan: Plan, openness: Openness) -> Iterator[Row]:
    for variety in plan.season.varieties.values():
        for field in (one for one in FIELDS["variety"] if one.key not in _NO_FIGURES):
            value = getattr(variety, field.name)
            if value is None:
                continue
            early, likely, late = value if isinstance(value, Span) else (None, value, None)
            yield {
                "variety": variety.id,
                "figure": field.key,
                "early": early,
                "likely": likely,
                "late": late,
                "unit": _HOURS if field.key.endswith("_day") else field.unit.partition(" [")[0],
                "own": field.key in variety.written,
                "mark": variety.marks.get(field.key),
            }


FIGURES = Table(
    "figures",
    "Figures of varieties",
    "What dates are worked out with. Day lengths are hours. A figure that is not the grower's own is a default or from a type.",
    ("variety", "figure"),
    (
        Column("variety", needed=True, refers="varieties"),
        Column("figure", means="as in the season file", needed=True),
        Column("early", NUMBER, "early value"),
        Column("likely", NUMBER, "likely value, or the only one", needed=True),
        Column("late", NUMBER, "late value"),
        Column("unit"),
        Column("own", "boolean", "whether the season gives it"),
        Column("mark", means="where it comes from, as the grower marked it; placeholder is a guess"),
    ),
    _figure_rows,
)


def _cohort_rows(plan: Plan, openness: Openness) -> Iterator[Row]:
    for cohort in plan.season.cohorts.values():
        between, within = cohort.spacing_m or (None, None)
        yield {
            **COHORTS.kept_of(cohort),
            "place": cohort.light,
            "between_rows_m": between,
            "in_row_m": within,
            "plants_per_m2": _density(cohort),
        }


def _density(cohort: Cohort) -> float | None:
    if cohort.spacing_m is None:
        return None
    return round(1 / (cohort.spacing_m[0] * cohort.spacing_m[1]), 4)


COHORTS = Table(
    "cohorts",
    "Cohorts",
    "Plants of one variety started together.",
    ("cohort",),
    (
        kept(
            "cohort",
            "id",
            name="cohort",
            means="plants started together",
            needed=True,
            miappe="Observation unit ID",
        ),
        kept("cohort", "variety", needed=True, refers="varieties", miappe="Biological material ID"),
        kept("cohort", "start", categories=("seed", "cutting")),
        kept("cohort", "nursery", refers="places"),
        Column("place", means="where it grows", refers="places"),
        kept("cohort", "plants", INTEGER),
        Column("between_rows_m", NUMBER, "spacing between rows", "m", icasa="PLRS, in cm there"),
        Column("in_row_m", NUMBER, "spacing in the row", "m", icasa="PLSP, in cm there"),
        Column("plants_per_m2", NUMBER, "by the spacing", "1/m2", icasa="PLPOP"),
        NOTE,
    ),
    _cohort_rows,
)

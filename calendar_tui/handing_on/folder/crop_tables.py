"""Site, places, varieties and cohorts as tables of an open folder."""

from __future__ import annotations

from collections.abc import Iterator

from calendar_tui.handing_on.folder.columns import INTEGER, NUMBER, Column, Row, Table
from calendar_tui.handing_on.words.openness import ROUNDED_TO_DEGREES, Asked, place_told, years_text
from calendar_tui.planning.plan import Plan
from calendar_tui.season.fields import FIELDS
from calendar_tui.season.records import Cohort, Place, Span
from calendar_tui.season.work import PLACE_KINDS, RESPONSES, SEED_KINDS

# Of hemp; the number of its species in the NCBI taxonomy is from memory.
_ORGANISM, _CROP = "NCBITAXON:3483", "HMP"
_HOURS = "h"
_NO_FIGURES = ("id", "type", "response", "seed_kind", "sets", "before_fit", "marks")


def _site_rows(plan: Plan, asked: Asked) -> Iterator[Row]:
    site = plan.season.site
    latitude, longitude = place_told(site, asked)
    yield {
        "season": plan.season.name if asked.place else years_text(plan.season),
        "latitude": latitude,
        "longitude": longitude,
        "rounded_to_degrees": 0.0 if asked.place else ROUNDED_TO_DEGREES,
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


def _place_rows(plan: Plan, asked: Asked) -> Iterator[Row]:
    for place in plan.season.places.values():
        for light in dict.fromkeys((place.id, *place.lights)):
            yield {"place": light, **_place_row(place, asked)}


def _place_row(place: Place, asked: Asked) -> Row:
    return {
        "part_of": place.id,
        "name": place.name if asked.place else None,
        "kind": place.kind,
        "area_m2": place.area_m2,
        "pot_l": place.pot_l,
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
        Column("part_of", means="the place as a whole", needed=True),
        Column("name", means="longer name; left out unless the exact place was asked for"),
        Column(
            "kind",
            means="kind of place",
            miappe="Type of growth facility",
            rdf="growth_facility",
            categories=PLACE_KINDS,
        ),
        Column("area_m2", NUMBER, "of the whole place", "m2"),
        Column("pot_l", NUMBER, "of a pot, where plants grow in pots", "L"),
        Column("lamps_h", NUMBER, "day and lamps together, where lamps extend the day", "h"),
        Column("lamps_kw", NUMBER, "of its lamps", "kW"),
    ),
    _place_rows,
)


def _variety_rows(plan: Plan, asked: Asked) -> Iterator[Row]:
    for variety in plan.season.varieties.values():
        yield {
            "variety": variety.id,
            "response": variety.response,
            "type": variety.type,
            "seed_kind": variety.seed_kind,
            "organism": _ORGANISM,
            "crop": _CROP,
        }


VARIETIES = Table(
    "varieties",
    "Varieties",
    "Seed lots and clone lines.",
    ("variety",),
    (
        Column("variety", means="seed lot or clone line", needed=True, miappe="Biological material ID"),
        Column("response", means="to day length", categories=RESPONSES),
        Column("type", means="the figures that it started from"),
        Column("seed_kind", means="what its plants are started from", categories=SEED_KINDS),
        Column("organism", means="hemp", miappe="Organism"),
        Column("crop", means="hemp", icasa="CRID"),
    ),
    _variety_rows,
)


def _figure_rows(plan: Plan, asked: Asked) -> Iterator[Row]:
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


def _cohort_rows(plan: Plan, asked: Asked) -> Iterator[Row]:
    for cohort in plan.season.cohorts.values():
        between, within = cohort.spacing_m or (None, None)
        yield {
            "cohort": cohort.id,
            "variety": cohort.variety,
            "start": cohort.start,
            "nursery": cohort.nursery,
            "place": cohort.light,
            "plants": cohort.plants,
            "between_rows_m": between,
            "in_row_m": within,
            "plants_per_m2": _density(cohort),
            "note": cohort.note if asked.names else None,
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
        Column("cohort", means="plants started together", needed=True, miappe="Observation unit ID"),
        Column("variety", needed=True, refers="varieties", miappe="Biological material ID"),
        Column("start", means="how it is propagated", categories=("seed", "cutting")),
        Column("nursery", means="where it stands until transplant", refers="places"),
        Column("place", means="where it grows", refers="places"),
        Column("plants", INTEGER, "how many"),
        Column("between_rows_m", NUMBER, "spacing between rows", "m", icasa="PLRS, in cm there"),
        Column("in_row_m", NUMBER, "spacing in the row", "m", icasa="PLSP, in cm there"),
        Column("plants_per_m2", NUMBER, "by the spacing", "1/m2", icasa="PLPOP"),
        Column("note", means="as written; left out unless names were asked for"),
    ),
    _cohort_rows,
)

"""The fields of every record as people call them: one table from which commands, completion, errors and forms are made.

A name in words stands for one key of the season file, wherever that stands in its record: "area" is area_m2, "lamp power"
is kw under lamps, "transplant" is the date a cohort is planned to be transplanted on.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from typing import NamedTuple

from calendar_tui.season.field import REQUIRED, Field
from calendar_tui.season.fields import FIELDS, NAMED
from calendar_tui.season.kinds import KINDS, identity_keys
from calendar_tui.season.readers import Reader, choices, light_id, near, words_of
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.stages import DECIDED, KEPT_AT, LOOKED_FOR, STAGES
from calendar_tui.season.stay_reading import stay_begin

# The kinds whose records are kept by fields in words.
KINDS_BY_FIELDS = tuple(kind.name for kind in KINDS if kind.by_fields)
# What the program keeps for itself, and stays, which are taken one by one.
_LEFT_OUT = {
    ("season", "starter_list"),
    ("variety", "sets"),
    ("variety", "before_fit"),
    ("variety", "marks"),
    ("supplies", "marks"),
    ("cohort", "stays"),
    ("cohort", "replanned"),
    ("cohort", "forecast"),
    ("cohort", "forecast_at_start"),
    ("cohort", "forecast_at_transplant"),
    ("cohort", "forecast_at_lights_off"),
}
# Names that do not follow from the key.
_NAMES: Mapping[tuple[str, str], str] = {
    ("site", "timezone"): "time zone",
    ("site", "day"): "natural day",
    ("heat", "base_c"): "base temperature",
    ("heat", "upper_c"): "upper temperature",
    ("heat", "reference_c"): "reference temperature",
    ("columns", "date"): "date column",
    ("columns", "low"): "low column",
    ("columns", "high"): "high column",
    ("station", "units"): "unit of",
    ("station", "stations"): "station of",
    ("station", "date_orders"): "date order of",
    ("station", "headings"): "heading",
    ("place", "screened"): "parts",
    ("place", "held_c"): "held at",
    ("place", "pot_l"): "pot size",
    ("lamps", "target_h"): "lit day",
    ("lamps", "method"): "lamp method",
    ("lamps", "side"): "lamp side",
    ("lamps", "on"): "lamps on",
    ("lamps", "off"): "lamps off",
    ("lamps", "kw"): "lamp power",
    ("lamps", "timer_follows_clock"): "timer follows clock",
    ("lamps", "cost_per_kwh"): "cost of a kWh",
    ("lamps", "cyclic_min"): "in turn",
    ("lamps", "circuit_v"): "circuit volts",
    ("lamps", "circuit_a"): "circuit amps",
    ("variety", "juvenile_d"): "juvenile time",
    ("variety", "rooting_d"): "rooting time",
    ("variety", "emergence_d"): "emergence time",
    ("variety", "rooting"): "rooting share",
    ("variety", "germination"): "germination share",
    ("variety", "usable"): "usable share",
    ("variety", "survival"): "survival share",
    ("variety", "germination_ch"): "germination heat",
    ("variety", "germination_to_emergence_cd"): "emergence heat",
    ("variety", "juvenile_cd"): "juvenile heat",
    ("variety", "emergence_to_flowering_cd"): "emergence to flowering heat",
    ("variety", "induced_to_flowering_cd"): "induced to flowering heat",
    ("variety", "fresh_kg_per_plant"): "fresh weight of a plant",
    ("variety", "moisture_fresh"): "water in fresh crop",
    ("variety", "moisture_dry"): "water in dried crop",
    ("programme", "target_h"): "lit day",
    ("programme", "cyclic_min"): "in turn",
    ("cohort", "causes"): "cause of",
    ("crew", "blocked"): "days off",
    ("crew", "hours_per_week"): "hours of",
    ("supplies", "media_l_per_tray"): "media per tray",
    ("stock", "seeds"): "seeds of",
    ("stock", "cuttings"): "cuttings of",
    ("laboratory", "turnaround_d"): "turnaround",
    ("laboratory", "columns"): "column",
    ("laboratory", "analytes"): "analyte",
    ("laboratory", "decimal"): "decimal sign",
    ("sampling", "offset_d"): "first bags later by",
    ("sampling", "every_d"): "days apart",
    ("profile", "harvest_within_d"): "harvest within",
    ("profile", "sample_from_flowering_start_d"): "sample from",
    ("profile", "sample_to_flowering_end_d"): "sample to",
    ("profile", "negligence_percent"): "negligence line",
    ("profile", "keep_years"): "records kept",
    ("profile", "mark"): "how read",
    ("profile", "spray_keep_years"): "spray kept",
    ("spray", "reentry"): "re-entry",
    ("spray", "preharvest"): "pre-harvest",
    ("spray", "condition"): "entry condition",
    ("spray", "end_is"): "which end",
    ("sample", "cut_cm"): "cut length",
    ("result", "found"): "amount of",
    ("result", "lod"): "LOD of",
    ("result", "loq"): "LOQ of",
    ("result", "limits"): "limit of",
    ("result", "uncertainties"): "uncertainty of",
    ("pass", "fresh_kg"): "fresh weight of",
    ("batch", "dry_kg"): "dry weight",
    ("reading", "kg"): "weight",
    ("reading", "air_c"): "air temperature",
    ("trial", "factors"): "levels of",
    ("trial", "contrasts"): "contrasts of",
    ("trial", "places"): "places of",
    ("trial", "cv"): "scatter",
    ("trial", "date"): "planting date",
    ("plot", "treatment"): "level of",
    ("capacity", "dryer_m2"): "dryer area",
    ("capacity", "dryer_kg_per_m2"): "dryer load",
    ("capacity", "dryer_kg_per_tray"): "dryer load of a tray",
    ("capacity", "dryer_d"): "drying time",
    ("capacity", "dryer_clean_d"): "cleaning time",
}
_UNITS = (
    "_percent",
    "_kg_per_m2",
    "_cm",
    "_g",
    "_m2",
    "_kg",
    "_cd",
    "_ch",
    "_min",
    "_m",
    "_d",
    "_c",
    "_l",
    "_h",
    "_v",
    "_a",
)
# The dates of a cohort by the table they stand in: what stands before the stage, and which stages there are.
_DATES: tuple[tuple[str, str, tuple[str, ...]], ...] = (
    ("planned", "", DECIDED),
    ("recorded", "recorded ", STAGES),
    ("not_yet", "not yet ", LOOKED_FOR),
)
_DATE_TABLES = frozenset(
    (table,) for table in ("planned", "replanned", "recorded", "not_yet", "forecast", *KEPT_AT.values())
)
# Typed in place of a field's name, such as "lamps none".
_ALIASES: Mapping[tuple[str, str], str] = {
    ("place", "lamps"): "lit day",
    ("result", "mu"): "uncertainty",
    ("result", "mu of"): "uncertainty of",
    ("official", "mu"): "uncertainty",
}


class NamedField(NamedTuple):
    """One field of a kind of record, as people call it.

    words: its name, "critical day". path: where it stands in the record, ("lamps", "kw"); of a field that takes a name of
    its own, such as the hours of a role, without that name, and `words` ends in "of".
    unit, meaning: as in the reference. needed: whether no record is without it. words_allowed: where it takes no others.
    """

    kind: str
    words: str
    path: tuple[str, ...]
    read: Reader
    unit: str
    meaning: str
    needed: bool = False
    words_allowed: tuple[str, ...] = ()
    takes_name: bool = False

    @property
    def key(self) -> str:
        """The key of the season file."""
        return self.path[-1]


# A stay stands in its cohort's record, and is kept like a record of its own.
STAY = "stay"
BEGIN_UNIT = "stage or date"
_STAY_FIELDS = (
    NamedField(STAY, "place", ("place",), light_id, "place id", "where the plants stand then", needed=True),
    NamedField(STAY, "from", ("from",), stay_begin, BEGIN_UNIT, "the stage or the date it begins with"),
)


@cache
def fields_of(kind: str) -> tuple[NamedField, ...]:
    """The fields of a kind, or of a stay, in the order of the reference; what tells a record by an id is none of them."""
    if kind == STAY:
        return _STAY_FIELDS
    given = (f for f in FIELDS[kind] if f.key != "id" and (kind, f.key) not in _LEFT_OUT)
    return tuple(named for field in given for named in _named(kind, kind, field, ()))


def _named(kind: str, table: str, field: Field, above: tuple[str, ...]) -> Iterator[NamedField]:
    path = (*above, field.key)
    if field.table == "dates":
        yield from _dates(kind, field)
    elif field.table in NAMED:
        read, _ = NAMED[field.table]
        words = _NAMES[table, field.key]
        yield NamedField(kind, words, path, read, field.unit, field.meaning, takes_name=True)
    elif field.table:
        for inner in FIELDS[field.table]:
            yield from _named(kind, field.table, inner, path)
    else:
        assert field.read is not None
        needed = field.default is REQUIRED and not above
        words = _NAMES.get((table, field.key)) or _plain_name(field.key)
        allowed = words_of(field.read)
        yield NamedField(kind, words, path, field.read, field.unit, field.meaning, needed, allowed)


def _dates(kind: str, field: Field) -> Iterator[NamedField]:
    read, _ = NAMED["dates"]
    for table, before, stages in _DATES:
        if table == field.key:
            for stage in stages:
                words = before + _plain_name(stage)
                yield NamedField(kind, words, (table, stage), read, "date", field.meaning)


def _plain_name(key: str) -> str:
    """ "area" of area_m2, "lights off" of lights_off."""
    unit = next((u for u in _UNITS if key.endswith(u)), "")
    return key.removesuffix(unit).replace("_", " ")


def words_for(kind: str, path: Iterable[object]) -> str:
    """The name of the field that stands at a path of a record; "" where none does."""
    keys = tuple(map(str, path))
    if kind == "cohort" and keys[:1] == ("replanned",):
        keys = ("planned", *keys[1:])
    for field in fields_of(kind):
        if field.path == keys[: len(field.path)] or (keys and field.path[: len(keys)] == keys):
            name = f" {keys[len(field.path)]}" if field.takes_name and len(keys) > len(field.path) else ""
            return field.words + name
    return ""


def field_words(kind: str, key: str) -> str:
    """A key of a record as people call it: "critical day" of critical_day, and of one that is kept by no name, its words."""
    return words_for(kind, (key,)) or _plain_name(key)


def path_words(kind: str, path: tuple[str, ...]) -> str:
    """Where something stands in a record: "recorded transplant", "lamp power"; "" for the record as a whole."""
    named = words_for(kind, path) if kind in FIELDS and path[:1] not in _DATE_TABLES else ""
    return named or " ".join(map(_plain_name, path))


def plain_words(typed: str) -> str:
    """A typed name of a field as names are compared: "critical day" of critical_day and "Critical-day"."""
    return " ".join(typed.strip().casefold().replace("_", " ").replace("-", " ").split())


@cache
def _by_name(kind: str) -> Mapping[str, NamedField]:
    fields = {plain_words(f.words): f for f in fields_of(kind)}
    keys = {plain_words(f.key): f for f in fields_of(kind) if len(f.path) == 1}
    aliases = {alias: fields[name] for (of, alias), name in _ALIASES.items() if of == kind}
    return {**keys, **aliases, **fields}


def field_named(kind: str, typed: str) -> NamedField | None:
    """The field of this name, or of this key of the file, in any case of letters; None where there is none."""
    words = plain_words(typed)
    if (field := _by_name(kind).get(words)) is not None and not field.takes_name:
        return field
    for start, named in _taking_names(kind):
        if words.startswith(f"{start} "):
            name = typed.split()[len(start.split()) :]
            whole = f"{named.words} {' '.join(name)}"
            return named._replace(words=whole, path=(*named.path, " ".join(name)), takes_name=False)
    return None


@cache
def _taking_names(kind: str) -> tuple[tuple[str, NamedField], ...]:
    """The fields that take a name of their own, by each word that they go by."""
    named = {plain_words(field.words): field for field in fields_of(kind) if field.takes_name}
    aliases = {alias: named[name] for (of, alias), name in _ALIASES.items() if of == kind and name in named}
    return (*named.items(), *aliases.items())


def find_field(kind: str, typed: str) -> NamedField:
    """The field of this name. Raises Refusal with the nearest names, and all there are."""
    if (field := field_named(kind, typed)) is not None:
        return field
    known = choices(plain_words(typed), _listed_names(kind), "Fields")
    raise Refusal(f'"{typed}" is not a field of {a_kind(kind)}{_elsewhere(kind, typed)}{known}')


def _elsewhere(kind: str, typed: str) -> str:
    """ ", but of a lot" where the records of one other kind alone have it."""
    others = [other for other in KINDS_BY_FIELDS if other != kind and field_named(other, typed) is not None]
    return f", but of {a_kind(others[0])}" if len(others) == 1 else ""


def near_field(kind: str, words: Iterable[str]) -> str:
    """'; did you mean "spacing"?' where one of the words is close to the name of a field, and none; else ""."""
    return next((text for word in words if (text := near(plain_words(word), _listed_names(kind)))), "")


def _listed_names(kind: str) -> list[str]:
    """The names that are listed: recorded dates and looks go by their stages."""
    return [
        f"{f.words} ..." if f.takes_name else f.words
        for f in fields_of(kind)
        if f.path[0] not in ("recorded", "not_yet")
    ]


def a_kind(kind: str) -> str:
    """ "a cohort", "an outage", "the crew"."""
    if not identity_keys(kind):
        return f"the {kind}"
    return f"{'an' if kind[0] in 'aeiou' else 'a'} {kind}"

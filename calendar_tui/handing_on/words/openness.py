"""What is told of persons and places where a season is handed on to others, and under which licence."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from calendar_tui.season.records import Season, Site

# To a half of a degree: at most 28 km north or south, and no more east or west.
ROUNDED_TO_DEGREES = 0.5
# A shorter name, such as that of a place, is found in many words; a season's name often ends in its years.
_LEAST_LETTERS = 4
_YEARS = re.compile(r"[\s\d/-]+$")
# Licences for data by their identifiers of the Open Definition: title, and where they stand.
LICENCES = {
    "CC0-1.0": ("Creative Commons Zero 1.0", "https://creativecommons.org/publicdomain/zero/1.0/"),
    "CC-BY-4.0": ("Creative Commons Attribution 4.0", "https://creativecommons.org/licenses/by/4.0/"),
    "CC-BY-SA-4.0": (
        "Creative Commons Attribution-ShareAlike 4.0",
        "https://creativecommons.org/licenses/by-sa/4.0/",
    ),
    "ODC-BY-1.0": (
        "Open Data Commons Attribution License 1.0",
        "https://opendatacommons.org/licenses/by/1-0/",
    ),
    "ODbL-1.0": (
        "Open Data Commons Open Database License 1.0",
        "https://opendatacommons.org/licenses/odbl/1-0/",
    ),
    "PDDL-1.0": (
        "Open Data Commons Public Domain Dedication and License 1.0",
        "https://opendatacommons.org/licenses/pddl/1-0/",
    ),
}


class Openness(NamedTuple):
    """What is asked for beyond the usual. names: persons and free notes; place: the position as it is, the names of
    season and places; licence: by its identifier, "" for none.
    """

    names: bool = False
    place: bool = False
    licence: str = ""


def shown_position(site: Site, openness: Openness) -> tuple[float, float]:
    """Latitude and longitude, degrees: as they are where that was asked for, else rounded."""
    if openness.place:
        return site.latitude, site.longitude
    latitude, longitude = (
        round(one / ROUNDED_TO_DEGREES) * ROUNDED_TO_DEGREES for one in (site.latitude, site.longitude)
    )
    return latitude, longitude


def years_text(season: Season) -> str:
    """The years of a season: "2026", "2026-27"."""
    first, last = season.first_day.year, season.last_day.year
    return f"{first}" if first == last else f"{first}-{last % 100:02}"


def left_out(openness: Openness) -> Iterator[str]:
    """What is not told, and by which flag it would be."""
    if not openness.names:
        yield "persons, roles and notes (--names writes them)"
    if not openness.place:
        yield "the names of season and places, and the exact position (--exact-place writes them)"


def people_of(season: Season) -> list[str]:
    """Who observed and who cut samples, in alphabetical order."""
    whose = (*(one.who for one in season.observations), *(one.who for one in season.samples.values()))
    return sorted({*filter(None, whose)})


def names_in_words(texts: Mapping[str, str], season: Season, openness: Openness) -> Iterator[str]:
    """What was to be left out and stands in words that the grower wrote, such as the name of a rule: a sentence each. texts: by
    the name of their file.
    """
    names = [] if openness.names else people_of(season)
    if not openness.place:
        names += [_YEARS.sub("", season.name).strip(), *(place.name for place in season.places.values())]
    for name in dict.fromkeys(one for one in names if len(one) >= _LEAST_LETTERS):
        whole_words = re.compile(rf"(?<!\w){re.escape(name)}(?!\w)", re.IGNORECASE)
        if held := [file for file, text in texts.items() if whole_words.search(text)]:
            yield f'"{name}" stands in {", ".join(held)}, in words that you wrote: take it out there where nobody may know it.'

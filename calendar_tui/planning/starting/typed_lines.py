"""Places, varieties and cohorts of a new season, each typed in one line, as records of a season file."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

from calendar_tui.planning.changes.field_change import read_as
from calendar_tui.planning.changes.variety_type import typed_variety
from calendar_tui.season.fields import FIELDS
from calendar_tui.season.measures import MEASURES, as_written, measured
from calendar_tui.season.readers import choices
from calendar_tui.season.reading import read_season
from calendar_tui.season.typed_dates import typed_date
from calendar_tui.season.upgrades import FORMAT
from calendar_tui.season.variety_types import DEFAULT, find_type, variety_types
from calendar_tui.season.wording import days_in_words, full_day_text, hours_text, stage_text
from calendar_tui.season.work import PLACE_KINDS

PLACE, VARIETY, COHORT = KINDS = ("place", "variety", "cohort")
_PATHS = tuple((kind,) for kind in KINDS)
EXAMPLES: Mapping[str, str] = {
    PLACE: "H1 hoop house 180 m2 lamps 16 h",
    VARIETY: f"amber {DEFAULT}",
}
# m2 in one of a unit, by the names under which it is typed.
_UNITS_M2: Mapping[str, float] = {
    name: unit.factor for unit in MEASURES["m2"].units.values() for name in unit.names
}
_AREA = re.compile(
    rf"(?P<size>\d+(?:[.,]\d+)?) ?(?P<unit>{'|'.join(sorted(_UNITS_M2, key=len, reverse=True))})(?![a-z0-9])"
)
_PAUSE = re.compile(r"[,;](?!\d)")  # a comma between digits is a decimal one
_NO_LAMPS = re.compile(r"\b(?:no|without) lamps?\b")
_LAMPS = re.compile(r"\blamps?(?: to)?(?P<hours> \d{1,2}(?:[.,]\d+|(?::| ?h ?)[0-5]\d)? ?h?(?: |$))?")
_KIND_WORDS: Mapping[str, str] = {
    "hoophouse": "hoop house",
    "tunnel": "hoop house",
    "glasshouse": "greenhouse",
}
# What a date stands behind in the line of a cohort, and its stage.
_STAGE_WORDS: Mapping[str, str] = {
    "seeding": "seeding", "seed": "seeding", "sow": "seeding", "sown": "seeding",
    "sticking": "sticking", "stick": "sticking", "cuttings": "sticking", "cutting": "sticking",
    "transplant": "transplant", "lights on": "lights_on", "lights off": "lights_off", "harvest": "harvest",
}  # fmt: skip
_STAGE = re.compile(rf"\b({'|'.join(sorted(_STAGE_WORDS, key=len, reverse=True)).replace(' ', '[ -]')})\b")
# Days from a season's first day to the sowing in an example line.
_EXAMPLE_AFTER_D = 14
# Days in the nursery, and from there to lights off, in an example line: common practice, no source.
_RAISED_D, _GROWN_D = 25, 42
_STARTS: Mapping[str, str] = {"seeding": "seed", "sticking": "cutting"}


@dataclass(frozen=True, slots=True)
class Lines:
    """What is read of a new season. site: its answers, by the keys of QUESTIONS; records: of a season file, by kind, in
    the order typed; today, order: as for `typed_date`.
    """

    site: Mapping[str, Any]
    today: date
    order: str
    records: dict[str, list[dict[str, Any]]] = field(default_factory=lambda: {kind: [] for kind in KINDS})

    def add(self, kind: str, line: str) -> dict[str, Any]:
        """Read a line and keep its record. Raises ValueError with what would be right; then nothing is kept."""
        record = _READ[kind](self, " ".join(line.split()))
        if double := next((i for i in self.ids(kind) if i.casefold() == record["id"].casefold()), ""):
            raise ValueError(f"there is a {kind} {double} already; give this one another name")
        tried = {**self.records, kind: [*self.records[kind], record]}
        for problem in read_season(data_of(self.site, tried)).problems:
            if problem.path[:1] in _PATHS:  # the site is not whole yet where a form is read
                raise ValueError(days_in_words(problem.message))
        self.records[kind].append(record)
        return record

    def example(self, kind: str) -> str:
        """A line of this kind, a cohort's of what this season has."""
        return _cohort_example(self) if kind == COHORT else EXAMPLES[kind]

    def unlit_text(self, kind: str, record: Mapping[str, Any]) -> str:
        """That a cohort's place has lamps which it does without, where the days decide when it flowers; else ""."""
        if kind != COHORT or "lights_off" in record["planned"]:
            return ""
        if not self.lit(record["variety"], record["place"]):
            return ""
        return f"no lights off: natural days, without the lamps of {record['place']}"

    def lit(self, variety: str, place: str) -> bool:
        """Whether plants of a variety that the days decide on stand under lamps there."""
        places = {r["id"]: r for r in self.records[PLACE]}
        varieties = {r["id"]: r for r in self.records[VARIETY]}
        by_days = varieties.get(variety, {}).get("response") != "day-neutral"
        return by_days and "lamps" in places.get(place, {})

    def ids(self, kind: str) -> list[str]:
        return [record["id"] for record in self.records[kind]]


def data_of(site: Mapping[str, Any], records: Mapping[str, Sequence[Mapping[str, Any]]]) -> dict[str, Any]:
    """The data of a season file. site: by the keys of QUESTIONS."""
    kinds = {
        kind: {key for key in site if key in {f.key for f in FIELDS[kind]}} for kind in ("season", "site")
    }
    tables = {kind: {key: site[key] for key in keys} for kind, keys in kinds.items()}
    return {"format": FORMAT, **tables, **{kind: list(rows) for kind, rows in records.items() if rows}}


def _place(_: Lines, line: str) -> dict[str, Any]:
    name, rest = _named(PLACE, line)
    record: dict[str, Any] = {"id": name, "kind": ""}
    rest = " ".join(_NO_LAMPS.sub(" ", _PAUSE.sub(" ", rest)).split())
    rest, lamps = _without(_LAMPS, rest)
    rest, area = _without(_AREA, rest)
    record["kind"] = _kind(name, " ".join(rest.split()))
    if area is not None:
        size = float(area["size"].replace(",", ".")) * _UNITS_M2[area["unit"]]
        record["area_m2"] = int(size) if size == int(size) else round(size, 1)
    if lamps is not None:
        record["lamps"] = {"target_h": _hours(name, lamps["hours"])}
    return record


def _without(pattern: re.Pattern[str], text: str) -> tuple[str, re.Match[str] | None]:
    match = pattern.search(text)
    return (text, None) if match is None else (f"{text[: match.start()]} {text[match.end() :]}", match)


def _kind(name: str, words: str) -> str:
    kind = _KIND_WORDS.get(words, words)
    if kind in PLACE_KINDS:
        return kind
    if f"{name} {words}".strip().casefold() in (*PLACE_KINDS, *_KIND_WORDS):
        raise ValueError(_nameless(PLACE, EXAMPLES[PLACE]))
    if not words:
        raise ValueError(
            f"place {name}: its kind is missing; write one of {', '.join(PLACE_KINDS)}, such as: {EXAMPLES[PLACE]}"
        )
    if number := re.search(r"\d+(?:[.,]\d+)?", words):
        raise ValueError(
            f'place {name}: "{number[0]}" has no unit; write m2 or h behind it, such as: {EXAMPLES[PLACE]}'
        )
    raise ValueError(f'place {name}: "{words}" is not a kind of place{choices(words, PLACE_KINDS, "Kinds")}')


def _nameless(kind: str, example: str) -> str:
    return f"the {kind} has no name; write it first, such as: {example}"


def _hours(name: str, typed: str | None) -> float:
    if typed is None:
        raise ValueError(
            f"place {name}: lamps to how many hours of light a day? Write lamps 16 h, or leave lamps out"
        )
    hours, _, minutes = re.sub(r" ?h ?|:", ":", typed.strip()).rstrip(":").replace(",", ".").partition(":")
    return float(hours) + int(minutes or 0) / 60


def _variety(_: Lines, line: str) -> dict[str, Any]:
    name, rest = _named(VARIETY, line)
    typed = typed_variety(f"{name} {rest}")[1]
    if not typed and name.casefold() in variety_types():
        raise ValueError(_nameless(VARIETY, EXAMPLES[VARIETY]))
    kind = find_type(typed or DEFAULT)
    return {"id": name, "response": kind.response, "type": kind.id}


def _cohort(lines: Lines, line: str) -> dict[str, Any]:
    name, rest = _named(COHORT, line)
    head, *dated = _STAGE.split(rest)
    record: dict[str, Any] = {"id": name, **_head(lines, name, head)}
    if "variety" not in record and name.casefold() in map(str.casefold, lines.ids(VARIETY)):
        raise ValueError(_nameless(COHORT, _cohort_example(lines)))
    planned = _planned(
        lines,
        name,
        dict(zip((_STAGE_WORDS[word.replace("-", " ")] for word in dated[::2]), dated[1::2], strict=True)),
    )
    start = next((start for stage, start in _STARTS.items() if stage in planned), None)
    missing = [what for what in ("variety", "place") if what not in record] + (
        [] if start else ["date of seeding or sticking"]
    )
    if missing:
        raise ValueError(
            f"cohort {name}: its {' and its '.join(missing)} {'is' if len(missing) == 1 else 'are'} missing; write, for one, {_cohort_example(lines)}"
        )
    ordered = ("id", "variety", "start", "nursery", "place", "plants")
    record["start"] = start
    return {**{key: record[key] for key in ordered if key in record}, "planned": planned}


def _head(lines: Lines, name: str, words: str) -> dict[str, Any]:
    """Variety, places and plants, in whichever order."""
    places = {record["id"].casefold(): record for record in lines.records[PLACE]}
    varieties = {record["id"].casefold(): record for record in lines.records[VARIETY]}
    record: dict[str, Any] = {}
    for word in re.sub(r"[,;]", " ", words).split():
        if word.isdigit() and word not in places and word not in varieties:
            record["plants"] = int(word)
        elif word in varieties:
            record["variety"] = varieties[word]["id"]
        elif word in places:
            key = "nursery" if places[word]["kind"] == "nursery" and "nursery" not in record else "place"
            record[key] = places[word]["id"]
        elif word not in _FILLERS:
            known = [*lines.ids(VARIETY), *lines.ids(PLACE)]
            raise ValueError(
                f'cohort {name}: "{word}" is neither a variety nor a place of this season{choices(word, known)}'
            )
    if "place" not in record and "nursery" in record:
        record["place"] = record.pop("nursery")
    return record


_FILLERS = frozenset(("plants", "plant", "of", "in", "from", "then", "to", "at", "and", "on"))


def _planned(lines: Lines, name: str, typed: Mapping[str, str]) -> dict[str, date]:
    """The dates by stage; +25 counts from the one before it."""
    planned: dict[str, date] = {}
    before: date | None = None
    for stage, words in typed.items():
        try:
            before = planned[stage] = typed_date(
                words.strip(" ,;."),
                today=lines.today,
                planned=before,
                first_day=lines.site["first_day"],
                last_day=lines.site["last_day"],
                past=False,
                order=lines.order,
            )
        except ValueError as wrong:
            raise ValueError(f"cohort {name}: {stage.replace('_', ' ')} {wrong}") from None
    return planned


def _cohort_example(lines: Lines) -> str:
    variety = next(iter(lines.ids(VARIETY)), "amber")
    places = lines.records[PLACE]
    growing = next((r["id"] for r in places if r["kind"] != "nursery"), "H1")
    nursery = next((r["id"] for r in places if r["kind"] == "nursery"), "")
    sown = lines.site["first_day"] + timedelta(days=_EXAMPLE_AFTER_D)
    steps = {"transplant": _RAISED_D} if nursery else {}
    if lines.lit(variety, growing):
        steps["lights off"] = _GROWN_D
    dates = ", ".join(
        [f"seed {sown.day} {sown:%b}".casefold(), *(f"{stage} +{days}" for stage, days in steps.items())]
    )
    return " ".join(word for word in ("A1", variety, nursery, growing, "100 plants,", dates) if word)


def _named(kind: str, line: str) -> tuple[str, str]:
    """The id that a line begins with, as its field's reader has it, and the rest in small letters."""
    name, _, rest = line.strip().partition(" ")
    if not name:
        raise ValueError(f"the line is empty; write {kind} such as: {EXAMPLES[kind]}")
    read = read_as(FIELDS[kind][0], name.rstrip(",;:"))
    return str(read), rest.casefold()


_READ: Mapping[str, Callable[[Lines, str], dict[str, Any]]] = {
    PLACE: _place,
    VARIETY: _variety,
    COHORT: _cohort,
}


def record_text(kind: str, record: Mapping[str, Any]) -> str:
    """What was understood of a line, to be read back: "H1: hoop house, 180 m2, lamps to 16 h"."""
    return f"{record['id']}: {', '.join(_parts(kind, record))}"


def _parts(kind: str, record: Mapping[str, Any]) -> Iterable[str]:
    if kind == PLACE:
        yield record["kind"]
        if "area_m2" in record:
            yield measured(record["area_m2"], "m2", as_written)
        yield f"lamps {_hours_text(record['lamps']['target_h'])}" if "lamps" in record else "no lamps"
    elif kind == VARIETY:
        yield f"type {record['type']}, {record['response']}"
    else:
        yield record["variety"]
        yield " then ".join(record[key] for key in ("nursery", "place") if key in record)
        if "plants" in record:
            yield f"{record['plants']} plants"
        yield from (f"{stage_text(stage)} {full_day_text(day)}" for stage, day in record["planned"].items())


def _hours_text(hours: float) -> str:
    """ "16 h", or "16 h 30"."""
    return hours_text(hours).removesuffix(" 00")

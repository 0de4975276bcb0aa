"""A new season file: the commented template filled in for a site, with the starter chores, or the text of an older season."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from calendar_tui.season.edits import Data, Edit, EditError
from calendar_tui.season.upgrades import FORMAT
from calendar_tui.season.variety_types import DEFAULT as DEFAULT_TYPE
from calendar_tui.storage.disk.whole_file import reason, refused
from calendar_tui.storage.problems import FileProblem, SeasonFileError, StorageError
from calendar_tui.storage.toml.raising import raised
from calendar_tui.storage.toml.rendering import entry_text
from calendar_tui.storage.toml.splice import spliced

_STARTER = Path(__file__).parents[1] / "starter"
# Days from the season's first day to the second cohort of an example; to be changed by the grower.
_COHORT_DAYS = {"SEEDING_2": 34, "TRANSPLANT_2": 59}
_NAME = re.compile(r"@([A-Z_0-9]+)@")
# Behind a key of the first record of a kind that has it: what it means.
_COMMENTS: Mapping[str, str] = {
    "area_m2": "m2 that can be grown on",
    "lamps": "target_h: h of day and lamps together; add kw = 0.9, the kW of all its lamps, for the power used",
    "type": "its figures hold where none are written here",
    "nursery": "where it stands until its transplant",
}
# In the place of records of a kind that has none yet.
_NONE: Mapping[str, str] = {
    "place": '# [[place]]\n# id = "H1"\n# kind = "hoop house"           # field, hoop house, greenhouse or nursery\n# area_m2 = 180\n'
    "# lamps = { target_h = 16.0, kw = 0.9 }",
    "variety": '# [[variety]]\n# id = "amber"\n# response = "short-day"         # or "day-neutral"\n# type = "oil-unknown"',
    "cohort": '# [[cohort]]\n# id = "A1"\n# variety = "amber"\n# start = "seed"                 # or "cutting", with sticking\n# place = "H1"\n'
    "# plants = 100\n# planned = { seeding = @FIRST_DAY@ }",
}
_SECTIONS: Mapping[str, str] = {"place": "PLACES", "variety": "VARIETIES", "cohort": "COHORTS"}
# Lamps in wet places, behind the first place that has some.
_CAUTION = (
    "# 16 h is common practice and not proven for every variety. Lamps in wet places: ground-fault protection, fittings made\n"
    "# for wet places, circuits by a licensed electrician to local code."
)


def new_season_text(
    *,
    records: Mapping[str, Sequence[Mapping[str, Any]]],
    since: date | None = None,
    language: str = "",
    **site: Any,
) -> str:
    """The text of a season with these places, varieties and cohorts, and no others.

    records: of a season file, by kind; since: the day before which no task is made, None for all; language: the crew's, ""
    where it is not set; site: the keys of [season] and [site] that a season needs.
    """
    sections = {name: _section(kind, records.get(kind, ())) for kind, name in _SECTIONS.items()}
    return _filled(sections, _site_values(**site), since, language)


def example_season_text(
    *,
    seeding: date,
    transplant: date,
    lights_off: date,
    type: str = DEFAULT_TYPE,
    since: date | None = None,
    language: str = "",
    **site: Any,
) -> str:
    """The text of a season with the places, varieties and cohorts of the example. since, language, site: as above.

    seeding, transplant, lights_off: of its first cohort; type: of its variety.
    """
    first_day: date = site["first_day"]
    values = {
        "TYPE": type,
        "SEEDING_1": seeding.isoformat(),
        "TRANSPLANT_1": transplant.isoformat(),
        "LIGHTS_OFF_1": lights_off.isoformat(),
        **{key: (first_day + timedelta(days=d)).isoformat() for key, d in _COHORT_DAYS.items()},
    }
    return _filled(_example_sections(), {**_site_values(**site), **values}, since, language)


def _site_values(
    *, name: str, latitude: float, longitude: float, timezone: str, first_day: date, last_day: date
) -> dict[str, str]:
    return {
        "NAME": json.dumps(name, ensure_ascii=False)[1:-1],
        "LATITUDE": f"{latitude}",
        "LONGITUDE": f"{longitude}",
        "TIMEZONE": timezone,
        "FIRST_DAY": first_day.isoformat(),
        "LAST_DAY": last_day.isoformat(),
    }


def _filled(sections: Mapping[str, str], values: Mapping[str, str], since: date | None, language: str) -> str:
    text = (_STARTER / "season.toml.txt").read_text(encoding="utf-8")
    may_lack = {"SINCE": "" if since is None else since.isoformat(), "LANGUAGE": language}
    for name in (name for name, value in may_lack.items() if not value):
        text = re.sub(rf"^.*@{name}@.*\n", "", text, count=1, flags=re.MULTILINE)
    given = {**values, **may_lack}
    # The sections first, for an example's have names of their own.
    text = _NAME.sub(lambda name: sections.get(name[1], name[0]), text)
    text = _NAME.sub(lambda name: given[name[1]], text)
    return text.rstrip() + "\n\n" + (_STARTER / "chores.toml").read_text(encoding="utf-8")


def _example_sections() -> dict[str, str]:
    """The example's parts by the names of their places in the template."""
    text = (_STARTER / "example.toml.txt").read_text(encoding="utf-8")
    _, *parts = re.split(rf"^@({'|'.join(_SECTIONS.values())})@\n", text, flags=re.MULTILINE)
    return {name: part.strip() for name, part in zip(parts[::2], parts[1::2], strict=True)}


def _section(kind: str, records: Sequence[Mapping[str, Any]]) -> str:
    """The records of a kind as blocks; each key explained where it stands first."""
    if not records:
        return _NONE[kind]
    explained: set[str] = set()
    blocks = ["\n".join(_block(kind, record, explained)) for record in records]
    return "\n\n".join([*blocks, _CAUTION] if "lamps" in explained else blocks)


def _block(kind: str, record: Mapping[str, Any], explained: set[str]) -> Iterable[str]:
    yield f"[[{kind}]]"
    for key, value in record.items():
        line = entry_text((key,), value)
        comment = _COMMENTS.get(key) if key not in explained else None
        explained.add(key)
        yield f"{line:<32} # {comment}" if comment else line


def text_after(path: Path, text: str, data: Data, steps: Iterable[Sequence[Edit]]) -> tuple[str, Data]:
    """The text of a season file in the newest form after edits, one step after the other, and its data; nothing is written.

    What no edit names stays byte for byte, comments too. Raises SeasonFileError where the text cannot take them.
    """
    try:
        made = raised(text, data, FORMAT)
        for edits in steps:
            made = spliced(made.text, made.data, edits)
    except (EditError, StorageError) as error:
        line = error.line if isinstance(error, StorageError) else None
        raise refused(path, f"cannot be carried over: {error}", line) from error
    return made.text, made.data


def write_new(path: Path, text: str) -> None:
    """Write a file that is not there yet. Raises SeasonFileError where it is, or cannot be written."""
    try:
        with path.open("x", encoding="utf-8") as file:
            try:
                file.write(text)
                file.flush()
            except OSError:
                path.unlink()  # half a season is none
                raise
    except FileExistsError:
        raise SeasonFileError(
            [FileProblem(str(path), None, "this file is there already; give the name of a new file")]
        ) from None
    except OSError as error:
        raise SeasonFileError(
            [FileProblem(str(path), None, f"cannot be written: {reason(error)}")]
        ) from error

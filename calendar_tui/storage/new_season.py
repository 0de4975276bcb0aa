"""A new season file: the commented template filled in for a site, with the starter chores."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from datetime import date, timedelta
from pathlib import Path

from calendar_tui.season.variety_types import DEFAULT as DEFAULT_TYPE
from calendar_tui.storage.disk.whole_file import reason
from calendar_tui.storage.problems import FileProblem, SeasonFileError

_STARTER = Path(__file__).parents[1] / "starter"
# Days from the season's first day to the second cohort that a new season starts with; to be changed by the grower.
_COHORT_DAYS = {"SEEDING_2": 34, "TRANSPLANT_2": 59}


def new_season_text(
    *,
    name: str,
    latitude: float,
    longitude: float,
    timezone: str,
    first_day: date,
    last_day: date,
    seeding: date,
    transplant: date,
    lights_off: date,
    type: str = DEFAULT_TYPE,
    since: date | None = None,
) -> str:
    """The text of a season to start from. seeding, transplant, lights_off: of its first cohort; type: of its variety.

    since: the day before which no task is made; None for all.
    """
    values: Mapping[str, str] = {
        "NAME": json.dumps(name, ensure_ascii=False)[1:-1],
        "LATITUDE": f"{latitude}",
        "LONGITUDE": f"{longitude}",
        "TIMEZONE": timezone,
        "TYPE": type,
        "FIRST_DAY": first_day.isoformat(),
        "LAST_DAY": last_day.isoformat(),
        "SEEDING_1": seeding.isoformat(),
        "TRANSPLANT_1": transplant.isoformat(),
        "LIGHTS_OFF_1": lights_off.isoformat(),
        "SINCE": "" if since is None else since.isoformat(),
        **{key: (first_day + timedelta(days=d)).isoformat() for key, d in _COHORT_DAYS.items()},
    }
    text = (_STARTER / "season.toml.txt").read_text(encoding="utf-8")
    if since is None:
        text = re.sub(r"^since = .*\n", "", text, count=1, flags=re.MULTILINE)
    text = re.sub(r"@([A-Z_0-9]+)@", lambda found: values[found[1]], text)
    return text.rstrip() + "\n\n" + (_STARTER / "chores.toml").read_text(encoding="utf-8")


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

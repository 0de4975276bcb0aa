"""A record copied: what is planned, later by an interval, and nothing of what is recorded."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any, NamedTuple

from calendar_tui.season.kinds import BY_NAME
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.stages import FIRST
from calendar_tui.season.wording import full_day_text


class Copies(NamedTuple):
    """How often a record is copied. later_d: days from it to the first copy, None where a typed date tells; every_d: from one
    copy to the next, None for the same as to the first. name: of the first copy, "" for the next that is free.
    """

    later_d: int | None = None
    times: int = 1
    every_d: int | None = None
    name: str = ""

    def every(self, first_d: int) -> int:
        """Days from one copy to the next."""
        return first_d if self.every_d is None else self.every_d


NO_SHIFT = Copies()


def copied(kind: str, source: Mapping[str, Any], days: int) -> dict[str, Any]:
    """The table of a copy, without its id: dates come later by so many days."""
    own = BY_NAME[kind].own
    table = {key: shifted(value, days) for key, value in source.items() if key != "id" and key not in own}
    if kind == "cohort":
        table["planned"] = shifted(planned_dates(source), days)
    return table


def planned_dates(cohort: Mapping[str, Any]) -> dict[str, date]:
    """What is intended for a cohort by stage; its first stage, where that was only recorded, by the record."""
    dates: dict[str, date] = {**cohort.get("planned", {}), **cohort.get("replanned", {})}
    first = FIRST[cohort["start"]][0]
    if first not in dates and first in cohort.get("recorded", {}):
        dates = {first: cohort["recorded"][first], **dates}
    return dates


def shifted(value: Any, days: int) -> Any:
    """A value with every date in it later by so many days. Raises Refusal."""
    if isinstance(value, date):
        try:
            return value + timedelta(days=days)
        except OverflowError:
            raise Refusal(
                f"{days} d from {full_day_text(value)} there is no date; give fewer days or fewer copies"
            ) from None
    if isinstance(value, Mapping):
        return {key: shifted(part, days) for key, part in value.items()}
    if isinstance(value, list):
        return [shifted(part, days) for part in value]
    return value


def shift_from(source: Mapping[str, Any], values: Mapping[tuple[str, ...], Any]) -> int:
    """Days by which a typed date is later than the one planned for the same stage; 0 where none is typed.

    values: by where they stand. Of several dates the first that the source has planned.
    """
    dates = planned_dates(source) if "start" in source else {}
    for path, value in values.items():
        if path[0] == "planned" and isinstance(value, date) and path[1] in dates:
            return int((value - dates[path[1]]).days)
        if len(path) == 1 and isinstance(value, date) and isinstance(source.get(path[0]), date):
            return int((value - source[path[0]]).days)
    return 0

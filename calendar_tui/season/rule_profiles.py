"""Rule profiles: what an authority allows, as dated data that a season can have and change; never a constant in code.

Every screen and page that uses one shows its `standing`: the date, and to check with the authority.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import MISSING, dataclass, fields
from datetime import date
from decimal import Decimal
from typing import Any

from calendar_tui.nature.analytes import ANALYTES
from calendar_tui.nature.measured import ABSOLUTELY_DRY, AS_TESTED, DRY
from calendar_tui.nature.spray_waits import RecordRule
from calendar_tui.season.problems import Problem
from calendar_tui.season.readers import (
    Reader,
    Unreadable,
    choices,
    day,
    name_id,
    number,
    one_of,
    shown,
    whole,
    words,
)
from calendar_tui.season.wording import year_day_text

# The table of a profile in a file.
RULE = "rule"
TAKEN_OFF, NOT_TAKEN_OFF, NOT_SET = UNCERTAINTY_RULES = ("taken off", "not taken off", "not set")
LOT, MEAN_OF_VARIETY = JUDGED = ("lot", "mean of a variety")
SAMPLING = ("standard", "performance", "none")
CHECK = "check with your authority"
NO_DATE = "of no date"


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleProfile:
    """limit, negligence: %; acid_factor: neutral + factor x acid; also_counted: ids of analytes added whole.

    decimals: to how many a variety's samples and their mean are written. Figures in d and years; None: not set, which is never
    zero. starts: the first day on which it holds; as_of: when it was read; mark: how.
    """

    id: str
    name: str
    jurisdiction: str = ""
    analyte: str = "total THC"
    limit: Decimal | None = None
    acid_factor: Decimal | None = None
    also_counted: tuple[str, ...] = ()
    uncertainty: str = NOT_SET
    judged: str = LOT
    decimals: int | None = None
    basis: str = DRY
    sample_before_harvest_d: int | None = None
    harvest_within_d: int | None = None
    sample_from_flowering_start_d: int | None = None
    sample_to_flowering_end_d: int | None = None
    negligence: Decimal | None = None
    keep_years: int | None = None
    sampling: str = "standard"
    after_failure: tuple[str, ...] = ()
    spray_write_d: int | None = None
    spray_show_d: int | None = None
    spray_keep_years: int | None = None
    starts: date | None = None
    as_of: date | None = None
    mark: str = ""
    source: str = ""
    caution: str = ""

    @property
    def standing(self) -> str:
        """ "United States, 7 CFR 990, as of 28 Nov 2026: check with your authority"."""
        dated = NO_DATE if self.as_of is None else f"as of {year_day_text(self.as_of)}"
        return f"{self.name}, {dated}: {CHECK}"

    @property
    def spray_records(self) -> RecordRule:
        return RecordRule(self.spray_write_d, self.spray_show_d, self.spray_keep_years)

    def holds_on(self, day: date) -> bool:
        """Whether it has begun by a day; one without a start has."""
        return self.starts is None or self.starts <= day


def exact(low: str, high: str) -> Reader:
    """The reader of an exact figure: a number, or text in quotes; its digits as they are written, from low to high."""
    least, most = Decimal(low), Decimal(high)
    as_number = number(float(least), float(most))

    def read(value: Any) -> Decimal:
        # A number of a file is the shortest one of its digits, so that its text is what was written.
        figure = _decimal_text(value) if isinstance(value, str) else Decimal(repr(as_number(value)))
        if not least <= figure <= most:
            raise Unreadable(f"is {shown(value)}; it must be from {low} to {high}")
        return figure

    return read


def _decimal_text(value: str) -> Decimal:
    if not (value.isascii() and value.replace(".", "", 1).isdigit()):
        raise Unreadable(f'is {shown(value)}; write a number with a decimal point, such as "0.877"')
    return Decimal(value)


def _list(read: Reader, example: str) -> Callable[[Any], tuple[str, ...]]:
    def read_list(value: Any) -> tuple[str, ...]:
        if not isinstance(value, list):
            raise Unreadable(f"is {shown(value)}; write a list, such as {example}")
        return tuple(read(one) for one in value)

    return read_list


_DAYS, _YEARS = whole(0, 365), whole(0, 100)
# Keys of the file, each with the field of the record and its reader. What is in % says so in the file.
_KEYS: Mapping[str, tuple[str, Reader]] = {
    "id": ("id", name_id),
    "name": ("name", words),
    "jurisdiction": ("jurisdiction", words),
    "analyte": ("analyte", words),
    "limit_percent": ("limit", exact("0", "100")),
    "acid_factor": ("acid_factor", exact("0", "1")),
    "also_counted": ("also_counted", _list(one_of(*ANALYTES), '["THC8"]')),
    "uncertainty": ("uncertainty", one_of(*UNCERTAINTY_RULES)),
    "judged": ("judged", one_of(*JUDGED)),
    "decimals": ("decimals", whole(0, 6)),
    "basis": ("basis", one_of(DRY, ABSOLUTELY_DRY, AS_TESTED)),
    "sample_before_harvest_d": ("sample_before_harvest_d", _DAYS),
    "harvest_within_d": ("harvest_within_d", _DAYS),
    "sample_from_flowering_start_d": ("sample_from_flowering_start_d", _DAYS),
    "sample_to_flowering_end_d": ("sample_to_flowering_end_d", _DAYS),
    "negligence_percent": ("negligence", exact("0", "100")),
    "keep_years": ("keep_years", _YEARS),
    "sampling": ("sampling", one_of(*SAMPLING)),
    "after_failure": ("after_failure", _list(words, '["another test"]')),
    "spray_write_d": ("spray_write_d", _DAYS),
    "spray_show_d": ("spray_show_d", _DAYS),
    "spray_keep_years": ("spray_keep_years", _YEARS),
    "starts": ("starts", day),
    "as_of": ("as_of", day),
    "mark": ("mark", one_of("read", "second", "memory", "practice", "computed", "placeholder")),
    "source": ("source", words),
    "caution": ("caution", words),
}
_NEEDED = tuple(f.name for f in fields(RuleProfile) if f.default is MISSING)


def read_rule_profiles(tables: Sequence[Any]) -> tuple[Mapping[str, RuleProfile], tuple[Problem, ...]]:
    """The profiles of a list of tables by their ids, and the problems with their paths. What does not read is left out."""
    profiles: dict[str, RuleProfile] = {}
    problems: list[Problem] = []
    for n, table in enumerate(tables):
        values, wrong = _values(table)
        problems += [Problem((RULE, n, *path), message) for path, message in wrong]
        if wrong:
            continue
        profile = RuleProfile(**values)
        if profile.id in profiles:
            problems.append(
                Problem((RULE, n, "id"), f"is {shown(profile.id)}, as another rule's; give each its own")
            )
            continue
        problems += [Problem((RULE, n, *path), message) for path, message in _contradictions(profile)]
        profiles[profile.id] = profile
    return profiles, tuple(problems)


_Wrong = tuple[tuple[str, ...], str]


def _values(table: Any) -> tuple[dict[str, Any], list[_Wrong]]:
    if not isinstance(table, dict):
        return {}, [((), f"is {shown(table)}; write each rule under [[{RULE}]]")]
    values: dict[str, Any] = {}
    wrong: list[_Wrong] = []
    for key, value in table.items():
        if key not in _KEYS:
            wrong.append(((key,), f"is no key of a rule{choices(key, _KEYS)}"))
            continue
        name, read = _KEYS[key]
        try:
            values[name] = read(value)
        except Unreadable as unreadable:
            wrong.append(((key,), str(unreadable)))
    wrong += [((), f"{key} is not set; every rule needs it") for key in _NEEDED if key not in table]
    return values, wrong


def _contradictions(profile: RuleProfile) -> list[_Wrong]:
    """What cannot both hold; the profile stays as it is."""
    limit, line = profile.limit, profile.negligence
    wrong: list[_Wrong] = []
    if limit is not None and line is not None and line < limit:
        wrong.append(
            (("negligence_percent",), f"is {line}, under the limit of {limit}; it must be the limit or more")
        )
    if limit is not None and profile.as_of is None:
        wrong.append((("as_of",), "is not set; write the day on which the rule was read"))
    if profile.acid_factor == 0:
        wrong.append((("acid_factor",), "is 0; write how much THC one part of THCA gives, such as 0.877"))
    return wrong

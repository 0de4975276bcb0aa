"""The immutable records of the rules: what an authority asks for, the lots that it judges, and its own samples of them."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from calendar_tui.language.speaking import phrase, phrase_form, translated
from calendar_tui.nature.measured import DRY
from calendar_tui.nature.spray_waits import RecordRule
from calendar_tui.season.wording import year_day_text

TAKEN_OFF, NOT_TAKEN_OFF, NOT_SET = UNCERTAINTY_RULES = ("taken off", "not taken off", "not set")
LOT, MEAN_OF_VARIETY = JUDGED = ("lot", "mean of a variety")
NEVER = "never"
COMMINGLED = (NEVER, NOT_SET)
RETEST, REMEDIATION, FLOWERS_REMOVED, DISPOSAL = AFTER = (
    "re-test",
    "remediation",
    "flowers removed",
    "disposal",
)
# What is shredded whole is sampled again before any of it is used (7 CFR 990.24(f), read); of what its flowers are removed and
# destroyed from, nothing is.
SAMPLED_AGAIN = (RETEST, REMEDIATION)
SAMPLING = ("standard", "performance", "none")
CHECK = phrase_form("check with your authority")
# The chores of the starter lists that are the work of an official sample: to book it, to take it, to read its report. A step of
# the sample ticks its own; a tick of one records no step.
BOOKING_CHORE, OFFICIAL_CHORE, REPORT_CHORE = "book-agent", "official-sample", "official-result"
# What is told of the limit of a lot where the rules judge no lot by itself.
ALONE = phrase_form("of this lot alone: the rules judge the mean of its variety")


@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """The rules of an authority, as read on the day `as_of`.

    limit, negligence: %; acid_factor: neutral + factor x acid; also_counted: ids of analytes added whole.

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
    commingled: str = NOT_SET
    spray_write_d: int | None = None
    spray_show_d: int | None = None
    spray_keep_years: int | None = None
    starts: dt.date | None = None
    as_of: dt.date | None = None
    mark: str = ""
    source: str = ""
    caution: str = ""

    @property
    def citation(self) -> str:
        """ "United States, 7 CFR 990, as of 28 Nov 2026: check with your authority"."""
        if self.as_of is None:
            return phrase("{name}, of no date: {check}", name=self.name, check=translated(CHECK))
        return phrase(
            "{name}, as of {day}: {check}",
            name=self.name,
            day=year_day_text(self.as_of),
            check=translated(CHECK),
        )

    @property
    def spray_records(self) -> RecordRule:
        return RecordRule(self.spray_write_d, self.spray_show_d, self.spray_keep_years)

    def holds_on(self, day: dt.date) -> bool:
        """Whether it has begun by a day; one without a start has."""
        return self.starts is None or self.starts <= day


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """One contiguous area of one variety, where a cohort is several. rules: its profile; harvest_by: the grower's last day.

    flowering_ends: when its flowering ended; None where it is as its cohort has it.
    """

    id: str
    cohort: str
    part: str = ""
    blocks: tuple[str, ...] = ()
    area_m2: float | None = None
    plants: int | None = None
    rules: str = ""
    flowering_ends: dt.date | None = None
    harvest_by: dt.date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Official:
    """A sample that the authority takes of a lot, or of a cohort that is one.

    date: for which it is asked or booked, or on which it was taken, as `state` has it. outcome: passed or failed, as the
    authority writes; after: what it allows then. total, uncertainty: as of a result.
    """

    id: str
    date: dt.date
    lot: str
    state: str = "asked"
    asked: dt.date | None = None
    who: str = ""
    laboratory: str = ""
    reported: dt.date | None = None
    total: str = ""
    uncertainty: str = ""
    uncertainty_is: str = "absolute"
    outcome: str = ""
    after: str = ""
    note: str = ""

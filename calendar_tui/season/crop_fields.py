"""The fields of the records that begin with flowering: sprays, bags, results, rules, cutting, drying. A part of `fields`."""

from __future__ import annotations

from collections.abc import Mapping

from calendar_tui.nature.analytes import ANALYTES
from calendar_tui.nature.canopy import POSITIONS
from calendar_tui.nature.legal_limits import ABSOLUTE, UNCERTAINTY_KINDS
from calendar_tui.nature.local_times import WHICH
from calendar_tui.nature.measured import ABSOLUTELY_DRY, AS_TESTED, BASES, DRY, OF_TOTAL, UNITS, WATER_BASES
from calendar_tui.season import readers as r
from calendar_tui.season.cutting import WHYS
from calendar_tui.season.field import REQUIRED, Field
from calendar_tui.season.found_reading import amount, exact, figure, plus_minus, wait
from calendar_tui.season.measured_texts import DASHES, DECIMAL_MARKS
from calendar_tui.season.rules import AFTER, COMMINGLED, JUDGED, LOT, NOT_SET, SAMPLING, UNCERTAINTY_RULES
from calendar_tui.season.sampling import TURNAROUND_D
from calendar_tui.season.stay_reading import stay_begin
from calendar_tui.season.table_lines import SEPARATORS
from calendar_tui.season.typed_dates import ORDERS
from calendar_tui.season.work import WORK_DAYS

_SHARE = r.number(0.001, 1)
_DAYS, _YEARS = r.whole(0, 365), r.whole(0, 100)
_MARKS = ("read", "second", "memory", "practice", "computed", "placeholder")
_MOISTURE = r.number(0, 0.99)
_UNIT, _BASIS, _WATER_IS = r.one_of(*UNITS), r.one_of(*BASES), r.one_of(*WATER_BASES)
_UNCERTAINTY_IS = r.one_of(*UNCERTAINTY_KINDS)
_ID = Field("id", r.name_id, REQUIRED, "", "short name")
_NOTE = Field("note", r.words, "", "", "anything")


def _total(unit: str) -> tuple[Field, ...]:
    """A total and its uncertainty. unit: of the total, "" where the record has one for all its figures."""
    return (
        Field("total", amount, "", unit, "total THC as the report has it"),
        Field("uncertainty", plus_minus, "", "", "of the total, as the report has it"),
        Field(
            "uncertainty_is",
            _UNCERTAINTY_IS,
            ABSOLUTE,
            "",
            "in percentage points, or in percent of the total",
        ),
    )


CROP_FIELDS: Mapping[str, tuple[Field, ...]] = {
    "laboratory": (
        _ID,
        Field("name", r.words, "", "", "longer name"),
        Field("takes", r.several_of(*WORK_DAYS), WORK_DAYS[:5], "", "the days on which it takes bags in"),
        Field(
            "turnaround_d",
            r.span_days,
            TURNAROUND_D,
            "days [early, likely, late]",
            "from taking a bag in to its report",
        ),
        Field("price", r.number(0, 1e6), None, "money", "what a bag costs"),
        Field("unit", _UNIT, "", "", "of the figures in its files, where these give none"),
        Field("basis", _BASIS, "", "", "what the figures in its files are a share of; without it, dry"),
        Field("water_is", _WATER_IS, "", "", "what the water in its files is a share of"),
        Field("separator", r.one_of(*SEPARATORS), "", "", "what stands between the cells of its files"),
        Field("decimal", r.one_of(*DECIMAL_MARKS), "", "", "what stands before the decimals in its files"),
        Field("date_order", r.one_of(*ORDERS), "", "", "which of two numbers in its dates is the day"),
        Field(
            "uncertainty",
            _UNCERTAINTY_IS,
            "",
            "",
            "how its files give it, where they do not say so",
        ),
        Field("dash", r.one_of(*DASHES), "", "", "what a dash in its files stands for"),
        Field("columns", None, None, "", "what each column of its files holds", table="columns_of"),
        Field("analytes", None, None, "", "what it calls by a name of its own", table="analytes_of"),
    ),
    "sampling": (
        _ID,
        Field("cohorts", r.several_texts, (), "cohort ids", "which cohorts; without it, all"),
        Field("positions", r.several_texts, POSITIONS, "", "where on the plants, a bag each"),
        Field("by", r.one_of("lot", "block", "plot", "pooled"), "lot", "", "what one bag stands for"),
        Field("blocks", r.several_texts, (), "", "the blocks of a cohort"),
        Field("plants", r.whole(1, 1000), 5, "plants", "in a bag"),
        Field("from", stay_begin, "flowering", "stage or date", "when the first bags are cut", attr="begins"),
        Field("offset_d", r.whole(-60, 400), 0, "days", "moves the first bags from there"),
        Field("every_d", r.whole(1, 60), 7, "days", "from one sampling to the next, up to the last pass"),
        Field("weekday", r.one_of(*WORK_DAYS), "", "", "the day of the week on which bags are cut"),
        Field("laboratory", r.name_id, "", "laboratory id", "where the bags go"),
        Field("tagged", r.several_texts, (), "", "the plants that are cut each time"),
    ),
    "profile": (
        _ID,
        Field("name", r.words, REQUIRED, "", "the rules and whose they are"),
        Field("jurisdiction", r.words, "", "", "where they hold"),
        Field("analyte", r.words, "total THC", "", "what the limit is for"),
        Field("limit_percent", exact("0", "100"), None, "%", "what must not be gone over", attr="limit"),
        Field("acid_factor", exact("0", "1"), None, "", "by which the acid is counted in the total"),
        Field("also_counted", r.several_of(*ANALYTES), (), "", "what else is counted whole"),
        Field(
            "uncertainty",
            r.one_of(*UNCERTAINTY_RULES),
            NOT_SET,
            "",
            "a laboratory's own, before it is compared",
        ),
        Field("judged", r.one_of(*JUDGED), LOT, "", "what is held against the limit"),
        Field("decimals", r.whole(0, 6), None, "", "to how many a sample and the mean are written"),
        Field("basis", r.one_of(DRY, ABSOLUTELY_DRY, AS_TESTED), DRY, "", "what the limit is a share of"),
        Field(
            "sample_before_harvest_d", _DAYS, None, "days", "at most, from its sample to the harvest expected"
        ),
        Field("harvest_within_d", _DAYS, None, "days", "from its sample to a complete harvest"),
        Field("sample_from_flowering_start_d", _DAYS, None, "days", "its first day to sample, from there"),
        Field("sample_to_flowering_end_d", _DAYS, None, "days", "its last day to sample, from there"),
        Field("negligence_percent", exact("0", "100"), None, "%", "over it is negligence", attr="negligence"),
        Field("keep_years", _YEARS, None, "years", "how long records are kept"),
        Field("sampling", r.one_of(*SAMPLING), SAMPLING[0], "", "of each lot by the authority"),
        Field("after_failure", r.several_texts, (), "", "what it allows for a lot over the limit"),
        Field("commingled", r.one_of(*COMMINGLED), NOT_SET, "", "whether lots may be mixed after the cut"),
        Field("spray_write_d", _DAYS, None, "days", "by when the record of a spray is written"),
        Field("spray_show_d", _DAYS, None, "days", "how long it is shown after its re-entry interval"),
        Field("spray_keep_years", _YEARS, None, "years", "how long it is kept"),
        Field("starts", r.day, None, "date", "the first day on which they hold"),
        Field("as_of", r.day, None, "date", "when they were read"),
        Field("mark", r.one_of(*_MARKS), "", "", "how they were read"),
        Field("source", r.words, "", "", "where they stand"),
        Field("caution", r.words, "", "", "shown wherever they are used"),
    ),
    "lot": (
        _ID,
        Field("cohort", r.name_id, REQUIRED, "cohort id", "of which cohort"),
        Field("part", r.words, "", "", "which part of it, in words"),
        Field("blocks", r.several_texts, (), "", "which blocks of it"),
        Field("area_m2", r.number(0.1, 1e7), None, "m2", "its area"),
        Field("plants", r.whole(1, 10_000_000), None, "plants", "how many"),
        Field(
            "rules", r.name_id, "", "profile id", "by which rules it is judged; without it, those in force"
        ),
        Field("flowering_ends", r.day, None, "date", "when its flowering ended, for rules that sample by it"),
        Field("harvest_by", r.day, None, "date", "the last day that you allow for its harvest"),
    ),
    "spray": (
        _ID,
        Field("date", r.day, REQUIRED, "date", "when it began"),
        Field("place", r.light_id, REQUIRED, "place id", "where"),
        Field("product", r.words, REQUIRED, "", "brand or product name, as on the label"),
        Field("end", r.clock_time, REQUIRED, "h:min", "when it ended, by the local clock"),
        Field("start", r.clock_time, None, "h:min", "when it began, by the local clock"),
        Field("end_date", r.day, None, "date", "when it ended, if on a later day"),
        Field("end_is", r.one_of(*WHICH), "", "", "which one, where the clock shows that hour twice"),
        Field("reentry", wait, "", "12 h or 2 d", "how long nobody enters, as on the label"),
        Field(
            "condition",
            r.words,
            "",
            "",
            "what must be recorded as met before anybody enters, as on the label",
        ),
        Field("preharvest", wait, "", "12 h or 2 d", "from the spray to the first cut, as on the label"),
        Field("parts", r.several_texts, (), "", "which parts of the place, where not all of it"),
        Field("registration", r.text, "", "", "registration number on the label"),
        Field("active", r.words, "", "", "active ingredient"),
        Field("rate", r.words, "", "", "rate, with its unit"),
        Field("total", r.words, "", "", "total amount, with its unit"),
        Field("area_m2", r.number(0.01, 1e7), None, "m2", "area that was treated"),
        Field("target", r.words, "", "", "against what"),
        Field("who", r.words, "", "", "who applied it"),
        Field("certificate", r.words, "", "", "number of their certificate"),
        Field("restricted", r.yes_no, False, "", "true: a product of restricted use"),
        Field("cleared_date", r.day, None, "date", "when the condition for entry was recorded as met"),
        Field("cleared", r.clock_time, None, "h:min", "at which time, by the local clock"),
        _NOTE,
    ),
    "sample": (
        _ID._replace(meaning="the sign on its bag, which the program makes"),
        Field("date", r.day, REQUIRED, "date", "when it is cut"),
        Field("cohort", r.name_id, REQUIRED, "cohort id", "of which cohort"),
        Field("position", r.words, "top", "", "where on the plants"),
        Field("lot", r.text, "", "lot id", "of which lot, where its cohort has several"),
        Field("block", r.text, "", "", "of which block"),
        Field("plot", r.name_id, "", "plot id", "of which plot of a trial"),
        Field("plants", r.whole(1, 1000), None, "plants", "in the bag"),
        Field("cut_cm", r.number(0.1, 300), None, "cm", "length of what is cut"),
        Field("time", r.clock_time, None, "h:min", "at which time, by the local clock"),
        Field("who", r.words, "", "", "who cut it"),
        Field("laboratory", r.name_id, "", "laboratory id", "where it goes"),
        Field("state", r.one_of("planned", "taken", "sent", "lost"), "taken", "", "how it stands"),
        Field("sent", r.day, None, "date", "when it was sent"),
        Field("again", r.text, "", "sample id", "in place of which bag"),
        _NOTE,
    ),
    "result": (
        _ID,
        Field("date", r.day, REQUIRED, "date", "of the report"),
        Field("sample", r.text, REQUIRED, "sample id", "of which bag"),
        Field("laboratory", r.name_id, "", "laboratory id", "who found it"),
        Field("report", r.words, "", "", "number of the report"),
        Field("method", r.words, "", "", "by which it was tested"),
        Field("collected", r.day, None, "date", "when the bag was cut, as the report has it"),
        Field("received", r.day, None, "date", "when the laboratory took it in"),
        Field("tested", r.day, None, "date", "when it was tested"),
        Field("found", None, None, "", "of each analyte, as written", table="amounts"),
        Field("lod", None, None, "", "of each analyte, its limit of detection", table="figures"),
        Field("loq", None, None, "", "of each analyte, its limit of quantification", table="figures"),
        Field("limits", None, None, "", "of each analyte, the least that is told", table="figures"),
        Field("uncertainties", None, None, "", "of each analyte, its uncertainty", table="uncertainties"),
        Field("unit", _UNIT, "%", "", "of its figures"),
        Field("basis", _BASIS, DRY, "", "what its figures are a share of"),
        Field("water", figure, "", "%", "water in what was tested"),
        Field("water_is", _WATER_IS, OF_TOTAL, "", "what that is a share of"),
        *_total(""),
        Field("aside", r.words, "", "", "why it is not used"),
        _NOTE,
    ),
    "official": (
        _ID,
        Field("date", r.day, REQUIRED, "date", "for which it is asked or booked, or on which it was taken"),
        Field("lot", r.name_id, REQUIRED, "lot id", "of which lot, or of which cohort that is one"),
        Field("state", r.one_of("asked", "booked", "taken"), "asked", "", "how it stands"),
        Field("asked", r.day, None, "date", "when it was asked for"),
        Field("who", r.words, "", "", "who takes it: an authorised agent"),
        Field("laboratory", r.name_id, "", "laboratory id", "where it goes"),
        Field("reported", r.day, None, "date", "when its result came"),
        *_total("%"),
        Field("outcome", r.one_of("passed", "failed"), "", "", "as the authority writes"),
        Field("after", r.one_of(*AFTER), "", "", "what follows where it failed"),
        _NOTE,
    ),
    "pass": (
        _ID,
        Field("date", r.day, REQUIRED, "date", "when it is cut"),
        Field("lot", r.name_id, REQUIRED, "lot id", "of which lot, or of which cohort that is one"),
        Field("part", r.words, "", "", "which part of the plants"),
        Field("plots", r.several_texts, (), "", "which plots, where not all"),
        Field("share", _SHARE, None, "share", "of the plants, where not all"),
        Field("fresh_kg", None, None, "kg", "what was weighed fresh, by part", table="weights"),
        Field("why", r.one_of(*WHYS), "", "", "why on this day"),
        Field("last", r.yes_no, False, "", "true: nothing is left to cut"),
        Field("batch", r.name_id, "", "batch id", "in which it dries"),
        _NOTE,
    ),
    "batch": (
        _ID,
        Field("date", r.day, REQUIRED, "date", "when it went into the dryer"),
        Field("area_m2", r.number(0.01, 1e6), None, "m2", "what it takes of the dryer"),
        Field("trays", r.whole(1, 1_000_000), None, "trays", "on how many trays"),
        Field("out", r.day, None, "date", "when it was out of the dryer"),
        Field("moisture", _MOISTURE, None, "share", "water in it then"),
        Field("dry_kg", r.number(0.0001, 1e7), None, "kg", "what was weighed dry"),
        Field("retained_g", r.number(0, 1e6), None, "g", "kept as a sample"),
        _NOTE,
    ),
    "reading": (
        _ID,
        Field("date", r.day, REQUIRED, "date", "when"),
        Field("batch", r.name_id, REQUIRED, "batch id", "of which batch"),
        Field("time", r.clock_time, None, "h:min", "at which time, by the local clock"),
        Field("moisture", _MOISTURE, None, "share", "water in it"),
        Field("kg", r.number(0.0001, 1e7), None, "kg", "its weight"),
        Field("air_c", r.number(-20, 120), None, "C", "temperature of the air"),
        Field("air_humidity", r.number(0, 1), None, "share", "humidity of the air"),
        _NOTE,
    ),
}

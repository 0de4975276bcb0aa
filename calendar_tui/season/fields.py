"""The fields of every record, as one table: key, reader, default, and what the reference says of it.

The table reads a season, and docs/season-file.md is checked against it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache

from calendar_tui.season import readers as r
from calendar_tui.season.field import FILE_ORDERS, HEADING_ROLES, REQUIRED, Field
from calendar_tui.season.found_reading import amount, figure, uncertainty
from calendar_tui.season.language_code import language_code
from calendar_tui.season.repeat_rules import repeat_rule
from calendar_tui.season.set_reading import figure_sets, figures_before, mark_of
from calendar_tui.season.stages import STAGES
from calendar_tui.season.stay_reading import stays
from calendar_tui.season.units_in_use import SYSTEMS, clock_face
from calendar_tui.season.weather_fields import WEATHER_FIELDS
from calendar_tui.season.work import PLACE_KINDS, RESPONSES, SEED_KINDS, WORK_DAYS

# Keys that are written in place of others, by kind.
INSTEAD: Mapping[str, Mapping[str, tuple[str, ...]]] = {"cohort": {"stays": ("nursery", "place", "part")}}
LAMP_METHODS = ("extend", "night-break", "clock")
LAMP_SIDES = ("after sunset", "before sunrise", "both")
PER = ("cohort", "100 plants", "100 m2", "place", "plot", "plant")
SHOWS = ("plants", "seeds", "cuttings", "trays", "bags", "kWh", "plots")
MARKS = ("read", "memory", "computed", "measured", "practice", "placeholder", "own")


_SPAN = "days [early, likely, late]"
_HOURS = "h:min [early, likely, late]"
_SUM = "degree-days [early, likely, late]"
_SHARE = r.number(0.01, 1)
_WATER = r.number(0, 0.99)
_FIELDS: Mapping[str, tuple[Field, ...]] = {
    "season": (
        Field("name", r.words, REQUIRED, "", "the season's name on screen"),
        Field("first_day", r.day, REQUIRED, "date", "first day of the calendar"),
        Field("last_day", r.day, REQUIRED, "date", "last day of the calendar"),
        Field("example_today", r.day, None, "date", "an example opens as if this were today"),
        Field("since", r.day, None, "date", "no task is newly made before this date"),
        Field(
            "units", r.one_of(*SYSTEMS), "", "", "metric or us: in which units quantities are shown and typed"
        ),
        Field("clock", clock_face, "", "hours", "24 or 12: by which clock times are shown"),
        Field("starter_list", r.whole(1, 10_000), None, "", "the list of starter chores that was seen last"),
        Field("language", language_code, "", "", "the crew's language, such as es"),
    ),
    "site": (
        Field("latitude", r.number(-90, 90), REQUIRED, "degrees, north positive", "where the farm is"),
        Field("longitude", r.number(-180, 180), REQUIRED, "degrees, east positive", "where the farm is"),
        Field("timezone", r.timezone, REQUIRED, "IANA name", "the local clock"),
        Field(
            "day",
            r.one_of("sunrise-sunset", "civil-twilight"),
            "sunrise-sunset",
            "",
            "the natural day that the varieties' thresholds refer to",
        ),
        Field("monthly_low_c", r.twelve_degrees, None, "C", "mean daily minimum of each month"),
        Field("monthly_high_c", r.twelve_degrees, None, "C", "mean daily maximum of each month"),
        Field("last_frost", r.day, None, "date", "after it frost still comes in 10 % of springs"),
        Field("first_frost", r.day, None, "date", "before it frost has come in 10 % of autumns"),
        Field(
            "storms_from",
            r.day,
            None,
            "date",
            "from it on storms are to be expected; what is outdoors is cut before",
        ),
    ),
    **WEATHER_FIELDS,
    "place": (
        Field("id", r.name_id, REQUIRED, "", "short name, used by cohorts"),
        Field("kind", r.one_of(*PLACE_KINDS), REQUIRED, "", "what it is"),
        Field("name", r.words, "", "", "longer name"),
        Field("area_m2", r.number(0.1, 1e7), None, "m2", "growing area"),
        Field("lamps", None, None, "", "its lamps; without this key it has none", table="lamps"),
        Field("screened", r.several_ids, (), "", "parts it is screened into, each with its own light"),
        Field("warmer_c", r.number(-20, 20), 0.0, "C", "how much warmer it is than the site"),
        Field("held_c", r.two_degrees, None, "C", "the lowest and highest temperature it is held to"),
        Field("tray_cells", r.whole(1, 2000), None, "cells", "cells of one of its trays; for a nursery"),
        Field("pot_l", r.number(0.01, 10_000), None, "L", "what a pot holds, where plants grow in pots"),
        Field("trays", r.whole(0, 1_000_000), None, "trays", "trays that its benches hold; for a nursery"),
        Field("soil", r.words, "", "", "its soil in words: texture, pH, organic matter"),
    ),
    "lamps": (
        Field("target_h", r.number(1, 24), None, "h a day", "length of day and lamps together"),
        Field("method", r.one_of(*LAMP_METHODS), "extend", "", "how lamps and night are joined"),
        Field("side", r.one_of(*LAMP_SIDES), "after sunset", "", "at which end of the day lamps extend it"),
        Field("on", r.clock_time, None, "h:min", "when lamps set by the clock go on"),
        Field("off", r.clock_time, None, "h:min", "when lamps set by the clock go off"),
        Field("kw", r.number(0, 10_000), None, "kW", "power of all its lamps"),
        Field("timer_follows_clock", r.yes_no, True, "", "whether the timer changes with the local clock"),
        Field("cost_per_kwh", r.number(0, 1_000_000), None, "money per kWh", "what a kWh costs"),
        Field("cyclic_min", r.two_minutes, None, "minutes", "on and off in turn over a night break"),
        Field("circuit_v", r.number(1, 1000), None, "V", "volts of a circuit that feeds them"),
        Field("circuit_a", r.number(0.1, 10_000), None, "A", "amps that the circuit is made for"),
        Field("circuits", r.whole(1, 1000), 1, "", "how many such circuits they hang on, in equal shares"),
    ),
    "variety": (
        Field("id", r.name_id, REQUIRED, "", "seed lot or clone line, used by cohorts"),
        Field("response", r.one_of(*RESPONSES), REQUIRED, "", "how it responds to the length of day"),
        Field(
            "type", r.variety_type, None, "", "likely figures and spreads to start from, where none are given"
        ),
        Field("critical_day", r.clock_hours, None, _HOURS, "at or above this day the count goes back to 0"),
        Field("full_response_day", r.clock_hours, None, _HOURS, "at or below this day each day counts 1"),
        Field("inductive_days", r.span_days, None, _SPAN, "short days until the plants are induced"),
        Field("emergence_d", r.span_days, None, _SPAN, "seeding to emergence"),
        Field("rooting_d", r.span_days, None, _SPAN, "sticking to rooted"),
        Field("seeding_to_transplant_d", r.span_days, None, _SPAN, "used where no transplant date is given"),
        Field("sticking_to_transplant_d", r.span_days, None, _SPAN, "used where no transplant date is given"),
        Field("juvenile_d", r.span_days, None, _SPAN, "emergence to the first day that can count"),
        Field("emergence_to_flowering_d", r.span_days, None, _SPAN, "day-neutral varieties only"),
        Field("induced_to_flowering_d", r.span_days, None, _SPAN, "induced to 50 % flowering"),
        Field("flowering_to_harvest_d", r.span_days, None, _SPAN, "50 % flowering to harvest"),
        Field("drying_d", r.span_days, None, _SPAN, "harvest to dried"),
        Field(
            "germination_ch",
            r.span_heat,
            None,
            "degree-hours [early, likely, late]",
            "heat to half germination",
        ),
        Field("germination_to_emergence_cd", r.span_heat, None, _SUM, "heat from there to emergence"),
        Field("juvenile_cd", r.span_heat, None, _SUM, "heat from emergence to the first day that can count"),
        Field("emergence_to_flowering_cd", r.span_heat, None, _SUM, "day-neutral varieties only"),
        Field("induced_to_flowering_cd", r.span_heat, None, _SUM, "heat from induced to 50 % flowering"),
        Field("cutting_spread", r.number(0, 1), 0.5, "", "part of each span's width that cuttings keep"),
        Field("seed_kind", r.one_of(*SEED_KINDS), None, "", "what its plants are started from"),
        Field("germination", _SHARE, 0.9, "share", "seeds that come up"),
        Field("usable", _SHARE, 0.92, "share", "seedlings fit to plant"),
        Field("rooting", _SHARE, 0.8, "share", "cuttings that root"),
        Field("survival", _SHARE, 0.95, "share", "plants alive after transplant"),
        Field("female_share", _SHARE, None, "share", "plants kept as females; without it by the seed kind"),
        Field(
            "fresh_kg_per_plant", r.number(0.001, 100), None, "kg", "fresh crop of a plant, from own weighing"
        ),
        Field("moisture_fresh", _WATER, 0.75, "share", "water in the fresh crop"),
        Field("moisture_dry", _WATER, 0.10, "share", "water in the dried crop"),
        Field(
            "sets",
            figure_sets,
            None,
            "h:min, h:min, days, days",
            "sets of figures that go together, from records",
        ),
        Field("before_fit", figures_before, None, "", "the figures that it had before its first fit"),
        Field("marks", None, None, "", "where each figure comes from", table="marks"),
    ),
    "cohort": (
        Field("id", r.name_id, REQUIRED, "", "short name"),
        Field("variety", r.name_id, REQUIRED, "variety id", "what is grown"),
        Field("start", r.one_of("seed", "cutting"), REQUIRED, "", "how it is propagated"),
        Field(
            "nursery",
            r.name_id,
            None,
            "place id",
            "where it stands until transplant; without it, sown in place",
        ),
        Field("place", r.name_id, REQUIRED, "place id", "where it grows"),
        Field("part", r.name_id, "", "part", "in which part, where the place is screened"),
        Field(
            "stays",
            stays,
            (),
            "",
            "where it stands in turn, in place of `nursery`, `place` and `part`",
            attr="written_stays",
        ),
        Field("plants", r.whole(1, 10_000_000), None, "plants", "how many"),
        Field("spacing_m", r.two_metres, None, "m", "between rows, in the row"),
        Field("planned", None, None, "", "dates the grower intends", table="dates"),
        Field("replanned", None, None, "", "dates that replaced planned ones", table="dates"),
        Field("recorded", None, None, "", "dates on which it happened", table="dates"),
        Field("not_yet", None, None, "", "dates of the last look that did not see it yet", table="dates"),
        Field("forecast", None, None, "", "what was projected just before the record", table="forecasts"),
        *(
            Field(key, None, None, "", f"what was projected of later stages {when}", table="forecasts")
            for key, when in (
                ("forecast_at_start", "as seeding or sticking was recorded"),
                ("forecast_at_transplant", "as the transplant was recorded"),
                ("forecast_at_lights_off", "as lights off was recorded"),
            )
        ),
        Field("causes", None, None, "", "why a stage came on another day than planned", table="causes"),
        Field("flowering_ends", r.day, None, "date", "when its flowering ended, for rules that sample by it"),
        Field("harvest_by", r.day, None, "date", "the last day that you allow for its harvest"),
        Field("note", r.words, "", "", "anything"),
    ),
    "chore": (
        Field("id", r.name_id, REQUIRED, "", "short name"),
        Field("what", r.words, REQUIRED, "", "the work, in the crew's words"),
        Field("stage", r.one_of(*STAGES), REQUIRED, "stage", "the stage it hangs on"),
        Field("offset_d", r.whole(-400, 400), 0, "days", "first date, counted from the stage"),
        Field("repeat", repeat_rule, "", "RFC 5545 rule", "how it repeats; without it, once"),
        Field("until", r.one_of(*STAGES), "", "stage", "the stage before which a repeat ends"),
        Field("until_offset_d", r.whole(-400, 400), 0, "days", "moves the end of a repeat from its stage"),
        Field("without_nursery", r.one_of(*STAGES), "", "stage", "the stage it hangs on without a nursery"),
        Field("who", r.text, "", "role", "who does it"),
        Field("hours", r.number(0, 10_000), 0.0, "person-hours", "for each `per`"),
        Field("per", r.one_of(*PER), "cohort", "", "what the hours are for"),
        Field(
            "together",
            r.one_of("place", "season", "variety", "day"),
            "",
            "",
            "one task for all its cohorts, not one for each",
        ),
        Field(
            "once", r.one_of("first", "last"), "", "", "one task in all, with its first or its last cohort"
        ),
        Field("starts", r.several_of("seed", "cutting"), ("seed", "cutting"), "", "kinds of start it is for"),
        Field("seed_kinds", r.several_of(*SEED_KINDS), SEED_KINDS, "", "kinds of plants it is for"),
        Field("responses", r.several_of(*RESPONSES), RESPONSES, "", "responses to day length it is for"),
        Field("place_kinds", r.several_of(*PLACE_KINDS), PLACE_KINDS, "", "kinds of growing place it is for"),
        Field(
            "lamps", r.yes_no, None, "", "only for cohorts under (true) or without (false) their own lamps"
        ),
        Field(
            "nursery",
            r.yes_no,
            None,
            "",
            "only for cohorts raised in a nursery (true) or sown in place (false)",
        ),
        Field(
            "at",
            r.one_of("plants", "place", "nursery"),
            "plants",
            "",
            "where: with the plants, at the growing place, or in their nursery",
        ),
        Field("active", r.yes_no, True, "", "false: it makes no tasks"),
        Field("since", r.day, None, "date", "no task of it is newly made before this date"),
        Field("any_day", r.yes_no, False, "", "true: done on days that are no working days too"),
        Field("time", r.clock_time, None, "h:min", "the hour at which it begins"),
        Field("daylight", r.yes_no, False, "", "true: only to be done by daylight"),
        Field("loads_dryer", r.yes_no, False, "", "true: ticked with a pass that is put into a batch"),
        Field("shows", r.several_of(*SHOWS), (), "", "quantities to work out for its tasks"),
        Field("records", r.one_of(*STAGES), "", "stage", "the stage that ticking a task of it records"),
        Field("observe", r.several_texts, (), "variable ids", "what is observed when it is done"),
        Field("asks", r.words, "", "", "what is to be written down when it is done"),
        Field("needed_for", r.one_of(*STAGES), "", "stage", "a stage that must not come before it is done"),
        Field("caution", r.words, "", "", "shown with its tasks, once in a list of work"),
        Field("mark", r.one_of(*MARKS), "placeholder", "", "where its figures come from"),
        Field("hours_mark", r.one_of(*MARKS), "", "", "where its hours come from, if not as `mark` says"),
    ),
    "task": (
        Field("id", r.name_id, REQUIRED, "", "short enough to type"),
        Field("date", r.day, REQUIRED, "date", "when"),
        Field("what", r.words, REQUIRED, "", "the work"),
        Field("chore", r.text, "", "chore id", "the rule that made it"),
        Field("cohort", r.text, "", "cohort id", "for which cohort"),
        Field("cohorts", r.several_texts, (), "cohort ids", "every cohort it is for, where there are more"),
        Field("place", r.text, "", "place id", "where"),
        Field("n", r.whole(1, 10_000), 1, "", "which of its chore's dates, from 1"),
        Field("who", r.text, "", "role", "who does it"),
        Field("hours", r.number(0, 1_000_000), 0.0, "person-hours", "how long it is to take"),
        Field("spent", r.number(0, 1_000_000), None, "person-hours", "how long it really took"),
        Field("amount", r.words, "", "", "the quantity, worked out"),
        Field("why", r.day_reason, "", "", "why it is on another day, or what is wrong with its day"),
        Field("state", r.one_of("open", "done", "skipped"), "open", "", "how it stands"),
        Field("done_on", r.day, None, "date", "when it was done"),
        Field("moved", r.yes_no, False, "", "its date was set by hand and stays"),
        Field("fact", r.words, "", "", "what was found when it was done"),
        Field("note", r.words, "", "", "anything"),
    ),
    "crew": (
        Field("work_days", r.several_of(*WORK_DAYS), WORK_DAYS, "", "the days of the week that are worked"),
        Field("blocked", r.several_days, (), "dates", "days that are not worked"),
        Field("hours_per_week", None, None, "person-hours", "what each role has", table="hours_per_week"),
    ),
    "supplies": (
        Field("tray_cells", r.whole(1, 2000), 242, "cells", "cells of a tray, where its nursery gives none"),
        Field("media_l_per_tray", r.number(0.01, 1000), 4.0, "L", "growing media in a tray"),
        Field("bags_per_sampling", r.whole(1, 1000), 3, "bags", "of a cohort at one weekly sampling"),
        Field("labels_per_tray", r.whole(0, 1000), 1, "labels", "on each tray"),
        Field("labels_per_cohort", r.whole(0, 10_000), 2, "labels", "on the plot of each cohort"),
        Field("marks", None, None, "", "where each figure comes from", table="supply_marks"),
    ),
    "stock": (
        Field("seeds", None, None, "seeds", "of each variety", table="counts"),
        Field("cuttings", None, None, "cuttings", "of each variety", table="counts"),
        Field("trays", r.whole(0, 10_000_000), None, "trays", "trays"),
        Field("media_l", r.number(0, 1e9), None, "L", "growing media"),
        Field("bags", r.whole(0, 10_000_000), None, "bags", "sample bags"),
        Field("labels", r.whole(0, 10_000_000), None, "labels", "labels"),
    ),
    "capacity": (
        Field("dryer_kg", r.number(0, 1e7), None, "kg", "fresh crop that the dryer holds at once"),
        Field("dryer_m2", r.number(0, 1e6), None, "m2", "area of the dryer, in place of dryer_kg"),
        Field(
            "dryer_kg_per_m2", r.number(0.01, 1000), None, "kg per m2", "fresh crop on each m2 of dryer_m2"
        ),
        Field(
            "dryer_trays", r.whole(0, 1_000_000), None, "trays", "trays of the dryer, in place of dryer_kg"
        ),
        Field(
            "dryer_kg_per_tray", r.number(0.01, 1000), None, "kg", "fresh crop on each tray of dryer_trays"
        ),
        Field("dryer_d", r.whole(1, 100), None, "days", "from wet to out of the dryer"),
        Field("dryer_clean_d", r.whole(0, 30), 1, "days", "to clean it after each drying"),
        Field("samples_per_week", r.whole(0, 100_000), None, "samples", "what the laboratory takes"),
        Field("planting_from", r.day, None, "date", "no planting before it"),
        Field("planting_to", r.day, None, "date", "no planting after it"),
        Field("harvest_from", r.day, None, "date", "no harvest before it"),
        Field("harvest_to", r.day, None, "date", "no harvest after it"),
        Field("samples", r.whole(0, 1_000_000), None, "samples", "what may be tested in a season"),
        Field("sample_money_per_week", r.number(0, 1e9), None, "money", "for tests in a week"),
        Field("sample_money", r.number(0, 1e9), None, "money", "for tests in a season"),
    ),
    "draft": (
        Field("id", r.name_id, REQUIRED, "", "short name"),
        Field("wish", r.words, "", "", "what was asked for, in words"),
        Field("variety", r.name_id, REQUIRED, "variety id", "what would be grown"),
        Field("start", r.one_of("seed", "cutting"), REQUIRED, "", "how it would be propagated"),
        Field("nursery", r.name_id, None, "place id", "where it would stand until transplant"),
        Field("spacing_m", r.two_metres, None, "m", "between rows, in the row"),
        Field("cohorts", r.drafted, REQUIRED, "", "place and dates of each cohort that would be planted"),
    ),
    "outage": (
        Field("place", r.light_id, REQUIRED, "place id", "whose lamps failed"),
        Field("from", r.day, REQUIRED, "date", "first night, named by its evening", attr="first"),
        Field("to", r.day, REQUIRED, "date", "last night, named by its evening", attr="last"),
    ),
    "programme": (
        Field("place", r.light_id, REQUIRED, "place id", "whose lamps or covers"),
        Field("from", r.day, REQUIRED, "date", "first night, named by its evening", attr="first"),
        Field("to", r.day, REQUIRED, "date", "last night, named by its evening", attr="last"),
        Field("method", r.one_of(*LAMP_METHODS, "blackout"), "extend", "", "what is done in this period"),
        Field("target_h", r.number(1, 24), None, "h a day", "length of day and lamps together"),
        Field("side", r.one_of(*LAMP_SIDES), "after sunset", "", "at which end of the day lamps extend it"),
        Field("on", r.clock_time, None, "h:min", "when lamps go on, or covers are drawn"),
        Field("off", r.clock_time, None, "h:min", "when lamps go off, or covers are opened"),
        Field("cyclic_min", r.two_minutes, None, "minutes", "on and off in turn over a night break"),
    ),
}


class _Fields(Mapping[str, tuple[Field, ...]]):
    """The fields by kind. Those of trials and of records that begin with flowering are loaded where one of them is asked for."""

    def __getitem__(self, kind: str) -> tuple[Field, ...]:
        of_kind = _FIELDS.get(kind)
        return _with_the_crop()[kind] if of_kind is None else of_kind

    def __iter__(self) -> Iterator[str]:
        return iter(_with_the_crop())

    def __len__(self) -> int:
        return len(_with_the_crop())


@cache
def _with_the_crop() -> Mapping[str, tuple[Field, ...]]:
    from calendar_tui.season.crop_fields import CROP_FIELDS
    from calendar_tui.season.observing_fields import OBSERVING_FIELDS
    from calendar_tui.season.trial_fields import TRIAL_FIELDS

    return {**_FIELDS, **CROP_FIELDS, **TRIAL_FIELDS, **OBSERVING_FIELDS}


FIELDS: Mapping[str, tuple[Field, ...]] = _Fields()
# Tables whose keys are names: the reader of each value, and the names allowed, all where none is told.
ANY_NAME: tuple[str, ...] = ()
NAMED: Mapping[str, tuple[r.Reader, tuple[str, ...]]] = {
    "dates": (r.day, STAGES),
    "forecasts": (r.three_days, STAGES),
    "causes": (r.words, STAGES),
    "marks": (mark_of(*MARKS), tuple(f.key for f in FIELDS["variety"] if f.read is not None)),
    "supply_marks": (r.one_of(*MARKS), tuple(f.key for f in FIELDS["supplies"] if f.read is not None)),
    "hours_per_week": (r.number(0, 10_000), ANY_NAME),
    "counts": (r.whole(0, 1_000_000_000), ANY_NAME),
    "amounts": (amount, ANY_NAME),
    "figures": (figure, ANY_NAME),
    "uncertainties": (uncertainty, ANY_NAME),
    "weights": (r.number(0, 1e7), ANY_NAME),
    "columns_of": (r.text, ANY_NAME),
    "units_of": (r.one_of("C", "F"), ANY_NAME),
    "stations_of": (r.text, ANY_NAME),
    "orders_of": (r.one_of(*FILE_ORDERS), ANY_NAME),
    "headings_of": (r.one_of(*HEADING_ROLES), ANY_NAME),
    "analytes_of": (r.text, ANY_NAME),
    "levels": (r.several_texts, ANY_NAME),
    "contrasts_of": (r.several_texts, ANY_NAME),
    "level_of": (r.text, ANY_NAME),
    "places_of": (r.several_texts, ANY_NAME),
}

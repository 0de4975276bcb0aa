"""The commands of trials and of the time from flowering on: sprays, bags, results, the day to cut, the harvest. A part of `table`."""

from __future__ import annotations

from collections.abc import Mapping

from calendar_tui.commands.flags import ASCII, AT, CHOICE, JSON, OBSERVED, SAVE, THEN
from calendar_tui.commands.parsing import Command

CROP: Mapping[str, Command] = {
    "spray": Command(
        "spray",
        "spray",
        "what is closed after sprays and until when, and the sprays; records one, or that its condition for entry is met",
        "SEASON PLACE PRODUCT FIELD VALUE",
        f"{THEN}a place or several, the product and the fields of its record, such as: H2 soap start 16:30 end 17:15 re-entry '12 h' "
        "pre-harvest '0 d'; or a spray by its id, and fields, or met with a date and a time; nothing lists them",
        flags=SAVE,
    ),
    "sample": Command(
        "sample",
        "sample",
        "bags to cut this week and who has what; records bags of cohorts or of a whole trip, and what is sent or lost",
        "SEASON COHORT ...",
        f"{THEN}cohorts whose bags are cut; or trip, for all that is planned for the day; or bags by their ids, and sent with "
        "a date, lost or taken, such as: K7Q-2RY sent 9 dec; or not cut behind cohorts or trip, for planned bags of a day before; "
        "nothing shows the week",
        flags={**CHOICE, **SAVE},
        own_flags=True,
    ),
    "result": Command(
        "result",
        "result",
        "results in, kept aside, due and overdue; records one by hand, or takes in a laboratory's file",
        "SEASON BAG ANALYTE AMOUNT ...",
        f"{THEN}a bag and what was found, such as: K7Q-2RY THC 0.05 THCA 0.30 report R-77 date '9 mar'; or --from FILE; nothing "
        "lists them",
        flags=SAVE,
        own_flags=True,
    ),
    "official": Command(
        "official",
        "official",
        "the authority's own samples by lot, and until when they hold; records what is asked, booked, taken, passed, failed",
        "SEASON LOT STEP",
        f"{THEN}a lot, or several, and a step with its date: asked or booked for it, taken on it, or passed or failed, such as: A1 booked "
        "2026-12-20; without a step its samples are shown",
        flags=SAVE,
        own_flags=True,
    ),
    "cut": Command(
        "cut",
        "cut",
        "from when to when each lot may be cut, and the rule that binds at each end; ripeness beside it; what another way wins",
        "SEASON LOT",
        f"{THEN}lots or cohorts, else all",
        flags={**AT, **JSON},
        own_flags=True,
    ),
    "rules": Command(
        "rules",
        "rules",
        "the rule profiles of a season, which holds for which lot today and why, and those that come with the program",
        "SEASON PROFILE",
        f"{THEN}a profile: the season's own is shown, one that comes with the program (us, eu, blank) is taken in",
        flags=SAVE,
    ),
    "labels": Command(
        "labels",
        "labels",
        "labels for bags, trays and stakes on sheets to print, with square codes, and a custody sheet",
        "SEASON ID ...",
        f"{THEN}bags by their ids, or none for all that are not sent yet; with --trays, cohorts",
        own_flags=True,
    ),
    "pass": Command(
        "passes",
        "cut",
        "the rounds of cutting; records one with its weights by part, and with last the harvest of its cohort",
        "SEASON LOT WHAT",
        f"{THEN}a lot or a cohort that is one, and what was cut, such as: A1 18 apr top 12.5 kg middle 4 kg why ripe batch "
        "D1 last",
        flags=SAVE,
        own_flags=True,
    ),
    "batch": Command(
        "drying",
        "batch",
        "what dries: since when, how dry, until when; fills a batch with passes, reads it, takes it out",
        "SEASON BATCH WHAT",
        f"{THEN}a batch, and: in PASS trays 12; reading moisture 0.35 air 32 C; or out 3 apr moisture 0.1 dry 7.5 kg retained "
        "20 g",
        flags=SAVE,
    ),
    "trial": Command(
        "trial",
        "trial",
        "trials with their maps and what they can find; draws one by its seed into plots and cohorts",
        "SEASON TRIAL",
        f"{THEN}a trial: it is shown with its map; nothing lists them",
        flags=SAVE,
        own_flags=True,
    ),
    "observe": Command(
        "observing",
        "observe",
        "a value of a field book: a number, 4 of 10, a dot for not looked, or missing; out of its range it is asked back",
        "SEASON PLOT VARIABLE VALUE",
        f"{THEN}a plot or cohort, or a plant of it by its number, a variable and its value, such as: K1-101 height 84.5, "
        "K1-101 3 height 84.5 or A1 flowering 4 of 10",
        flags={**OBSERVED, **SAVE},
    ),
    "field-book": Command(
        "observing",
        "field_book",
        "what is to be observed this week and what is missing, when half had come to a stage; a trial's sheet written, printed, taken in",
        "SEASON TRIAL",
        f"{THEN}a trial, for its sheet; nothing shows the week",
        flags={**OBSERVED, **SAVE},
        own_flags=True,
    ),
    "trend": Command(
        "trend",
        "trend",
        "what a cohort's results say of its total THC on the days to come, when the limit is reached, and how sure that is",
        "SEASON COHORT",
        f"{THEN}a cohort, or a lot",
        flags={
            "--position": {
                "metavar": "POSITION",
                "help": "where on the plants, else the one that decides: the top",
            },
            **ASCII,
            **AT,
            **JSON,
        },
    ),
}

"""The table of commands: what runs each, and its help. Their modules are loaded only where they run."""

from __future__ import annotations

import argparse
from collections.abc import Mapping

from calendar_tui.commands.change_table import CHANGES
from calendar_tui.commands.crop_table import CROP
from calendar_tui.commands.flags import (
    ARRANGED,
    ASCII,
    AT,
    AT_READ_ONLY,
    FROM_TO,
    JSON,
    LANG,
    SAVE,
    TAKE_BACK,
    THEN,
    WEEK,
    WIDTH,
)
from calendar_tui.commands.parsing import Command

_COHORTS = f"{THEN}cohorts, else all"
COMMANDS: Mapping[str, Command] = {
    "": Command(
        "opening",
        "full_screen",
        "A crop calendar for staggered cohorts of short-day hemp. Without a command: the full screen.",
        flags={
            "--view": {
                "metavar": "VIEW",
                "choices": ("season", "today", "week", "load"),
                "help": "open with this view: season, today, week or load",
            },
            "--fresh": {"action": "store_true", "help": "do not begin where you left it"},
            "--theme": {
                "metavar": "NAME",
                "choices": ("terminal", "dark", "light"),
                "help": "colours: terminal, its own; dark and light, for such a background",
            },
            "--no-mouse": {
                "action": "store_true",
                "help": "leave the mouse to the terminal, to select text with",
            },
            **ASCII,
            **AT_READ_ONLY,
        },
    ),
    "daylight": Command(
        "telling",
        "daylight",
        "sunrise, sunset and day length of each date",
        flags={
            **FROM_TO,
            **AT,
            **JSON,
        },
    ),
    "dates": Command(
        "telling",
        "dates",
        "every cohort's stages: dates, ranges, status and reasons",
        "SEASON COHORT",
        _COHORTS,
        flags={**AT, **JSON, "--csv": {"action": "store_true", "help": "print a CSV table"}},
    ),
    "why": Command(
        "telling",
        "why",
        "how one date is worked out, day by day where it matters; what makes its range wide, and what would narrow it",
        "SEASON COHORT STAGE",
        f"{THEN}a cohort and a stage, such as: A1 harvest",
        flags={**AT, **JSON},
    ),
    "chart": Command(
        "telling",
        "chart",
        "day length and every cohort on one time axis, as text",
        flags={
            **ASCII,
            **AT,
            **ARRANGED,
        },
    ),
    "lamps": Command(
        "lamps",
        "lamps",
        "each place's lamps by week: timer settings, hours, dark left, kWh and cost",
        "SEASON PLACE",
        f"{THEN}a place, else all with lamps",
        flags={
            "--nights": {
                "action": "store_true",
                "help": "every night in place of every week, by the local clock and in UTC, for who sets a controller",
            },
            "--csv": {"action": "store_true", "help": "with --nights: print a CSV table"},
            **FROM_TO,
            **AT,
            **JSON,
        },
    ),
    "quantities": Command(
        "quantities",
        "quantities",
        "what a season needs: plants that fit, seeds, cuttings, trays, media, lamps, bags, labels; shortfalls",
        "SEASON COHORT",
        _COHORTS,
        flags={
            "--acres": {"action": "store_true", "help": "plants to the acre, in place of to the hectare"},
            "--csv": {"action": "store_true", "help": "print a CSV table"},
            **AT,
            **JSON,
        },
    ),
    "today": Command(
        "today",
        "today",
        "what waits today: what to decide and record, lamps that failed, work by place, lamps tonight, what was changed",
        flags={**LANG, **WIDTH, **AT, **JSON},
    ),
    "decide": Command(
        "deciding",
        "decide",
        "what is to be decided, done or left alone, by the day on which it is too late, and why",
        flags={**LANG, **WIDTH, **AT, **JSON},
    ),
    "week": Command(
        "week",
        "week",
        "this week's tasks: overdue, each day's, and how many come next week",
        flags={**WEEK, **LANG, **WIDTH, **AT, **JSON},
    ),
    "response": Command(
        "response",
        "response",
        "which planting dates make sense: flowering, harvest and growth for each date of a year",
        "SEASON VARIETY PLACE",
        f"{THEN}a variety, and the place it is grown in",
        flags={**AT, **JSON, **ASCII},
        own_flags=True,
    ),
    "response-many": Command(
        "response_many",
        "response_many",
        "the response of many sites, varieties, dates and weather years as one table",
        "SURVEY",
        "a survey file: sites, varieties and dates",
        own_flags=True,
    ),
    "analyse": Command(
        "analyse",
        "analyse",
        "a trial by its design: analysis of variance, means with LSD and Tukey, response, residuals; of a season, or of any table",
        "SEASON TRIAL MEASURE",
        f"{THEN}a trial, and what was measured in it, else all that was; or in place of these a table, with a header and a line a "
        "plot: tab, semicolon or comma between the cells",
        flags={**AT, **JSON},
        own_flags=True,
    ),
    "stagger": Command(
        "stagger",
        "stagger",
        "cohorts staggered backwards from their harvests, fitted to what the farm can hold; kept as drafts, accepted as one change",
        flags=SAVE,
        own_flags=True,
    ),
    **CHANGES,
    **CROP,
    "load": Command(
        "load",
        "load",
        "hours, dryer, benches, room, lamps and samples by week against capacity, and what is behind over-full weeks",
        "SEASON KIND",
        f"{THEN}kinds, else all: hours, dryer, trays, room, lamps, circuits, samples",
        flags={
            "--weeks": {"metavar": "N", "help": "only N weeks from this one on, else all of the season"},
            **WIDTH,
            **AT,
            **JSON,
        },
    ),
    "review": Command(
        "reviewing",
        "review",
        "what a season taught: dates against records, hours, lamps, slips and causes, and figures to carry forward, one by one",
        flags={
            "--ahead": {
                "metavar": "DAYS",
                "help": "compare records also with what was projected so many days before each, from the file as the "
                "history has it on that day",
            },
            "--take": {
                "metavar": "ID",
                "help": "carry this figure forward: shows what moves first, one change",
            },
            **SAVE,
            **AT,
        },
    ),
    "history": Command(
        "history",
        "history",
        "every saved change: when, who, what, and each field before and after; newest last",
        "SEASON WORD",
        f"{THEN}words, to see only the changes that name them: a cohort, a place, a task, a person, or a change's number",
        flags=JSON,
        own_flags=True,
    ),
    "undo": Command(
        "history",
        "undo",
        "take the latest change back, one's own first, or as many as STEPS says; asks before another person's",
        "SEASON STEPS",
        f"{THEN}how many changes, else one",
        flags=TAKE_BACK,
    ),
    "redo": Command(
        "history",
        "redo",
        "bring back what was undone last, or as much as STEPS says; asks before what another person undid",
        "SEASON STEPS",
        f"{THEN}how many changes, else one",
        flags=TAKE_BACK,
    ),
    "export": Command(
        "exporting",
        "export",
        "files to hand on: a calendar for phones, tables, pages for the wall and the week, an open folder",
        flags=AT,
        own_flags=True,
    ),
    "report": Command(
        "reporting",
        "report",
        "the growers' page: what the season and its trials found, in words, tables and drawings, to print and to pass on",
        "SEASON TRIAL",
        f"{THEN}a trial, to tell of it and its cohorts alone",
        flags={**AT, **JSON},
        own_flags=True,
    ),
    "serve": Command(
        "serving",
        "serve",
        "the full screen in a browser of this computer; anyone who reaches the port can change the season",
        flags={"--port": {"metavar": "PORT", "default": "8000", "help": "another port than 8000"}},
    ),
    "check": Command(
        "checking",
        "check",
        "problems of a season file, each with its line; exit 1 if there are any",
        flags={**AT, **JSON},
    ),
    "upgrade": Command(
        "upgrading",
        "upgrade",
        "write a season file of an older format as this program does; keeps the old file, and asks first",
        flags={"--yes": {"action": "store_true", "help": "upgrade without asking"}},
    ),
    "merge": Command(
        "merge",
        "merge",
        "bring two copies of a season together; exit 1 if there is something to settle",
        "BASE OURS THEIRS PATH",
        "the version that both copies came from, ours, which takes the merge, and theirs; git adds the PATH in which "
        "the merge will stand",
        flags={
            "--output": {
                "metavar": "FILE",
                "help": "write the merge to this new file and leave ours as it is",
            },
            "--dry-run": {"action": "store_true", "help": "show what would come of it and write nothing"},
            **JSON,
        },
    ),
    "new": Command(
        "new_season",
        "new",
        "a season of your own, by questions or flags, in a commented file; or, --from one that is there, next year's",
        "[FILE]",
        "the file to make; asked for where it is left out",
        own_flags=True,
    ),
    "settings": Command(
        "settings",
        "settings",
        "what you have set for yourself: season, view, colours, mouse, dates, keys; sets one of them",
        "NAME VALUE",
        "a setting, and what it is to be; nothing lists all, `keys` the keys, `keys GROUP` those of a view",
        flags={"--unset": {"action": "store_true", "help": "take the setting out"}, **JSON},
    ),
    "completion": Command(
        "shell_files",
        "completion",
        "the script by which a shell completes commands, flags, and the names in the season at hand",
        "SHELL",
        "bash, zsh or fish",
    ),
    "man": Command(
        "shell_files",
        "manual",
        "the page of the manual, to be read with: calendar-tui man | man -l -",
        words_help=argparse.SUPPRESS,
    ),
}

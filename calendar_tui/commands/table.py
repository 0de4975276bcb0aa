"""The table of commands: what runs each, and its help. Their modules are loaded only where they run."""

from __future__ import annotations

from collections.abc import Mapping

from calendar_tui.commands.flags import (
    ARRANGED,
    ASCII,
    AT,
    AT_READ_ONLY,
    CHOICE,
    CHOSEN_TASKS,
    JSON,
    LIGHTS,
    SAVE,
    TAKE_BACK,
    WEEK,
    WIDTH,
)
from calendar_tui.commands.parsing import Command

_THEN = "a season file, which may be left out where there is just one; then "
_RECORDS = f"{_THEN}what it is, such as cohort or place, "
_FIELDS = "SEASON KIND NAME FIELD VALUE"
_SLIP_WORDS = "SEASON COHORT ... STAGE DATE"
_TASKS = f"{_THEN}tasks by their ids, as `calendar-tui week` shows them, or by the beginnings of these"
_COHORTS = f"{_THEN}cohorts, else all"
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
            "--from": {"dest": "from_", "metavar": "DATE", "help": "first date, else the season's first day"},
            "--to": {"metavar": "DATE", "help": "last date, else the season's last day"},
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
        f"{_THEN}a cohort and a stage, such as: A1 harvest",
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
        f"{_THEN}a place, else all with lamps",
        flags={**AT, **JSON},
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
        "what waits today: what to record and decide, lamps that failed, work by place, lamps tonight, what was changed",
        flags={**WIDTH, **AT, **JSON},
    ),
    "week": Command(
        "week",
        "week",
        "this week's tasks: overdue, each day's, and how many come next week",
        flags={**WEEK, **WIDTH, **AT, **JSON},
    ),
    "response": Command(
        "response",
        "response",
        "which planting dates make sense: flowering, harvest and growth for each date of a year",
        "SEASON VARIETY PLACE",
        f"{_THEN}a variety, and the place it is grown in",
        flags={**AT, **JSON, **ASCII},
        own_flags=True,
    ),
    "response-many": Command(
        "response_many",
        "response_many",
        "the response of many sites, varieties, dates and weather years as one table",
        "BATCH",
        "a batch file: sites, varieties and dates",
        own_flags=True,
    ),
    "stagger": Command(
        "stagger",
        "stagger",
        "cohorts staggered backwards from their harvests, fitted to what the farm can hold; kept as drafts, accepted as one change",
        flags=SAVE,
        own_flags=True,
    ),
    "done": Command(
        "ticking",
        "done",
        "tick tasks by their ids; records the date where a task is the work of a stage",
        "SEASON TASK",
        _TASKS,
        flags={
            "--on": {
                "metavar": "DATE",
                "help": "the day on which it was done, or due for the date each was due; else today",
            },
            "--fact": {
                "metavar": "TEXT",
                "action": "append",
                "help": "what was found, such as a count; of several tasks the same for all, = for what was planned of each, "
                "COHORT=TEXT for one; may be given several times",
            },
            **LIGHTS,
            **CHOSEN_TASKS,
        },
    ),
    "skip": Command(
        "by_hand",
        "skip",
        "skip tasks, with the reason in their notes",
        "SEASON TASK",
        _TASKS,
        flags={"--why": {"metavar": "TEXT", "help": "the reason, kept in the tasks' notes"}, **CHOSEN_TASKS},
    ),
    "move": Command(
        "by_hand",
        "move",
        "put tasks on another date, where they stay when the season is planned again",
        "SEASON TASK DATE",
        f"{_THEN}tasks by their ids, and the date: 2026-12-09, 9 dec, a weekday, or +2 days from each task's own",
        flags=CHOSEN_TASKS,
    ),
    "note": Command(
        "by_hand",
        "note",
        "write a note on a task, in place of the one there was",
        "SEASON TASK TEXT",
        f'{_THEN}a task by its id, and the text; "" takes the note away',
        flags=CHOSEN_TASKS,
    ),
    "reopen": Command(
        "by_hand",
        "reopen",
        "open tasks again that were done or skipped",
        "SEASON TASK",
        _TASKS,
        flags=CHOSEN_TASKS,
    ),
    "record": Command(
        "changing",
        "record",
        "record the date a stage happened, that pots were carried, or nights without lamps; shows what moves first",
        _SLIP_WORDS,
        f"{_THEN}a cohort or several, a stage and its date; or cohorts, the word stay, a place and the date on which their "
        "pots were carried there; or a place, the word outage, the first night and, if there were more, the last",
        flags={
            "--fact": {
                "metavar": "TEXT",
                "action": "append",
                "help": "what was found, such as a count, written down with the task that the record ticks; of several cohorts "
                "the same for all, = for what was planned of each, COHORT=TEXT for one; may be given several times",
            },
            "--not-yet": {
                "action": "store_true",
                "help": "on this date the plants had not come to the stage yet",
            },
            "--last-looked": {
                "metavar": "DATE",
                "help": "of a stage that was seen on its date for the first time: the last look before, that did not see it",
            },
            **CHOICE,
            **LIGHTS,
            **SAVE,
        },
    ),
    "plan": Command(
        "changing",
        "plan",
        "plan a stage for another date, or a further place; shows what moves first",
        _SLIP_WORDS,
        f"{_THEN}a cohort or several, a stage and its new date; or cohorts, the word stay, a place, and the date or the "
        "stage from which their pots stand there",
        flags={**CHOICE, **LIGHTS, **SAVE},
    ),
    "tasks": Command(
        "changing", "tasks", "update the saved tasks to the plan, after the file was edited", flags=SAVE
    ),
    "add": Command(
        "add_record",
        "add",
        "add a cohort, place, variety, stay, programme ... by the names of its fields, or copy one; shows what moves first",
        _FIELDS,
        f"{_RECORDS}its name, and fields each with its value, such as: cohort B4 --like B3 --later 14d plants 120; a field may "
        "be a flag too: place H4 --kind 'hoop house' --area 180",
        flags=SAVE,
        own_flags=True,
    ),
    "set": Command(
        "set_record",
        "set_fields",
        "show a record by the names of its fields, or change fields; shows what moves first",
        _FIELDS,
        f"{_RECORDS}its name or several, and fields each with its new value, such as: cohort B4 plants 120 transplant 12 dec; "
        "none takes a value out; without a field the record is shown",
        flags=SAVE,
        own_flags=True,
    ),
    "rename": Command(
        "records",
        "rename",
        "give a cohort, place, variety or chore another name, and whatever names it",
        "SEASON KIND OLD NEW",
        f"{_RECORDS}its name, and the new one, such as: cohort B4 B5",
        flags=SAVE,
    ),
    "remove": Command(
        "records",
        "remove",
        "take a cohort, place, variety, stay, programme ... out with its tasks; refused where something stands on it",
        "SEASON KIND NAME",
        f"{_RECORDS}and its name, or several names of a kind, such as: cohort B4, or programme H3",
        flags=SAVE,
    ),
    "cohort": Command(
        "cohorts",
        "cohort",
        "the cohorts, or those chosen; or changes plants, spacing, place, part, variety or note of several at once",
        "SEASON COHORT ... FIELD VALUE",
        f"{_THEN}cohorts, else all, and to change them a field and its new value, such as: A1 A2 spacing 1.5x0.6",
        flags={**CHOICE, **SAVE},
    ),
    "variety": Command(
        "varieties",
        "variety",
        "every figure of a variety and where it comes from; or changes one, fits all to records or adds a variety, and shows what moves first",
        "SEASON ID FIGURE VALUE",
        f"{_THEN}a variety, one of its figures and its new value, such as: amber critical day 13:50, or amber drying "
        "7,10,14; or a variety and the word type, to see what each type would give, and a type, to give it",
        flags=SAVE,
        own_flags=True,
    ),
    "chores": Command(
        "chores",
        "chores",
        "the season's chores and how many tasks each makes; changes, adds or takes away one, and shows what moves first",
        "SEASON ID FIELD VALUE",
        f"{_THEN}a chore, one of its fields and its new value, such as: scout offset 10, or scout repeat FREQ=WEEKLY "
        "until harvest",
        flags=SAVE,
        own_flags=True,
    ),
    "load": Command(
        "load",
        "load",
        "hours, dryer, benches, room, lamps and samples by week against capacity, and what is behind over-full weeks",
        "SEASON KIND",
        f"{_THEN}kinds, else all: hours, dryer, trays, room, lamps, circuits, samples",
        flags={
            "--weeks": {"metavar": "N", "help": "only N weeks from this one on, else all of the season"},
            **WIDTH,
            **AT,
            **JSON,
        },
    ),
    "history": Command(
        "history",
        "history",
        "every saved change: when, who, what, and each field before and after; newest last",
        "SEASON WORD",
        f"{_THEN}words, to see only the changes that name them: a cohort, a place, a task, a person, or a change's number",
        flags=JSON,
        own_flags=True,
    ),
    "undo": Command(
        "history",
        "undo",
        "take the latest change back, one's own first, or as many as STEPS says; asks before another person's",
        "SEASON STEPS",
        f"{_THEN}how many changes, else one",
        flags=TAKE_BACK,
    ),
    "redo": Command(
        "history",
        "redo",
        "bring back what was undone last, or as much as STEPS says; asks before what another person undid",
        "SEASON STEPS",
        f"{_THEN}how many changes, else one",
        flags=TAKE_BACK,
    ),
    "export": Command(
        "exporting",
        "export",
        "files to hand on: a calendar for phones, tables, pages for the wall and the week",
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
        "a season of your own, by questions or flags, in a commented file",
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
}

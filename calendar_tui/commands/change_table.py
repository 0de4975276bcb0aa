"""The commands that change a season: its tasks, its dates and its records. A part of `table`."""

from __future__ import annotations

from collections.abc import Mapping

from calendar_tui.commands.flags import CAUSE, CHOICE, CHOSEN_TASKS, LANG, LIGHTS, SAVE, THEN
from calendar_tui.commands.parsing import Command

_SLIP_WORDS = "SEASON COHORT ... STAGE DATE"
_RECORDS = f"{THEN}what it is, such as cohort or place, "
_FIELDS = "SEASON KIND NAME FIELD VALUE"
_TASKS = f"{THEN}tasks by their ids, as `calendar-tui week` shows them, or by the beginnings of these"
CHANGES: Mapping[str, Command] = {
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
            "--spent": {
                "metavar": "HOURS",
                "help": "person-hours that it really took, such as 3.5, 3 h 30 or 45 min; those of several tasks together are "
                "shared out by the hours planned",
            },
            **CAUSE,
            **LIGHTS,
            **CHOSEN_TASKS,
            **LANG,
        },
    ),
    "scan": Command(
        "scanning",
        "scan",
        "read a hand scanner line by line: a task's code ticks it as of today, that of a bag, plot or tray is told",
        "SEASON",
        flags={"--on": {"metavar": "DATE", "help": "the day on which it was done, else today"}, **LANG},
    ),
    "skip": Command(
        "by_hand",
        "skip",
        "skip tasks, with the reason in their notes",
        "SEASON TASK",
        _TASKS,
        flags={
            "--why": {"metavar": "TEXT", "help": "the reason, kept in the tasks' notes"},
            **CHOSEN_TASKS,
            **LANG,
        },
    ),
    "move": Command(
        "by_hand",
        "move",
        "put tasks on another date, where they stay when the season is planned again",
        "SEASON TASK DATE",
        f"{THEN}tasks by their ids, and the date: 2026-12-09, 9 dec, a weekday, or +2 days from each task's own",
        flags={**CHOSEN_TASKS, **LANG},
    ),
    "note": Command(
        "by_hand",
        "note",
        "write a note on a task, in place of the one there was",
        "SEASON TASK TEXT",
        f'{THEN}a task by its id, and the text; "" takes the note away',
        flags={**CHOSEN_TASKS, **LANG},
    ),
    "reopen": Command(
        "by_hand",
        "reopen",
        "open tasks again that were done or skipped",
        "SEASON TASK",
        _TASKS,
        flags={**CHOSEN_TASKS, **LANG},
    ),
    "record": Command(
        "changing",
        "record",
        "record the date a stage happened, that pots were carried, or nights without lamps; shows what moves first",
        _SLIP_WORDS,
        f"{THEN}a cohort or several, a stage and its date; or cohorts, the word stay, a place and the date on which their "
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
            **CAUSE,
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
        f"{THEN}a cohort or several, a stage and its new date; or cohorts, the word stay, a place, and the date or the "
        "stage from which their pots stand there",
        flags={**CHOICE, **LIGHTS, **SAVE},
    ),
    "tasks": Command(
        "changing", "tasks", "update the saved tasks to the plan, after the file was edited", flags=SAVE
    ),
    "station": Command(
        "station",
        "station",
        "the temperatures that a season has; takes in a weather service's or logger's file, or a day's low and high; shows what moves first",
        "SEASON FILE",
        f"{THEN}a file of daily temperatures, or of readings within the day, as it was downloaded; or add, with a day's low and high, "
        "such as: add 12.1 27.3; nothing shows what there is",
        flags=SAVE,
        own_flags=True,
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
    "take": Command(
        "taking",
        "take",
        "take a table in again that export wrote and a spreadsheet changed; shows what is new, changed and moved first",
        "SEASON FILE.csv",
        f"{THEN}the table: an empty cell or a missing line leaves all as it is, - takes a value out, and a new id is a new record",
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
        f"{THEN}cohorts, else all, and to change them a field and its new value, such as: A1 A2 spacing 1.5x0.6",
        flags={**CHOICE, **SAVE},
    ),
    "variety": Command(
        "varieties",
        "variety",
        "every figure of a variety and where it comes from; or changes one, fits all to records or adds a variety, and shows what moves first",
        "SEASON ID FIGURE VALUE",
        f"{THEN}a variety, one of its figures and its new value, such as: amber critical day 13:50, or amber drying "
        "7,10,14; or a variety and the word type, to see what each type would give, and a type, to give it",
        flags=SAVE,
        own_flags=True,
    ),
    "chores": Command(
        "chores",
        "chores",
        "the season's chores and how many tasks each makes; changes, adds or takes away one, and shows what moves first",
        "SEASON ID FIELD VALUE",
        f"{THEN}a chore, one of its fields and its new value, such as: scout offset 10, or scout repeat FREQ=WEEKLY "
        "until harvest",
        flags=SAVE,
        own_flags=True,
    ),
}

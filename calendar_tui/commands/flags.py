"""The flags that several commands take."""

from __future__ import annotations

import argparse

from calendar_tui.commands.parsing import Flags

# How the words of a command begin that takes more than a season.
THEN = "a season file, which may be left out where there is just one; then "
JSON: Flags = {"--json": {"action": "store_true", "help": "print JSON"}}
WIDTH: Flags = {
    "--width": {"metavar": "N", "help": "lines of at most N characters, else as wide as the terminal"}
}
LANG: Flags = {
    "--lang": {
        "metavar": "CODE",
        "help": "in this language, such as es or en, in place of the season's or the computer's",
    }
}
ASCII: Flags = {"--ascii": {"action": "store_true", "help": "draw with plain ASCII characters"}}
AT: Flags = {"--at": {"metavar": "DATE", "help": "as the season was at the end of this date, by its history"}}
AT_READ_ONLY = {"--at": {**AT["--at"], "help": f"{AT['--at']['help']}; read-only"}}
CHOICE: Flags = {
    "--place": {"metavar": "PLACE", "help": "all cohorts that stand in this place, in place of naming them"},
    "--part": {"metavar": "PART", "help": "only those in this part of the place"},
    "--variety": {"metavar": "VARIETY", "help": "all cohorts of this variety, of those in the place"},
    "--planted": {
        "metavar": "DATE",
        "help": "those planted, or to be planted, on this date, such as 2026-12-08",
    },
}
SAVE: Flags = {
    "--all": {"action": "store_true", "help": "list every date and task that moves, where many do"},
    "--dry-run": {"action": "store_true", "help": "show what would move and save nothing"},
    "--yes": {"action": "store_true", "help": "save without asking"},
    **JSON,
}
OBSERVED: Flags = {
    "--date": {"metavar": "DATE", "help": "the day on which it was observed, else today; also written --on"},
    "--on": {"metavar": "DATE", "dest": "date", "help": argparse.SUPPRESS},
    "--who": {"metavar": "NAME", "help": "who looked"},
}
LIGHTS: Flags = {
    "--lights-off": {
        "metavar": "hold|shift|DATE",
        "help": "hold lights off where it was (the default with --yes), shift it by the delay, or put it on a date",
    }
}
TAKE_BACK: Flags = {
    "--change": {"metavar": "N", "help": "the change of this number, as the history has it, and no other"},
    "--yes": {"action": "store_true", "help": "do not ask, whoever made it"},
}
ASKED = {flag: SAVE[flag] for flag in ("--dry-run", "--yes")}
ALL_TASKS: Flags = {
    "--all": {"action": "store_true", "help": "list every task, and every date that moves, where many do"}
}
CAUSE: Flags = {
    "--cause": {
        "metavar": "TEXT",
        "help": "why it came on another day than planned, in a word or two, such as rain",
    },
}
CHOSEN_TASKS: Flags = {
    "--work": {
        "metavar": "WORDS",
        "help": "in place of ids: open tasks with these words in what is done, or of this chore",
    },
    "--until": {"metavar": "DATE", "help": "of these only what is due by this date"},
    **CHOICE,
    **ALL_TASKS,
    **ASKED,
}
FROM_TO: Flags = {
    "--from": {"dest": "from_", "metavar": "DATE", "help": "first date, else the season's first day"},
    "--to": {"metavar": "DATE", "help": "last date, else the season's last day"},
}
# What is told of persons and places where a season is handed on to others.
OPENNESS: Flags = {
    "--names": {"action": "store_true", "help": "with who observed, cut and sprayed, and with notes"},
    "--exact-place": {
        "action": "store_true",
        "help": "with the position as it is and the names of season and places",
    },
    "--licence": {"metavar": "ID", "help": "under which licence others may use it, such as CC-BY-4.0"},
}
# What the week shows.
WEEK: Flags = {
    "--role": {"metavar": "ROLE", "help": "only the tasks of this role"},
    "--place": {"metavar": "PLACE", "help": "only the tasks at this place"},
    "--cohort": {"metavar": "COHORT", "help": "only the tasks of this cohort"},
    "--days": {"metavar": "N", "help": "so many days from today on, in place of the week"},
    "--print": {
        "action": "store_true",
        "help": "a sheet to print, with boxes to tick and lines to write on",
    },
    "--brief": {
        "action": "store_true",
        "help": "one line, for a login; exit status 0 whatever there is",
    },
}
# How cohorts stand under each other, and which.
ARRANGED: Flags = {
    "--by": {
        "choices": ("place", "variety", "planting", "harvest"),
        "default": "place",
        "help": "group the cohorts by place (the default), variety, planting date or harvest month",
    },
    "--only": {
        "metavar": "WORDS",
        "default": "",
        "help": "only cohorts with these words in id, variety or place",
    },
}

"""The one registry of actions: keys, footer, help and palette all come from it."""

from __future__ import annotations

from dataclasses import dataclass

from textual.binding import Binding


@dataclass(frozen=True, slots=True)
class Action:
    """Something a key does.

    key: Textual's names, comma separated where several do the same. name: of the method action_NAME. says: one
    sentence for help. group: the view it belongs to. shown: the key as people write it. short: for the footer;
    "" where it is only in the help.
    """

    key: str
    name: str
    says: str
    group: str
    shown: str
    short: str = ""


ACTIONS = (
    Action("up,k", "cohort(-1)", "Select the cohort above.", "season", "Up"),
    Action("down,j", "cohort(1)", "Select the cohort below.", "season", "Down", "cohort"),
    Action("left", "time(-1)", "Move the time cursor one column back.", "season", "Left"),
    Action("right", "time(1)", "Move the time cursor one column on.", "season", "Right", "time"),
    Action(
        "pageup",
        "page(-1)",
        "Half a page back in time; in the whole season, up the cohorts.",
        "season",
        "PgUp",
    ),
    Action(
        "pagedown",
        "page(1)",
        "Half a page on in time; in the whole season, down the cohorts.",
        "season",
        "PgDn",
    ),
    Action("home", "end(-1)", "Move the time cursor to the first day.", "season", "Home"),
    Action("end", "end(1)", "Move the time cursor to the last day.", "season", "End"),
    Action("plus,equals_sign", "zoom(1)", "Zoom in: season, months, weeks, days.", "season", "+", "zoom"),
    Action("minus", "zoom(-1)", "Zoom out: days, weeks, months, season.", "season", "-"),
    Action("t", "today", "Move the time cursor to today.", "season", "t", "today"),
    Action(
        "enter",
        "open_cohort",
        "Open the selected cohort: every date and its reason.",
        "season",
        "Enter",
        "cohort",
    ),
    Action("w", "open_week", "Open this week's tasks.", "season", "w", "week"),
    Action(
        "r", "record", "Record a date that happened, and see first what it moves.", "season", "r", "record"
    ),
    Action("p", "step", "See how to bring the saved tasks in step with the plan.", "season", "p", "in step"),
    Action(
        "u", "undo", "Undo the last change of this season; again, the one before it.", "program", "u", "undo"
    ),
    Action("question_mark,f1", "help", "Show the keys, and what the glyphs mean.", "program", "?", "help"),
    Action("q,ctrl+q", "quit", "Leave the program; everything is saved already.", "program", "q", "quit"),
    Action("escape", "back", "Go back without saving anything.", "view", "Esc", "back"),
    Action("h", "hold", "Choose: hold lights-off on its date.", "moves", "h", "hold"),
    Action("s", "shift", "Choose: move lights-off by the delay.", "moves", "s", "shift"),
    Action("d", "other_date", "Choose another date for lights-off.", "moves", "d", "date"),
    Action("enter,y", "save", "Save what is chosen.", "moves", "Enter", "save"),
    Action("space", "tick", "Tick the task as done, or open it again.", "week", "Space", "tick"),
)


def in_group(*groups: str) -> tuple[Action, ...]:
    """The actions of these groups, in the registry's order."""
    return tuple(a for a in ACTIONS if a.group in groups)


def bindings(*groups: str) -> list[Binding]:
    """Textual's bindings for the actions of these groups."""
    return [
        Binding(a.key, a.name, a.short or a.says, show=bool(a.short), key_display=a.shown)
        for a in in_group(*groups)
    ]

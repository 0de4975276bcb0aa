"""The one registry of actions: keys, footer, help and palette all come from it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from rich.cells import cell_len
from textual.binding import Binding, BindingType


@dataclass(frozen=True, slots=True)
class Action:
    """Something a key does.

    key: Textual's names, comma separated where several do the same. name: of the method action_NAME. text: one
    sentence for help. group: the view it belongs to. shown: the key as people write it. short: for the footer;
    "" where it is only in the help.
    """

    key: str
    name: str
    text: str
    group: str
    shown: str
    short: str = ""


ACTIONS = (
    Action("up,k", "cohort(-1)", "Select the cohort above.", "season", "Up", "move"),
    Action("down,j", "cohort(1)", "Select the cohort below.", "season", "Down", "move"),
    Action("left", "time(-1)", "Move the time cursor one column back.", "season", "Left", "move"),
    Action("right", "time(1)", "Move the time cursor one column on.", "season", "Right", "move"),
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
    Action("minus", "zoom(-1)", "Zoom out: days, weeks, months, season.", "season", "-", "zoom"),
    Action("t", "today", "Move the time cursor to today.", "season", "t", "today"),
    Action(
        "enter",
        "open_cohort",
        "Open the selected cohort: every date and its reason.",
        "season",
        "Enter",
        "open",
    ),
    Action("w", "open_week", "Open this week's tasks.", "season", "w", "week"),
    Action(
        "r", "record", "Record a date that happened, and see first what it moves.", "season", "r", "record"
    ),
    Action(
        "space",
        "mark",
        "Mark the cohort, to record, plan or note an outage for several; again, unmark it.",
        "season",
        "Space",
        "mark",
    ),
    Action(
        "m",
        "mark_alike",
        "Mark the cohorts planted with it; again: on its date anywhere, of its variety, in its place, none.",
        "season",
        "m",
    ),
    Action("o", "outage", "Record an outage: nights on which lamps failed.", "season", "o"),
    Action("l", "open_lamps", "Open the lamps: what to set the timers to, week by week.", "season", "l"),
    Action(
        "h",
        "open_load",
        "Open the load by week: hours by role, dryer, benches, room, lamps, samples, against what there is.",
        "season",
        "h",
    ),
    Action(
        "n",
        "open_quantities",
        "Open what the season needs: seeds, trays, lamps, bags, and what is short.",
        "season",
        "n",
    ),
    Action(
        "d",
        "open_response",
        "Open the planting dates: what each date of a year comes to, for a variety and a place.",
        "season",
        "d",
    ),
    Action(
        "s",
        "open_stagger",
        "Open the staggering: cohorts planned backwards from harvest; drafts side by side.",
        "season",
        "s",
    ),
    Action(
        "v",
        "open_varieties",
        "Open the varieties: every figure, its mark, and a change of it.",
        "season",
        "v",
    ),
    Action(
        "c",
        "open_chores",
        "Open the chores: how many tasks each makes; change, add, switch off.",
        "season",
        "c",
    ),
    Action(
        "escape",
        "present",
        "Come back from the season as it was to the season as it is.",
        "past",
        "Esc",
        "back",
    ),
    Action(
        "p",
        "step",
        "See which saved tasks differ from the plan, and update them.",
        "season",
        "p",
        "tasks differ",
    ),
    Action(
        "u",
        "undo",
        "Undo your last change of this season; again, the one before it. Asks before another person's.",
        "program",
        "u",
        "undo",
    ),
    Action(
        "U",
        "redo",
        "Bring back what you undid last; again, what you undid before it. Asks before another person's.",
        "program",
        "U",
    ),
    Action(
        "y",
        "history",
        "Open the history: every change, undo and redo, and the season as it was.",
        "program",
        "y",
    ),
    Action("question_mark,f1", "help", "Show the keys, and what the glyphs mean.", "program", "?", "help"),
    Action(
        "ctrl+z",
        "suspend_process",
        "Leave the program for the shell, which gets it back with fg.",
        "program",
        "Ctrl+Z",
    ),
    Action("q,ctrl+q", "quit", "Leave the program; everything is saved already.", "program", "q", "quit"),
    Action("enter", "open_change", "Show every field of the change before and after.", "history", "Enter"),
    Action("a", "as_it_was", "Open the season as it was right after the change, read-only.", "history", "a"),
    Action("g", "go_here", "Undo or redo until the change is the last that stands.", "history", "g"),
    Action("escape", "back", "Go back without saving anything.", "view", "Esc", "back"),
    Action("h", "hold", "Choose: hold lights-off on its date.", "moves", "h", "hold"),
    Action("s", "shift", "Choose: move lights-off by the delay.", "moves", "s", "shift"),
    Action("d", "other_date", "Choose another date for lights-off.", "moves", "d", "date"),
    Action("enter,y", "save", "Save what is chosen.", "moves", "Enter", "save"),
    Action(
        "space",
        "tick",
        "Tick the task as done, or open it again; asks for what it records.",
        "week",
        "Space",
        "tick",
    ),
    Action(
        "o",
        "done_on",
        "Tick the task, or all that are marked, as done on another day than today.",
        "week",
        "o",
        "done on",
    ),
    Action(
        "m", "mark", "Mark the task, to do several at once; again, take its mark off.", "week", "m", "mark"
    ),
    Action(
        "M",
        "mark_all",
        "Mark all shown that are due by today; again: the later ones too; again: none.",
        "week",
        "M",
    ),
    Action("s", "skip_tasks", "Skip the task, or all that are marked, with the reason.", "week", "s", "skip"),
    Action("d", "move_tasks", "Move the task, or all that are marked, to another date.", "week", "d", "move"),
    Action("n", "note_tasks", "Write a note on the task, or on all that are marked.", "week", "n", "note"),
    Action(
        "slash",
        "filter",
        "Find tasks by their words, cohort, place or role; Esc shows all again.",
        "week",
        "/",
        "find",
    ),
    Action("g", "group", "Show the week by day, by place, or by role.", "week", "g", "group"),
    Action(
        "h",
        "open_load",
        "Open the load by week: hours by role, dryer, benches, room, lamps, samples, against what there is.",
        "week",
        "h",
    ),
    Action(
        "enter",
        "tasks",
        "Show the tasks or cohorts behind a row's week, the largest first, or hide them.",
        "load",
        "Enter",
    ),
    Action(
        "k",
        "next_kind",
        "Show the next kind: dryer, benches, room, lamps, circuits, samples, hours.",
        "load",
        "k",
    ),
    Action("o", "next_over", "Go to the next over-full week.", "load", "o"),
    Action("s", "switch_chore", "Switch the chore off, or on again.", "chores", "s"),
    Action("a", "add_chore", "Add a chore of your own, typed in one line.", "chores", "a"),
    Action("x", "remove_chore", "Take the chore away.", "chores", "x"),
    Action("w", "open_that_week", "Open the week under the cursor, to move its tasks.", "load", "w"),
)


# What changes the season, and is refused where it is shown as it was.
EDITS = frozenset(
    {
        "record",
        "outage",
        "step",
        "tick",
        "done_on",
        "skip_tasks",
        "move_tasks",
        "note_tasks",
        "change",
        "switch_chore",
        "add_chore",
        "remove_chore",
        "keep",
        "drop",
        "save",
        "undo",
        "redo",
        "go_here",
    }
)


def in_group(*groups: str) -> tuple[Action, ...]:
    """The actions of these groups, in the registry's order."""
    return tuple(a for a in ACTIONS if a.group in groups)


def bindings(*groups: str) -> list[BindingType]:
    """Textual's bindings for the actions of these groups."""
    return [
        Binding(a.key, a.name, a.short or a.text, show=bool(a.short), key_display=a.shown)
        for a in in_group(*groups)
    ]


# Between two pairs of a key and what it does.
GAP = "  "


def pairs_with_room(pairs: Sequence[tuple[str, str]], width: int) -> list[tuple[str, str]]:
    """The pairs that fit; where there are too many, the later ones give way, but for help and the last, the way out."""
    kept = list(pairs)
    while cell_len(GAP.join(" ".join(pair) for pair in kept)) > width:
        later = [pair for pair in kept[:-1] if pair[0] != "?"][-1:] or kept[:-1]
        if not later:
            break
        kept.remove(later[0])
    return kept


# What the footer leaves out first where there is little room.
_LEFT_OUT_FIRST = ("today", "move", "zoom", "open")


def footer(actions: Iterable[Action], width: int, arrows: Mapping[str, str]) -> list[tuple[str, str]]:
    """The keys and their words for a footer this many cells wide, two blanks between; arrows: glyphs by key."""
    pairs = [
        (_keys([a.shown for a in group], arrows), word)
        for word, group in groupby((a for a in actions if a.short), key=lambda a: a.short)
    ]
    for word in _LEFT_OUT_FIRST:
        if sum(len(keys) + len(word) + 3 for keys, word in pairs) - 2 <= width:
            break
        pairs = [pair for pair in pairs if pair[1] != word]
    return pairs_with_room(pairs, width)


def _keys(shown: list[str], arrows: Mapping[str, str]) -> str:
    if len(shown) > 2 and not arrows:
        return "arrows"
    return "".join(arrows.get(key, key) for key in shown)

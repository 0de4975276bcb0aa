"""Every key of every view: what is bound, and what the footers, the help and the palette call it."""

from __future__ import annotations

from collections.abc import Mapping

# By view, or part of one that several have. Each key: Textual's names, comma separated where several do the same; the
# action, with its arguments, "" where the field that is typed in does it, or the mouse; the key as people write it; its
# word in the season view's footer; a sentence for the help and the palette, "" where the key above tells it too.
# fmt: off
KEYS: Mapping[str, tuple[tuple[str, str, str, str, str], ...]] = {
    "season": (
        ("up,k", "cohort(-1)", "Up", "move", "Select the cohort above."),
        ("down,j", "cohort(1)", "Down", "move", "Select the cohort below."),
        ("left", "time(-1)", "Left", "move", "Move the time cursor one column back."),
        ("right", "time(1)", "Right", "move", "Move the time cursor one column on."),
        ("pageup", "page(-1)", "PgUp", "", "Half a page back in time; in the whole season, up the cohorts."),
        ("pagedown", "page(1)", "PgDn", "", "Half a page on in time; in the whole season, down the cohorts."),
        ("home", "end(-1)", "Home", "", "Move the time cursor to the first day."),
        ("end", "end(1)", "End", "", "Move the time cursor to the last day."),
        ("plus,equals_sign", "zoom(1)", "+", "zoom", "Zoom in: season, months, weeks, days."),
        ("minus", "zoom(-1)", "-", "zoom", "Zoom out: days, weeks, months, season."),
        ("t", "today", "t", "today", "Move the time cursor to today."),
        ("enter", "open_cohort", "Enter", "open", "Open the selected cohort: every date and its reason."),
        ("w", "open_week", "w", "week", "Open this week's tasks."),
        ("r", "record", "r", "record", "Record a date that happened, and see first what it moves."),
        ("space", "mark", "Space", "mark", "Mark the cohort, to record, plan or note an outage for several; again, unmark it."),
        ("m", "mark_alike", "m", "", "Mark the cohorts planted with it; again: on its date anywhere, of its variety, in its place, none."),
        ("o", "outage", "o", "", "Record an outage: nights on which lamps failed."),
        ("l", "open_lamps", "l", "", "Open the lamps: what to set the timers to, week by week."),
        ("h", "open_load", "h", "", "Open the load by week: hours by role, dryer, benches, room, lamps, samples, against what there is."),
        ("n", "open_quantities", "n", "", "Open what the season needs: seeds, trays, lamps, bags, and what is short."),
        ("d", "open_response", "d", "", "Open the planting dates: what each date of a year comes to, for a variety and a place."),
        ("s", "open_stagger", "s", "", "Open the staggering: cohorts planned backwards from harvest; drafts side by side."),
        ("v", "open_varieties", "v", "", "Open the varieties: every figure, its mark, and a change of it."),
        ("c", "open_chores", "c", "", "Open the chores: how many tasks each makes; change, add, switch off."),
        ("p", "step", "p", "tasks differ", "See which saved tasks differ from the plan, and update them."),
    ),
    "past": (
        ("escape", "present", "Esc", "back", "Come back from the season as it was to the season as it is."),
    ),
    "program": (
        ("u", "undo", "u", "undo", "Undo your last change of this season; again, the one before it. Asks before another person's."),
        ("U", "redo", "U", "", "Bring back what you undid last; again, what you undid before it. Asks before another person's."),
        ("y", "history", "y", "", "Open the history: every change, undo and redo, and the season as it was."),
        ("question_mark,f1", "help", "?", "help", "Show the keys, and what the glyphs mean."),
        ("ctrl+z", "suspend_process", "Ctrl+Z", "", "Leave the program for the shell, which gets it back with fg."),
        ("q,ctrl+q", "quit", "q", "quit", "Leave the program; everything is saved already."),
    ),
    "history": (
        ("enter", "open_change", "Enter", "", "Show every field of the change before and after."),
        ("a", "as_it_was", "a", "", "Open the season as it was right after the change, read-only."),
        ("g", "go_here", "g", "", "Undo or redo until the change is the last that stands."),
    ),
    "view": (
        ("escape", "back", "Esc", "back", "Go back without saving anything."),
    ),
    "moves": (
        ("h", "hold", "h", "hold", "Choose: hold lights-off on its date."),
        ("s", "shift", "s", "shift", "Choose: move lights-off by the delay."),
        ("d", "other_date", "d", "date", "Choose another date for lights-off."),
        ("enter,y", "save", "Enter", "save", "Save what is chosen."),
    ),
    "week": (
        ("space", "tick", "Space", "tick", "Tick the task as done, or open it again; asks for what it records."),
        ("o", "done_on", "o", "done on", "Tick the task, or all that are marked, as done on another day than today."),
        ("m", "mark", "m", "mark", "Mark the task, to do several at once; again, take its mark off."),
        ("M", "mark_all", "M", "", "Mark all shown that are due by today; again: the later ones too; again: none."),
        ("s", "skip_tasks", "s", "skip", "Skip the task, or all that are marked, with the reason."),
        ("d", "move_tasks", "d", "move", "Move the task, or all that are marked, to another date."),
        ("n", "note_tasks", "n", "note", "Write a note on the task, or on all that are marked."),
        ("slash", "filter", "/", "find", "Find tasks by their words, cohort, place or role; Esc shows all again."),
        ("g", "group", "g", "group", "Show the week by day, by place, or by role."),
        ("h", "open_load", "h", "", "Open the load by week: hours by role, dryer, benches, room, lamps, samples, against what there is."),
        ("left,left_square_bracket", "week(-1)", "Left [", "", "The week before."),
        ("right,right_square_bracket", "week(1)", "Right ]", "", "The week after."),
        ("t", "this_week", "t", "", "This week."),
        ("up", "step(-1)", "Up", "", ""),
        ("down", "step(1)", "Down", "", ""),
    ),
    "load": (
        ("enter", "tasks", "Enter", "", "Show the tasks or cohorts behind a row's week, the largest first, or hide them."),
        ("k", "next_kind", "k", "", "Show the next kind: dryer, benches, room, lamps, circuits, samples, hours."),
        ("o", "next_over", "o", "", "Go to the next over-full week."),
        ("w", "open_that_week", "w", "", "Open the week under the cursor, to move its tasks."),
        ("t", "this_week", "t", "", "This week."),
    ),
    "chores": (
        ("s", "switch_chore", "s", "", "Switch the chore off, or on again."),
        ("a", "add_chore", "a", "", "Add a chore of your own, typed in one line."),
        ("x", "remove_chore", "x", "", "Take the chore away."),
        ("enter", "open_chore", "Enter", "", "Open the chore's fields; there, type another value and see what that moves."),
    ),
    "cohort": (
        ("r", "record", "r", "", "Record a date that happened, and see first what it moves."),
        ("d", "days", "d", "", "See how its dates are worked out, day by day."),
    ),
    "record": (
        ("up", "stage(-1)", "Up Down", "", "Choose the stage, also while typing the date."),
        ("down", "stage(1)", "Down", "", ""),
        ("enter", "submit", "Enter", "", "Show what the date would move."),
        ("ctrl+t", "switch", "Ctrl+T", "", "Change between recording a date and planning it again."),
        ("p", "switch", "p", "", ""),
    ),
    "done": (
        ("enter", "", "Enter", "", "On to the next that is asked for; after the last, tick all as one change."),
        ("ctrl+n", "nothing", "Ctrl+N", "", "Nothing to note with those that are left: tick all now."),
        ("up", "task(-1)", "Up Down", "", "Choose the task, also while typing; Tab changes between the day and the note."),
        ("down", "task(1)", "Down", "", ""),
    ),
    "outage": (
        ("up", "place(-1)", "Up Down", "", "Choose the place, also while typing the nights."),
        ("down", "place(1)", "Down", "", ""),
        ("tab", "", "Tab", "", "Change between the first and the last night."),
        ("enter", "", "Enter", "", "Show what the nights without lamps would move."),
    ),
    "lamps": (
        ("left,left_square_bracket", "place(-1)", "Left [", "", "The place before; those of the cohort that was selected come first."),
        ("right,right_square_bracket", "place(1)", "Right ]", "", "The place after."),
        ("t", "this_week", "t", "", "This week."),
    ),
    "varieties": (
        ("left,left_square_bracket", "variety(-1)", "Left [", "", "The variety before."),
        ("right,right_square_bracket", "variety(1)", "Right ]", "", "The variety after."),
    ),
    "value": (
        ("enter", "change", "Enter", "", "Type another value for the figure, and where it comes from; then see what that moves."),
    ),
    "response": (
        ("left", "day(-1)", "Arrows", "", "The planting date before or after; PgUp and PgDn four weeks, Home and End to the ends."),
        ("right", "day(1)", "Right", "", ""),
        ("pageup", "day(-28)", "PgUp", "", ""),
        ("pagedown", "day(28)", "PgDn", "", ""),
        ("home", "day(-365)", "Home", "", ""),
        ("end", "day(365)", "End", "", ""),
        ("v", "next('variety')", "v", "", "The next variety."),
        ("p", "next('place')", "p", "", "The next place, or part of a screened one."),
        ("n", "next('nursery')", "n", "", "The next nursery or none."),
        ("s", "next('start')", "s", "", "Seed or cuttings."),
        ("o", "next('lights_off')", "o", "", "Natural days, or lamps for 2, 4, 6 or 8 weeks."),
        ("enter", "take_date", "Enter", "", ""),
    ),
    "drafts": (
        ("enter", "open", "Enter", "", "Open a draft, or ask for a new one."),
        ("x", "drop", "x", "", "Take a draft out."),
    ),
    "scheme": (
        ("enter,y", "save", "Enter", "", "On a proposal, make it the plan: what it adds is shown first."),
        ("k", "keep", "k", "", "Keep a proposal as a draft."),
    ),
    "added": (
        ("enter,y", "save", "Enter", "", "Save what a proposal adds."),
        ("o", "confirm", "o", "", "Accept a proposal that is over a hard limit."),
    ),
    "stagger": (
        ("up", "choice(-1)", "Up Down", "", "Choose an answer, also while typing."),
        ("down", "choice(1)", "Down", "", ""),
        ("escape", "", "Esc", "", "The step before; while it searches, stop with the best found so far."),
    ),
    "question": (
        ("y", "answer(True)", "y", "", "Yes."),
        ("n", "answer(False)", "n", "", "No, as Esc."),
    ),
    "problems": (
        ("R,r", "reload", "R", "", "Read the file again."),
        ("q", "quit", "q", "", ""),
    ),
    "list": (
        ("up", "step(-1)", "Up", "", ""),
        ("down", "step(1)", "Down", "", ""),
        ("pageup", "page(-1)", "PgUp", "", ""),
        ("pagedown", "page(1)", "PgDn", "", ""),
        ("home", "jump(0)", "Home", "", ""),
        ("end", "jump(-1)", "End", "", ""),
    ),
    "mouse": (
        ("", "", "Wheel", "", "Move the cursor of a list, or scroll a page."),
        ("", "", "Click", "", "Select a row of a list; on the chart, a cohort and a day."),
        ("", "", "Shift", "", "Hold it while you drag, to select text of the screen and copy it."),
    ),
}
# fmt: on
# Keys that act also while something is typed.
EVEN_TYPING = frozenset({"ctrl+t", "ctrl+n"})

# The sections of the help in order: name, title, and whose keys stand there.
# fmt: off
SECTIONS: tuple[tuple[str, str, tuple[str, ...]], ...] = (
    ("season", "In the season view", ("season",)),
    ("week", "In the week view", ("week",)),
    ("record", "Where a date is recorded", ("record",)),
    ("done", "Where tasks are ticked with a day or a note", ("done",)),
    ("outage", "Where nights without lamps are recorded", ("outage",)),
    ("lamps", "In the lamps view", ("lamps",)),
    ("varieties", "In the varieties", ("varieties", "value")),
    ("response", "In the planting dates", ("response",)),
    ("stagger", "In the staggering", ("drafts", "scheme", "added", "stagger")),
    ("cohort", "In a cohort", ("cohort",)),
    ("load", "In the load", ("load",)),
    ("chores", "In the chores", ("chores",)),
    ("moves", "Where old and new dates are shown", ("moves",)),
    ("history", "In the history", ("history",)),
    ("past", "In the season as it was", ("past",)),
    ("question", "Where a question is asked", ("question",)),
    ("problems", "In a season with problems", ("problems",)),
    ("view", "In every other view", ("view",)),
    ("program", "Everywhere", ("program",)),
    ("mouse", "With the mouse", ("mouse",)),
)
# fmt: on

# The line of keys at the foot of a view, or of a state of one behind a dot: keys and what they do, two blanks between.
# fmt: off
FEET: Mapping[str, str] = {
    "page": "up/down scroll  PgUp/PgDn page  esc back",
    "said": "up/down scroll  esc back",
    "week": "space tick  o done on  m mark  s skip  d move  n note  / find  ? help  esc back",
    "typed": "enter save  esc back, nothing saved",
    "done": "enter tick  due: when due  up/down task  esc back",
    "done.fact": "enter next  ctrl+n nothing to note  up/down task  tab day or note  esc back",
    "record": "up/down stage  enter see what moves  ctrl+t record or plan again  esc back",
    "outage": "up/down place  tab first or last night  enter see what moves  esc back",
    "moves": "enter save  up/down scroll  esc back",
    "moves.choice": "h hold  s shift  d other date  enter save {chosen}  up/down scroll  esc back",
    "moves.date": "enter show it  esc back",
    "question": "y {yes}  up/down scroll  n or esc {no}",
    "lamps": "left/right place  up/down week  t this week  esc back",
    "load": "k kind  enter tasks  o next over-full  t today  w week  ? help  esc back",
    "varieties": "left/right variety  up/down figure  enter change it  u undo  esc back",
    "value.typed": "tab value or mark  enter see what moves  esc back",
    "chores": "up/down chore  enter fields  s off/on  a add  x take away  u undo  esc back",
    "chores.add": "enter see what moves  esc back",
    "value": "up/down field  enter change it  u undo  esc back",
    "history": "up/down change  enter fields  a as it was  g go here  u undo  U redo  esc back",
    "history.change": "up/down scroll  PgUp/PgDn page  a as it was  g go here  esc back",
    "cohort": "up/down scroll  PgUp/PgDn page  r record a date  d day by day  esc back",
    "problems": "up/down scroll  R read the file again  q quit",
    "response": "left/right day  PgUp/PgDn 4 weeks  v variety  p place  n nursery  s seed, cuttings  o lamps  esc back",
    "stagger": "up/down choose  enter next  esc back",
    "drafts": "up/down choose  enter open  x take out  esc back",
    "scheme": "enter what it adds, then save  k keep as a draft  up/down scroll  esc back",
    "added": "enter or y save  up/down scroll  esc back",
    "added.over": "o accept over the limits  up/down scroll  esc back",
}
# fmt: on

"""Every key of every view, a row each: what is bound, and what the footers, the help and the palette call it."""

from __future__ import annotations

from collections.abc import Mapping

from calendar_tui.screens.kit.key import PAGES, STEPS, Key, up_and_down
from calendar_tui.screens.kit.trial_keys import TRIAL_KEYS

# By view, or part of one that several have. What comes first in a group stands first in a footer, and stays there
# longest where there is little room.
# fmt: off
KEYS: Mapping[str, tuple[Key, ...]] = {
    "chart": (
        Key("enter", "open_cohort", "Enter", "open", "Open the selected cohort: every date and its reason."),
        Key("plus,equals_sign", "zoom(1)", "+", "zoom", "Zoom in: season, months, weeks, days."),
        Key("minus", "zoom(-1)", "-", "zoom", "Zoom out: days, weeks, months, season."),
        Key("up,k", "cohort(-1)", "Up", "move", "Select the cohort above."),
        Key("down,j", "cohort(1)", "Down", "move", "Select the cohort below."),
        Key("left", "time(-1)", "Left", "move", "Move the time cursor one column back."),
        Key("right", "time(1)", "Right", "move", "Move the time cursor one column on."),
        Key("0", "today", "0", "", "Move the time cursor to today."),
        Key("pageup", "page(-1)", "PgUp", "", "Half a page back in time; in the whole season, up the cohorts."),
        Key("pagedown", "page(1)", "PgDn", "", "Half a page on in time; in the whole season, down the cohorts."),
        Key("home", "end(-1)", "Home", "", "Move the time cursor to the first day."),
        Key("end", "end(1)", "End", "", "Move the time cursor to the last day."),
    ),
    "season": (
        Key("t", "open('today')", "t", "today", "Open what waits today: to record, to decide, work by place, lamps tonight."),
        Key("w", "open('week')", "w", "week", "Open this week's tasks."),
        Key("r", "act('record')", "r", "record", "Record a date that happened, and see first what it moves.", edits=True),
        Key("space", "mark", "Space", "", "Mark the cohort, to record, plan or note an outage for several; again, unmark it."),
        Key("p", "update_tasks", "p", "tasks", "See which saved tasks differ from the plan, and update them.", edits=True),
        Key("a", "act('add', True)", "a", "add", "Add a cohort like the selected one, or several; from there anything else.", edits=True),
        Key("e", "act('change')", "e", "change", "Change the fields of the cohort, or of all that are marked.", edits=True),
        Key("x", "act('take_out')", "x", "", "Take the cohort, or all that are marked, out of the season; what goes with it is shown first.", edits=True),
        Key("E", "open_about('editor')", "E", "", "Open the season file in your editor, at the cohort; it is read again after."),
        Key("f", "open('farm')", "f", "", "Open the farm: places, varieties, crew, capacities; add, change, take out."),
        Key("m", "mark_alike", "m", "", "Mark the cohorts planted with it; again: on its date anywhere, of its variety, in its place, none."),
        Key("b", "arrange", "b", "", "Arrange the cohorts by place, variety, planting date or harvest month."),
        Key("z", "fold", "z", "", "Fold the group of the selected cohort into one row, or unfold it."),
        Key("exclamation_mark", "next_clash", "!", "", "Go to the next cohort with a clash."),
        Key("slash", "find", "/", "", "Find cohorts by words of id, variety, place, as you type."),
        Key("M", "mark_shown", "M", "", "Mark all cohorts that are shown; again, take the marks off."),
        Key("o", "act('outage')", "o", "", "Record an outage: nights on which lamps failed.", edits=True),
        Key("g", "act('stay')", "g", "", "Carry its pots into another place, on a day that was or is to come.", edits=True),
        Key("S", "act('spray', True)", "S", "", "Record a spray of the place where the cohort stands: until when nobody enters it.", edits=True),
        Key("R", "open_about('trend')", "R", "", "Open the trend: what results say of total THC on the days to come, and when the limit is reached."),
        Key("C", "open_lots", "C", "", "Open the day to cut: from when to when each lot may be cut, its official sample, of all marked cohorts at once, what another way would win."),
        Key("F", "open('trials')", "F", "", "Open the trials: the map of each, plot by plot; draw one into its plots."),
        Key("O", "open('field_book')", "O", "", "Open the field book: what is observed, typed plot by plot; what is due and missing."),
        Key("L", "open('rules')", "L", "", "Open the rules: each profile with its date and source; take one in."),
        Key("l", "open_about('lamps')", "l", "", "Open the lamps: what to set the timers to, week by week."),
        Key("h", "open('load')", "h", "", "Open the load by week: hours by role, dryer, benches, room, lamps, samples, against what there is."),
        Key("B", "open('bags')", "B", "", "Open the bags: what is to be cut for the laboratory this week, and who has what."),
        Key("i", "open('results')", "i", "", "Open the laboratory's results: due, overdue, in, kept aside; enter one, or take in a file."),
        Key("n", "open_about('quantities')", "n", "", "Open what the season needs: seeds, trays, lamps, bags, and what is short."),
        Key("d", "open_about('response')", "d", "", "Open the planting dates: what each date of a year comes to, for a variety and a place."),
        Key("s", "open_about('stagger')", "s", "", "Open the staggering: cohorts planned backwards from harvest; drafts side by side."),
        Key("v", "open_varieties", "v", "", "Open the varieties: every figure, its mark, and a change of it."),
        Key("H", "open_about('drying')", "H", "", "Open the harvest and the dryer: passes, what dries, since when and until when; record from there."),
        Key("Z", "open('review')", "Z", "", "Open the review: what the season taught, dates, hours, lamps, causes; carry a figure forward."),
        Key("P", "open('print')", "P", "", "Print this week's work, or the season for the wall: written as a page beside the season."),
        Key("c", "open('chores')", "c", "", "Open the chores: how many tasks each makes; change, add, switch off."),
    ),
    "words": (
        Key("enter", "end_words", "Enter", "keep", ""),
        *up_and_down("move"),
        Key("backspace", "shorter", "Backspace", "", ""),
        Key("ctrl+u", "none", "Ctrl+U", "", ""),
        Key("escape", "", "Esc", "show all", ""),
    ),
    "past": (
        Key("escape", "back", "Esc", "back", "Show all cohorts again, take the marks off, or come back from the season as it was."),
    ),
    "undo": (
        Key("u", "app.undo", "u", "undo", "Undo your last change of this season; again, the one before it. Asks before another person's.", edits=True),
    ),
    "redo": (
        Key("U", "app.redo", "U", "redo", "Bring back what you undid last; again, what you undid before it. Asks before another person's.", edits=True),
    ),
    "help": (
        Key("question_mark,f1", "app.help", "?", "help", "Show the keys, and what the glyphs mean."),
    ),
    "program": (
        Key("y", "app.history", "y", "", "Open the history: every change, undo and redo, and the season as it was."),
        Key("ctrl+o", "app.messages", "Ctrl+O", "", "Read the messages in full: what the footer's line has no room for, and those before."),
        Key("Y", "app.copy", "Y", "", "Copy to the clipboard: the row under the cursor, the selected cohort's dates, or the page."),
        Key("T", "app.colours", "T", "", "Change the colours: the terminal's own, for a dark background, for a light one."),
        Key("ctrl+z", "app.suspend_process", "Ctrl+Z", "", "Leave the program for the shell, which gets it back with fg."),
        Key("q,ctrl+q", "app.quit", "q", "quit", "Leave the program; what was changed is saved already."),
    ),
    "anything": (
        Key("ctrl+p", "app.palette", "Ctrl+P", "go to", "Find an action, cohort, place, date or task by its words, and go there."),
    ),
    "palette": (
        Key("enter", "", "Enter", "go there", "Go to what the cursor stands on, or do it."),
        Key("up", "step(-1)", "Up", "choose", "Choose, also while typing."),
        Key("down", "step(1)", "Down", "choose", ""),
        *PAGES,
    ),
    "view": (
        Key("escape", "back", "Esc", "back", "Go back without saving anything."),
    ),
    "page": (
        *up_and_down("scroll"),
        Key("pageup", "", "PgUp", "page", ""),
        Key("pagedown", "", "PgDn", "page", ""),
    ),
    "list": (
        *STEPS,
        *PAGES,
        Key("home", "jump(0)", "Home", "", ""),
        Key("end", "jump(-1)", "End", "", ""),
    ),
    "history": (
        Key("enter", "open_change", "Enter", "fields", "Show every field of the change before and after."),
    ),
    "change": (
        Key("a", "as_it_was", "a", "as it was", "Open the season as it was right after the change, read-only."),
        Key("g", "go_here", "g", "go here", "Undo or redo until the change is the last that stands.", edits=True),
    ),
    "changes": up_and_down("change"),
    "answers": (
        Key("h", "hold", "h", "hold", "Choose: hold lights-off on its date."),
        Key("s", "shift", "s", "shift", "Choose: move lights-off by the delay."),
        Key("d", "other_date", "d", "other date", "Choose another date for lights-off."),
    ),
    "moves": (
        Key("enter,y", "save", "Enter", "save{chosen}", "Save what is chosen.", edits=True),
    ),
    "typed date": (
        Key("enter", "", "Enter", "show it", ""),
    ),
    "tasks in a list": (
        Key("space", "tick", "Space", "tick", "Tick the task as done, or open it again; asks for what it records.", edits=True),
        Key("o", "done_on", "o", "done on", "Tick the task, or all that are marked, as done on another day than today.", edits=True),
        Key("m", "mark", "m", "mark", "Mark the task, to do several at once; again, take its mark off."),
        Key("a", "mark_place", "a", "place", "Mark all work at the place of the task that is due by today; again: the later work too; again: none."),
        Key("M", "mark_all", "M", "", "Mark all shown that are due by today; again: the later ones too; again: none."),
        Key("s", "skip_tasks", "s", "skip", "Skip the task, or all that are marked, with the reason.", edits=True),
        Key("d", "move_tasks", "d", "move", "Move the task, or all that are marked, to another date.", edits=True),
        Key("n", "note_tasks", "n", "note", "Write a note on the task, or on all that are marked.", edits=True),
        *STEPS,
    ),
    "week": (
        Key("slash", "filter", "/", "find", "Find tasks by their words, cohort, place or role."),
        Key("g", "group", "g", "group", "Show the week by day, by place, or by role."),
        Key("left,left_square_bracket", "week(-1)", "Left [", "week", "The week before."),
        Key("right,right_square_bracket", "week(1)", "Right ]", "week", "The week after."),
        Key("t", "this_week", "t", "this week", "This week."),
        Key("P", "print", "P", "print", "Print the week's work, or the season for the wall: written as a page beside the season."),
        Key("h", "open_load", "h", "load", "Open the load by week: hours by role, dryer, benches, room, lamps, samples, against what there is."),
        Key("B", "open_bags", "B", "", "Open the bags: what is to be cut for the laboratory this week, and who has what."),
        Key("enter", "open_task", "Enter", "open", "Open the field book of a task that observes, on its day; else its cohort."),
    ),
    "today": (
        Key("enter", "open_row", "Enter", "open", "Open what the row is about: the record form, the cohort, the field book, the lamps, the history."),
        Key("w", "open_week", "w", "week", "Open this week's tasks."),
        Key("P", "print", "P", "print", "Print the week's work, or the season for the wall: written as a page beside the season."),
        Key("H", "open_drying", "H", "", "Open the harvest and the dryer; from the row of a task, to record a pass of its cohort."),
        Key("S", "record_spray", "S", "", "Record a spray; from the row of a task, of its place.", edits=True),
    ),
    "print": (
        Key("enter", "write", "Enter", "write the page", "Write the page into the folder; over one that is there where it is pressed again."),
        Key("p", "paper", "p", "paper", "Change between A4 and A3, letter and tabloid."),
        Key("tab", "", "Tab", "folder", "Change between the pages and the folder."),
        *up_and_down("page"),
    ),
    "typed": (
        Key("enter", "", "Enter", "save", ""),
        Key("escape", "", "Esc", "back", ""),
    ),
    "load": (
        Key("k", "next_kind", "k", "kind", "Show the next kind: dryer, benches, room, lamps, circuits, samples, hours."),
        Key("enter", "tasks", "Enter", "tasks", "Show the tasks or cohorts behind a row's week, the largest first, or hide them."),
        Key("o", "next_over", "o", "next over-full", "Go to the next over-full week."),
        Key("w", "open_that_week", "w", "week", "Open the week under the cursor, to move its tasks."),
        Key("t", "this_week", "t", "this week", "This week."),
        *up_and_down("row"),
    ),
    "bags": (
        Key("enter", "cut_bags", "Enter", "cut", "Record the marked bags, else all of the trip that are to cut, as cut today; a later trip's get their ids ahead, for labels. On a bag that is at a laboratory, enter its result.", edits=True),
        Key("space", "mark", "Space", "mark", "Mark the bag; again, take its mark off."),
        Key("a", "mark_trip", "a", "all", "Mark all bags of the trip, or all that stand with it; again, none."),
        Key("s", "send_bags", "s", "sent", "Record the bag, or all that are marked, as sent today.", edits=True),
        Key("l", "lose_bags", "l", "lost", "Record the bag, or all that are marked, as lost; those of a day before that were not cut are left out for good.", edits=True),
        Key("c", "cut_again", "c", "cut again", "Record a new bag in place of this one, or of all that are marked.", edits=True),
        Key("left,left_square_bracket", "week(-1)", "Left [", "week", "The week before."),
        Key("right,right_square_bracket", "week(1)", "Right ]", "week", "The week after."),
        Key("t", "this_week", "t", "this week", "This week."),
        *up_and_down("bag"),
    ),
    "trip": (
        Key("enter", "cut_trip", "Enter", "cut", "Record the bags with a mark as cut, and tick their work; what it writes is shown first.", edits=True),
        Key("space", "mark", "Space", "cut/not", "Mark the bag as cut; again, as not cut."),
        Key("a", "mark_all", "a", "all", "Mark all bags as cut; again, none."),
        Key("o", "other_day", "o", "day", "Cut on another day than the one in the heading."),
        *up_and_down("bag"),
    ),
    "results": (
        Key("i", "import_file", "i", "take in a file", "Take in a laboratory's file: how it is written is shown, then what it brings, before anything is saved.", edits=True),
    ),
    "typed file": (
        Key("enter", "", "Enter", "read it", ""),
        Key("escape", "", "Esc", "back", ""),
    ),
    "drying": (
        Key("p", "record_pass", "p", "pass", "Record a pass: what was cut and weighed; the last one records the harvest.", edits=True),
        Key("r", "read_batch", "r", "reading", "Record a reading of the batch: water, weight, air.", edits=True),
        Key("o", "take_batch_out", "o", "out", "Record that the batch is out of the dryer, today or on a day, with its dry weight.", edits=True),
    ),
    "chores": (
        Key("s", "switch_chore", "s", "off/on", "Switch the chore off, or on again.", edits=True),
    ),
    "form fields": (
        Key("enter", "enter", "Enter", "next", "On to the next field; after the last, show what moves."),
        Key("tab", "complete", "Tab", "complete", "Take the name that completes what is typed; else on to the next field."),
        Key("shift+tab", "step(-1)", "Shift+Tab", "", "Back to the field before."),
        Key("pageup", "", "PgUp PgDn", "pick", "Take the next of the names a field may have, or the one before."),
        Key("pagedown", "", "PgDn", "pick", ""),
        Key("right", "edit('right')", "Right", "", "Take the completion, at the end of what is typed; else go on by a letter."),
        Key("left", "edit('left')", "Left", "", ""),
        Key("backspace", "edit('backspace')", "Backspace", "", ""),
        Key("delete", "edit('delete')", "Delete", "", ""),
        Key("ctrl+u", "edit('clear')", "Ctrl+U", "", "Take out all that is typed in the field."),
    ),
    "form": (
        Key("ctrl+s", "see_moves", "Ctrl+S", "see what moves", "Show all that would move, to be saved there."),
    ),
    "records": (
        Key("enter,e", "change", "Enter", "change", "Open the fields of what the cursor is on, to change them.", edits=True),
        Key("a", "add", "a", "add", "Add one more of the kind under the cursor; from there anything else.", edits=True),
        Key("x", "take_out", "x", "take out", "Take it out of the season; what goes with it is shown first.", edits=True),
        Key("c", "copy_record", "c", "copy", "Add one like it: its name is proposed, and what is typed differs.", edits=True),
    ),
    "add form": (
        Key("ctrl+t", "other_kind", "Ctrl+T", "other kind", "Add something else: a place, a variety, a programme, a stay, a chore, an outage, a trial."),
    ),
    "kinds": (
        Key("enter", "choose", "Enter", "choose", "Choose what to add."),
        *up_and_down("move"),
    ),
    "cohort": (
        Key("r", "record", "r", "record a date", "Record a date that happened, and see first what it moves.", edits=True),
        Key("d", "days", "d", "day by day", "See how its dates are worked out, day by day."),
        Key("R", "trend", "R", "trend", "See what the results of its samples say of the days to come."),
        Key("C", "lot", "C", "day to cut", "See from when to when it may be cut, and its official sample."),
    ),
    "record": (
        Key("enter", "submit", "Enter", "see what moves", "Show what the date would move."),
        Key("up", "stage(-1)", "Up Down", "stage", "Choose the stage, also while typing the date."),
        Key("down", "stage(1)", "Down", "stage", ""),
        Key("ctrl+t", "switch", "Ctrl+T", "record, plan, not yet", "Change from recording a date to planning it again, to noting that it is not there yet."),
        Key("p", "switch", "p", "", ""),
        Key("tab", "", "Tab", "", "Change between the date and what was found: a text, = for what was planned of each, A2=23 for one."),
    ),
    "done": (
        Key("enter", "", "Enter", "tick", ""),
        Key("", "", "due:", "when due", ""),
    ),
    "notes": (
        Key("enter", "", "Enter", "next", "On to the next that is asked for; after the last, tick all as one change."),
        Key("ctrl+n", "nothing", "Ctrl+N", "nothing to note", "Nothing to note with those that are left: tick all now."),
        Key("tab", "", "Tab", "day or note", "Change between the day and the note."),
        Key("ctrl+g", "planned", "Ctrl+G", "", "Write what was planned of each, such as 24 plants, where nothing is typed; = does so for one."),
    ),
    "tasks": (
        Key("up", "task(-1)", "Up Down", "task", "Choose the task, also while typing."),
        Key("down", "task(1)", "Down", "task", ""),
    ),
    "outage": (
        Key("enter", "", "Enter", "see what moves", "Show what the nights without lamps would move."),
        Key("up", "place(-1)", "Up Down", "place", "Choose the place, also while typing the nights."),
        Key("down", "place(1)", "Down", "place", ""),
        Key("tab", "", "Tab", "first or last night", "Change between the first and the last night."),
    ),
    "stay": (
        Key("enter", "", "Enter", "see what moves", "Show what carrying the pots would move."),
        Key("up", "place(-1)", "Up Down", "place", "Choose the place, also while typing the date."),
        Key("down", "place(1)", "Down", "place", ""),
    ),
    "lamps": (
        Key("left,left_square_bracket", "place(-1)", "Left [", "place", "The place before; those of the cohort that was selected come first."),
        Key("right,right_square_bracket", "place(1)", "Right ]", "place", "The place after."),
        *up_and_down("week"),
        Key("t", "this_week", "t", "this week", "This week."),
    ),
    "trend": (
        Key("left,left_square_bracket", "lot(-1)", "Left [", "cohort", "The cohort with results before, or the lot."),
        Key("right,right_square_bracket", "lot(1)", "Right ]", "cohort", "The cohort with results after, or the lot."),
        Key("p", "position", "p", "position", "The next position on the plants."),
    ),
    **TRIAL_KEYS,
    "lots": (
        Key("left,left_square_bracket", "lot(-1)", "Left [", "lot", "The lot before; those near their day come first."),
        Key("right,right_square_bracket", "lot(1)", "Right ]", "lot", "The lot after."),
        Key("o", "record_step", "o", "official step", "Record a step of its official sample, or of those of all marked cohorts: asked, booked, taken, passed or failed.", edits=True),
        Key("less_than_sign", "official(-1)", "<", "what if", "What if the official sample were a day earlier; again, another day."),
        Key("greater_than_sign", "official(1)", ">", "what if", "What if the official sample were a day later; again, another day."),
        Key("plus,equals_sign", "hands(1)", "+", "hands", "What if so many hands cut: one, and one more each time."),
        Key("minus", "hands(-1)", "-", "hands", "One hand fewer; under one, the crew as it is."),
        Key("f", "tops_first", "f", "tops first", "What if the tops were cut first; again, not."),
        Key("0", "as_it_is", "0", "", "Try nothing: all as it is."),
        Key("R", "trend", "R", "trend", "See what the results of its samples say of the days to come."),
        Key("H", "drying", "H", "harvest", "Open the harvest and the dryer, to record a pass."),
        Key("L", "rules", "L", "rules", "Open the rules: each profile with its date and source; take one in."),
    ),
    "rules": (
        Key("t", "take_in", "t", "take in", "Take the profile under the cursor, which comes with the program, into the season.", edits=True),
    ),
    "varieties": (
        Key("left,left_square_bracket", "variety(-1)", "Left [", "variety", "The variety before."),
        Key("right,right_square_bracket", "variety(1)", "Right ]", "variety", "The variety after."),
        Key("t", "open_types", "t", "types", "Open the types to start from: what each would give this variety here."),
        Key("f", "open_fit", "f", "fit", "Fit this variety's figures to what its cohorts have shown, and see what is learnt."),
    ),
    "fit": (
        Key("enter", "take_over", "Enter", "take it over", "Take the fit over: what it moves is shown first.", edits=True),
    ),
    "review": (
        Key("enter", "take_over", "Enter", "carry forward", "Carry the figure under the cursor forward: what it moves is shown first.", edits=True),
    ),
    "response": (
        Key("enter", "take_date", "Enter", "plant", "Make a cohort that is planted on this date: what it adds is shown first.", edits=True),
        Key("h", "type_harvest", "h", "harvest", "Type a harvest date, and go to the planting that gives it."),
        Key("left", "day(-1)", "Left Right", "date", "The planting date before or after; PgUp and PgDn four weeks, Home and End to the ends."),
        Key("right", "day(1)", "Right", "date", ""),
        Key("up", "harvest(1)", "Up Down", "date", "A harvest a day later or sooner, and the planting that gives it."),
        Key("down", "harvest(-1)", "Down", "date", ""),
        Key("v", "next('variety')", "v", "variety", "The next variety."),
        Key("p", "next('place')", "p", "place", "The next place, or part of a screened one."),
        Key("o", "next('lights_off')", "o", "lamps", "Natural days, or lamps for 2, 4, 6 or 8 weeks, in a place with lamps."),
        Key("n", "next('nursery')", "n", "nursery", "The next nursery or none."),
        Key("s", "next('start')", "s", "seed/cutting", "Seed or cuttings."),
        Key("pageup", "day(-28)", "PgUp", "4 weeks", ""),
        Key("pagedown", "day(28)", "PgDn", "4 weeks", ""),
        Key("home", "day(-365)", "Home", "", ""),
        Key("end", "day(365)", "End", "", ""),
    ),
    "typed harvest": (
        Key("enter", "", "Enter", "go to its planting", ""),
        Key("escape", "", "Esc", "back", ""),
    ),
    "drafts": (
        Key("enter", "open", "Enter", "open", "Open a draft, or ask for a new one."),
        Key("x", "drop", "x", "take out", "Take a draft out.", edits=True),
        *up_and_down("choose"),
    ),
    "scheme": (
        Key("enter,y", "save", "Enter", "what it adds, then save", "On a proposal, make it the plan: what it adds is shown first.", edits=True),
        Key("k", "keep", "k", "keep as a draft", "Keep a proposal as a draft.", edits=True),
    ),
    "added": (
        Key("enter,y", "save", "Enter", "save", "Save what a proposal adds.", edits=True),
    ),
    "ways": (
        Key("enter", "open_way", "Enter", "what it adds, then save", "Where a proposal cannot be planted, go on with what can be."),
        *up_and_down("choose"),
    ),
    "stagger": (
        Key("enter", "", "Enter", "search", "Search for what can be planted; what it adds is shown before anything is saved."),
        Key("up", "", "Up", "field", "The field above or below; Left and Right choose among its names, yes or no for a place; Ctrl+U empties it."),
        Key("down", "", "Down", "field", ""),
        Key("escape", "back", "Esc", "back", "Back without saving; while it searches, stop with the best so far."),
    ),
    "question": (
        Key("y", "answer(True)", "y", "{yes}", "Yes."),
        *up_and_down("scroll"),
        Key("n", "answer(False)", "n", "back", "No, go back."),
        Key("escape", "", "Esc", "back", ""),
    ),
    "problems": (
        Key("R,r", "reload", "R", "read the file again", "Read the file again."),
        Key("E,e", "open_editor", "E", "open in your editor", "Open the season file in your editor, at the first problem; it is read again after."),
    ),
    "first": (
        Key("enter", "choose", "Enter", "choose", "Open the season or a copy of the example, or make one of your own."),
        *up_and_down("move"),
    ),
    "quit": (
        Key("q", "quit", "q", "quit", ""),
    ),
    "mouse": (
        Key("", "", "Wheel", "", "Move the cursor of a list, or scroll a page."),
        Key("", "", "Click", "", "Put the cursor on a row of a list; on the chart, on a cohort and a day; again on the same, as Enter. A key named in the last line acts."),
        Key("", "", "Shift", "", "Hold it while you drag, to select text of the screen and copy it."),
    ),
}
# fmt: on
# Keys that act also while something is typed.
EVEN_TYPING = frozenset({"ctrl+t", "ctrl+n", "ctrl+o"})

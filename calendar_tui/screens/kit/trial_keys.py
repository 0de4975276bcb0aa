"""The keys of trials and their field books, a row each: a part of the table of every key."""

from __future__ import annotations

from collections.abc import Mapping

from calendar_tui.screens.kit.key import Key

# fmt: off
TRIAL_KEYS: Mapping[str, tuple[Key, ...]] = {
    "trial": (
        Key("left", "walk(0, -1)", "Left", "plot", "The plot on the left, seen from the gate."),
        Key("right", "walk(0, 1)", "Right", "plot", "The plot on the right."),
        Key("up", "walk(1, 0)", "Up", "plot", "The plot behind, further from the gate."),
        Key("down", "walk(-1, 0)", "Down", "plot", "The plot before, nearer to the gate; from the front on into the next place."),
        Key("n", "number(1)", "n", "next", "The plot with the next number, as they are walked."),
        Key("N", "number(-1)", "N", "", "The plot with the number before."),
        Key("enter", "change", "Enter", "plot's fields", "Open the fields of the plot, such as the day from which it is lost, and why.", edits=True),
        Key("o", "observe", "o", "field book", "Open the field book of the trial: what is observed, typed plot by plot."),
        Key("m", "means", "m", "means", "Open what the trial shows: means by what was measured, their differences, what is left of each plot."),
        Key("d", "draw", "d", "draw", "Draw the trial by its seed into plots, with the cohorts that it lacks; shown first.", edits=True),
        Key("D", "draw(True)", "D", "", "Draw it anew in place of the plots that it has, where the trial itself was changed before planting; shown and asked.", edits=True),
        Key("left_square_bracket", "trial(-1)", "[", "trial", "The trial before."),
        Key("right_square_bracket", "trial(1)", "]", "trial", "The trial after."),
        Key("e", "change_trial", "e", "trial's fields", "Open the fields of the trial.", edits=True),
        Key("a", "add", "a", "add", "Add one more of the kind under the cursor; from there anything else.", edits=True),
        Key("pageup", "page(-1)", "PgUp", "", "Scroll half a page up."),
        Key("pagedown", "page(1)", "PgDn", "", "Scroll half a page down, to what stands below the map."),
    ),
    "field book": (
        Key("n", "missing(1)", "n", "missing", "The next cell that is due and missing; N the one before."),
        Key("N", "missing(-1)", "N", "", ""),
        Key("d", "ask('day')", "d", "day", "Write down what was seen on another day."),
        Key("v", "ask('variables')", "v", "variables", "Choose which variables stand in the columns."),
        Key("i", "import_file", "i", "take in a file", "Take in a filled sheet: what it brings is shown before anything is saved.", edits=True),
        Key("w", "ask('who')", "w", "who", "Name who looks."),
        Key("g", "way", "g", "way", "Let Enter go down the column in place of along the line; again, along the line."),
        Key("t", "open_task", "t", "task", "Open the week at the task that asks for what is written down here, to tick it."),
        Key("left_square_bracket", "walk(-1)", "[", "trial", "The trial before; the cohorts as a whole come last."),
        Key("right_square_bracket", "walk(1)", "]", "trial", "The trial after."),
        Key("delete,x", "take_out", "x", "", "Take out what is recorded in the cell; it is missing then.", edits=True),
        Key("e", "change", "e", "", "Open the fields of the plot, such as the day from which it is lost, and why.", edits=True),
    ),
    "cells": (
        Key("enter", "enter", "Enter", "next", "Save what is typed and go on: a number, 4 of 10, <0.05, a dot for not looked. Words of a mark begin with Enter."),
        Key("left", "column(-1)", "Left", "cell", "The cell on the left; what is typed is saved as its cell is left."),
        Key("right,tab", "column(1)", "Right", "cell", "The cell on the right."),
        Key("backspace", "edit('backspace')", "Backspace", "", ""),
        Key("ctrl+u", "edit('clear')", "Ctrl+U", "", ""),
    ),
    "typed setting": (
        Key("enter", "", "Enter", "take it", ""),
        Key("escape", "", "Esc", "back", ""),
    ),
    "analysis": (
        Key("left,left_square_bracket", "measure(-1)", "Left [", "measure", "What was measured before, in the order of the variables."),
        Key("right,right_square_bracket", "measure(1)", "Right ]", "measure", "What was measured after."),
        Key("less_than_sign", "round(-1)", "<", "round", "The round of measuring before."),
        Key("greater_than_sign", "round(1)", ">", "round", "The round of measuring after."),
        Key("r", "residuals", "r", "{other}", "What is left of each plot where it lies; again, the means."),
    ),
}
# fmt: on

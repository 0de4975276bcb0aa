"""Help: every key, what the glyphs mean, and what to be careful about."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from calendar_tui.planning.why.phases import PHASES
from calendar_tui.screens.kit.actions import ACTIONS
from calendar_tui.screens.kit.drawing import (
    BOLD,
    HEADING,
    WARNING,
    Row,
    fitted,
    row,
    wrapped,
)
from calendar_tui.screens.kit.glyphs import BRACKETS, OUTAGE, UNICODE, Glyphs
from calendar_tui.screens.kit.page import Page
from calendar_tui.season.stages import LETTERS
from calendar_tui.season.wording import stage_text

KEY_WIDTH = 9
# Groups of the registry, and what each is called here.
GROUPS = {
    "season": "In the season view",
    "week": "In the week view",
    "load": "In the load",
    "chores": "In the chores",
    "moves": "Where old and new dates are shown",
    "history": "In the history",
    "past": "In the season as it was",
    "view": "In every other view",
    "program": "Everywhere",
}
WEEK_KEYS = (
    ("Left [", "The week before."),
    ("Right ]", "The week after."),
    ("t", "This week."),
)
RECORD_KEYS = (
    ("Up Down", "Choose the stage, also while typing the date."),
    ("Enter", "Show what the date would move."),
    ("Ctrl+T", "Change between recording a date and planning it again."),
)
DONE_KEYS = (
    ("Enter", "On to the next that is asked for; after the last, tick all as one change."),
    ("Ctrl+N", "Nothing to note with those that are left: tick all now."),
    ("Up Down", "Choose the task, also while typing; Tab changes between the day and the note."),
)
LAMP_KEYS = (
    ("Left [", "The place before; those of the cohort that was selected come first."),
    ("Right ]", "The place after."),
    ("t", "This week."),
)
VARIETY_KEYS = (
    ("Left [", "The variety before."),
    ("Right ]", "The variety after."),
    ("Enter", "Type another value for the figure, and where it comes from; then see what that moves."),
)
CHORE_KEYS = (("Enter", "Open the chore's fields; there, type another value and see what that moves."),)
RESPONSE_KEYS = (
    ("Arrows", "The planting date before or after; PgUp and PgDn four weeks, Home and End to the ends."),
    ("v p", "The next variety; the next place, or part of a screened one."),
    ("n s o", "The next nursery or none; seed or cuttings; natural days, or lamps for 2, 4, 6 or 8 weeks."),
)
STAGGER_KEYS = (
    ("Enter", "Open a draft, or ask for a new one; on a proposal, make it the plan."),
    ("k x", "Keep a proposal as a draft; take a draft out."),
    ("Esc", "The step before; while it searches, stop with the best found so far."),
)
MOUSE = (
    ("Wheel", "Move the cursor of a list, or scroll a page."),
    ("Click", "Select a row of a list; on the chart, a cohort and a day."),
    ("Shift", "Hold it while you drag, to select text of the screen and copy it."),
)
# Forms and views whose keys are not in the registry, and what each is called here; told after the week view.
FORMS = (
    ("record", "Where a date is recorded", RECORD_KEYS),
    ("done", "Where tasks are ticked with a day or a note", DONE_KEYS),
    ("lamps", "In the lamps view", LAMP_KEYS),
    ("varieties", "In the varieties", VARIETY_KEYS),
    ("response", "In the planting dates", RESPONSE_KEYS),
    ("stagger", "In the staggering", STAGGER_KEYS),
)
CAUTIONS = (
    "This program is a planning aid. It gives no legal, electrical or agronomic advice; dates are projections.",
    "Electricity in wet places: ground-fault protection, fittings made for wet places, cords inspected daily, "
    "circuits sized by a licensed electrician to local code; switch off before storms.",
    "Licence and official samples: hold the licence before planting; only the authorised agent's sample is official. "
    "Plants over the limit may be a controlled substance: follow the authority, do not move or mix the lot.",
    "Sprays: the label is the law, and the product must be labelled for the crop and the place.",
)


def help_rows(glyphs: Glyphs, width: int, first: str = "") -> Iterator[Row]:
    """The whole page, top to bottom. first: the group or form whose keys are told before all others."""
    yield from _keys(width, first)
    yield row()
    yield from _legend(glyphs, width)
    yield row()
    yield row(("Be careful", WARNING))
    for caution in CAUTIONS:
        yield from wrapped(caution, width, "! ", "  ")


def _keys(width: int, first: str) -> Iterator[Row]:
    for n, (_, title, keys) in enumerate(sorted(_sections(), key=lambda section: section[0] != first)):
        if n:
            yield row()
        yield row((title, HEADING))
        for shown, text in keys:
            yield from _key(shown, text, width)


def _sections() -> Iterator[tuple[str, str, list[tuple[str, str]]]]:
    """Each group and form: its name, what it is called here, and its keys with what they do."""
    extra = {"week": WEEK_KEYS, "chores": CHORE_KEYS}
    for group in dict.fromkeys([*GROUPS, *(a.group for a in ACTIONS)]):
        keys = [(a.shown, a.text) for a in ACTIONS if a.group == group]
        yield group, GROUPS.get(group, group.capitalize()), [*keys, *extra.get(group, ())]
        if group == "week":
            yield from ((name, title, list(keys)) for name, title, keys in FORMS)
    yield "mouse", "With the mouse", list(MOUSE)


def _key(shown: str, text: str, width: int) -> Iterator[Row]:
    first, *rest = wrapped(text, width, " " * KEY_WIDTH)
    text = first.segments[0].text[KEY_WIDTH:]
    yield row((fitted(shown, KEY_WIDTH - 1) + " ", BOLD), text)
    yield from rest


def _legend(glyphs: Glyphs, width: int) -> Iterator[Row]:
    yield row(("What the glyphs mean", HEADING))
    for phase, text in PHASES.items():
        yield row((fitted(glyphs.phases[phase] * 5, KEY_WIDTH), BOLD), text)
    yield from wrapped(
        "A letter stands on the day of a stage: small where it is planned or projected, capital where it is recorded.",
        width,
    )
    stages = [f"{letter} {stage_text(stage)}" for stage, letter in LETTERS.items()]
    yield from wrapped(", ".join(stages), width, "  ")
    for stage, (opens, closes) in BRACKETS.items():
        yield row(
            (fitted(f"{opens}   {closes}", KEY_WIDTH), BOLD), f"{stage_text(stage)}, earliest to latest"
        )
    for mark, text in (
        (glyphs.curve, "the natural day, on the hours at the left"),
        (
            " ".join(glyphs.curve[0] * 4),
            "critical day: at or over it the count of short days goes back to 0",
        ),
        (
            glyphs.curve[0] + "     " + glyphs.curve[0],
            "full-response day: at or under it a day counts 1; each line is named by its variety and hours",
        ),
        (glyphs.upright, "today; its mark stands at the foot of the plot"),
    ):
        yield from _key(mark, text, width)
    yield from _key(OUTAGE, "a night on which the cohort's lamps failed", width)
    yield row((fitted("[ ] [x]", KEY_WIDTH), BOLD), "a task that is open, done; [-] skipped")


class HelpView(Page[None]):
    """A page to read; the keys of the view that it is opened from come first."""

    HELP_FIRST = "help"

    def __init__(self, first: str = "") -> None:
        super().__init__()
        self._first = first

    def rows(self, width: int) -> Iterable[Row]:
        return help_rows(getattr(self.app, "glyphs", UNICODE), width, self._first)

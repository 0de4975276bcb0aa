"""Help: every key, what the glyphs mean, and what to be careful about."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import ClassVar

from calendar_tui.handing_on.words.cautions import cautions
from calendar_tui.language.speaking import is_english, tr, translated
from calendar_tui.planning.why.phases import PHASES
from calendar_tui.screens.kit.actions import in_group, own_keys_of
from calendar_tui.screens.kit.drawing import (
    BOLD,
    HEADING,
    WARNING,
    ListRow,
    fitted,
    row,
    wrapped,
)
from calendar_tui.screens.kit.glyphs import BRACKETS, Glyphs
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.key import Key
from calendar_tui.screens.kit.page import Page
from calendar_tui.screens.kit.preferences import NO_KEYS
from calendar_tui.screens.kit.sections import OF_CREW, SECTIONS
from calendar_tui.season.stages import LETTERS
from calendar_tui.season.wording import stage_text

FOOT = ("page", "view")
KEY_WIDTH = 11
RANGES = (
    "In one case of ten a stage comes before its earliest date, and in one of ten after its latest: over fifty equally "
    "likely futures, in which each figure that nobody knows has a value of its own. Likely is the run of the likely figures."
)
CAUTIONS = tuple(
    cautions(*names)
    for names in (
        ("aid", "rules"),
        ("lamps", "cords", "daily"),
        ("licence", "agent", "over", "disposal"),
        ("label", "product", "entry", "all work"),
        ("heat", "heat index"),
        ("dryer",),
    )
)


def help_rows(
    glyphs: Glyphs, width: int, first: str = "", own: Mapping[str, Key] = NO_KEYS
) -> Iterator[ListRow]:
    """The whole page, top to bottom. first: the section that is told before all others; own: as `in_group` takes it."""
    yield from _keys(width, first, own)
    yield row()
    # What the season view draws is the grower's, who reads it in English.
    yield from _legend(glyphs, width) if is_english() else _boxes(width)
    yield row()
    yield row((tr("Be careful"), WARNING))
    for caution in map(translated, CAUTIONS):
        yield from wrapped(caution, width, "! ", "  ")


def _keys(width: int, first: str, own: Mapping[str, Key]) -> Iterator[ListRow]:
    told = [section for section in SECTIONS if is_english() or section[0] in OF_CREW]
    for n, (_, title, groups) in enumerate(sorted(told, key=lambda section: section[0] != first)):
        if n:
            yield row()
        yield row((tr(title), HEADING))
        for group in groups:
            for key in in_group(group, own=own):
                if key.text:
                    yield from _key(key.shown, tr(key.text), width)


def _key(shown: str, text: str, width: int) -> Iterator[ListRow]:
    first, *rest = wrapped(text, width, " " * KEY_WIDTH)
    text = first.segments[0].text[KEY_WIDTH:]
    yield row((fitted(shown, KEY_WIDTH - 1) + " ", BOLD), text)
    yield from rest


def _legend(glyphs: Glyphs, width: int) -> Iterator[ListRow]:
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
    yield from wrapped(RANGES, width)
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
    yield from _key(glyphs.outage, "a night on which the lamps failed where the cohort stood", width)
    yield from _boxes(width)


def _boxes(width: int) -> Iterator[ListRow]:
    yield from _key("[ ] [x]", tr("a task that is open, done; [-] skipped"), width)


class HelpView(Page[None]):
    """A page to read; the keys of the view that it is opened from come first."""

    HELP_FIRST = "help"
    CREW: ClassVar[bool | None] = None

    def __init__(self, first: str = "") -> None:
        super().__init__(FOOT)
        self._first = first

    def rows(self, width: int) -> Iterable[ListRow]:
        return help_rows(host(self).glyphs, width, self._first, own_keys_of(self))

"""The stages of a cohort, a row each. Whatever lists stages is worked out from this table."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from typing import NamedTuple

SEED, CUTTING = "seed", "cutting"


class Stage(NamedTuple):
    """One stage.

    letter: its mark on chart and wall, small where planned or projected, a capital where recorded.
    rank: where several share a cell, the lowest is written; on paper they find room in this order.
    decided: whether the grower decides on it; any other happens to the plants and can only be recorded.
    starts: how a cohort that has it is started. needs: what a cohort must have for it: "nursery" or "lamps".
    after: the stages it never comes before, directly. rests_on: those its date is worked out from, directly.
    days_after: a stage from which days pass to it. past: what has happened, behind a cohort's name.
    asks_lights_off: whether its delay raises the question whether lights off moves along.
    shows_variety: whether its record says something about the variety.
    begins: the phase it begins. begins_stay: whether a stay may begin with it: not with what depends on where plants stand.
    look: how one looks for it; "" where the eye does not see it, or the grower decides.
    bracket, strokes: what its range is drawn with, on screens and on paper.
    code: of `CODE_SOURCE`; "xx" is any leaf pair, "2202-2203" a span; "" where that has none, as for cuttings and what is dried.
    """

    name: str
    letter: str
    rank: int
    decided: bool = False
    starts: tuple[str, ...] = (SEED, CUTTING)
    needs: str = ""
    after: tuple[str, ...] = ()
    rests_on: tuple[str, ...] = ()
    days_after: str = ""
    past: str = ""
    asks_lights_off: bool = False
    shows_variety: bool = False
    begins: str | None = ""
    begins_stay: bool = False
    look: str = ""
    bracket: tuple[str, str] | None = None
    strokes: int = 0
    code: str = ""


# Codes 0002, 10xx and 2203 as read there, for oil the cut at 2203; 0000, 2201 and 2202 from memory: of its tables no text was found
# (2102, male flowering, and 2302, that of monoecious plants, were read, and speak for 2202). Which of them a stage is to have is common
# practice, no source: lamps and the trigger say nothing of leaves, and 2202 is half of a plant's bracts.
CODE_SOURCE = "decimal code for growth stages of hemp (Mediavilla et al. 1998, J. Int. Hemp Assoc. 5(2):65)"
TABLE = (
    Stage(
        name="seeding",
        letter="s",
        rank=6,
        decided=True,
        starts=(SEED,),
        past="sown",
        asks_lights_off=True,
        code="0000",
    ),
    Stage(
        name="sticking",
        letter="c",
        rank=7,
        decided=True,
        starts=(CUTTING,),
        past="stuck",
        asks_lights_off=True,
    ),
    Stage(
        name="emergence",
        letter="e",
        rank=10,
        starts=(SEED,),
        after=("seeding",),
        rests_on=("seeding",),
        days_after="seeding",
        past="emerged",
        asks_lights_off=True,
        shows_variety=True,
        look="Look for seedlings",
        begins_stay=True,
        code="0002",
    ),
    Stage(
        name="rooted",
        letter="r",
        rank=11,
        starts=(CUTTING,),
        after=("sticking",),
        rests_on=("sticking",),
        days_after="sticking",
        past="rooted",
        asks_lights_off=True,
        shows_variety=True,
        look="Look at the roots",
        begins_stay=True,
    ),
    Stage(
        name="transplant",
        letter="t",
        rank=5,
        decided=True,
        needs="nursery",
        after=("emergence", "rooted"),
        rests_on=("seeding", "sticking"),
        past="was transplanted",
        asks_lights_off=True,
        begins="growing",
        begins_stay=True,
        code="10xx",
    ),
    Stage(
        name="lights_on",
        letter="l",
        rank=12,
        decided=True,
        needs="lamps",
        after=("seeding", "sticking"),
        rests_on=("transplant", "seeding", "sticking"),
        past="was lit",
        asks_lights_off=True,
        begins_stay=True,
        code="10xx",
    ),
    Stage(
        name="lights_off",
        letter="o",
        rank=3,
        decided=True,
        needs="lamps",
        after=("lights_on",),
        days_after="lights_on",
        past="was lit no more",
        begins_stay=True,
        code="10xx",
    ),
    Stage(
        name="trigger",
        letter="g",
        rank=4,
        after=("emergence", "sticking"),
        rests_on=("emergence", "sticking", "transplant", "lights_off"),
        past="was triggered",
        shows_variety=True,
        begins="run",
        code="10xx",
    ),
    Stage(
        name="induced",
        letter="i",
        rank=8,
        after=("trigger",),
        rests_on=("trigger",),
        past="was induced",
        shows_variety=True,
        look="Look at the tips",
        begins="induced",
        code="2201",
    ),
    Stage(
        name="flowering",
        letter="f",
        rank=2,
        after=("induced",),
        rests_on=("induced", "emergence", "rooted"),
        past="flowered",
        shows_variety=True,
        look="Look for flowering",
        begins="flower",
        bracket=("(", ")"),
        strokes=1,
        begins_stay=True,
        code="2202",
    ),
    Stage(
        name="sampling",
        letter="x",
        rank=13,
        after=("flowering",),
        rests_on=("flowering", "harvest"),
        past="was sampled",
        begins_stay=True,
        code="2202-2203",
    ),
    Stage(
        name="harvest",
        letter="h",
        rank=1,
        decided=True,
        after=("transplant", "sampling"),
        rests_on=("flowering",),
        days_after="transplant",
        past="was harvested",
        begins="drying",
        bracket=("[", "]"),
        strokes=2,
        code="2203",
    ),
    Stage(
        name="dried",
        letter="d",
        rank=9,
        after=("harvest",),
        rests_on=("harvest",),
        days_after="harvest",
        past="was dry",
        begins=None,
        look="Test how dry it is",
    ),
)
BY_NAME: Mapping[str, Stage] = {stage.name: stage for stage in TABLE}


def _names(stages: Iterable[Stage]) -> tuple[str, ...]:
    return tuple(stage.name for stage in stages)


# In the order in which they are listed everywhere.
STAGES = _names(TABLE)
# Those that wait for no date that the light decides.
EARLY = STAGES[: STAGES.index("trigger")]
DECIDED = _names(stage for stage in TABLE if stage.decided)
# What a proposal of planting dates decides on: all but the harvest, which follows.
DRAFTED = tuple(name for name in DECIDED if name != "harvest")
STAY_STAGES = _names(stage for stage in TABLE if stage.begins_stay)
LAMP_STAGES = _names(stage for stage in TABLE if stage.needs == "lamps")
SHOWING_VARIETY = _names(stage for stage in TABLE if stage.shows_variety)
LOOKED_FOR = _names(stage for stage in TABLE if stage.look)
RANKED = _names(sorted(TABLE, key=lambda stage: stage.rank))
# The key of a cohort under which what is projected of later stages is kept as one of these is recorded.
KEPT_AT: Mapping[str, str] = {
    "seeding": "forecast_at_start",
    "sticking": "forecast_at_start",
    "transplant": "forecast_at_transplant",
    "lights_off": "forecast_at_lights_off",
}
CODES: Mapping[str, str] = {stage.name: stage.code for stage in TABLE}
LETTERS: Mapping[str, str] = {stage.name: stage.letter for stage in TABLE}
# The first stage of a cohort by its start, and the second, from which the age of the shoot counts.
FIRST: Mapping[str, tuple[str, ...]] = {
    start: _names(stage for stage in TABLE if stage.starts == (start,)) for start in (SEED, CUTTING)
}


def _before() -> dict[str, frozenset[str]]:
    """Every stage that never comes after each: those directly before it, and what is before these."""
    before: dict[str, frozenset[str]] = {}
    for stage in TABLE:  # a row stands below all that it comes after
        before[stage.name] = frozenset(stage.after).union(*(before[name] for name in stage.after))
    return before


BEFORE: Mapping[str, frozenset[str]] = _before()
AFTER: Mapping[str, frozenset[str]] = {
    name: frozenset(later for later in STAGES if name in BEFORE[later]) for name in STAGES
}
# Any of these, recorded, tells that nothing stands any more.
CUT = AFTER["harvest"] | {"harvest"}


@cache
def stages_for(start: str, nursery: bool) -> tuple[str, ...]:
    """The stages that a cohort of this start can have a date for."""
    return _names(s for s in TABLE if start in s.starts and (nursery or s.needs != "nursery"))

"""A variety's figures as they stand, and a change of one: checked, and proposed with what it moves."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from calendar_tui.planning.changes.field_change import (
    Keys,
    checked,
    number,
    read_as,
    read_mark,
    short,
)
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.replan import propose
from calendar_tui.planning.plan import Plan
from calendar_tui.season.edits import Edit
from calendar_tui.season.field_names import field_words
from calendar_tui.season.fields import FIELDS, MARKS, Field
from calendar_tui.season.fitted_sets import loses_sets
from calendar_tui.season.marks import DEFAULT_MARKS, GUESS_MARK
from calendar_tui.season.readers import clock_hours, with_colon
from calendar_tui.season.records import Season, Span, Variety
from calendar_tui.season.variety_types import from_type, type_of, with_figures
from calendar_tui.season.wording import clock_text

_NO_FIGURES = ("id", "response", "type", "seed_kind", "sets", "before_fit", "marks")
FIGURES: Mapping[str, Field] = {f.key: f for f in FIELDS["variety"] if f.key not in _NO_FIGURES}
FIGURE_KEYS = Keys("variety", FIGURES, "a figure of a variety", "Figures")
# Figures that play no part in the dates of a variety of this response.
_OTHERS: Mapping[str, tuple[str, ...]] = {
    "short-day": ("emergence_to_flowering_d", "emergence_to_flowering_cd"),
    "day-neutral": (
        "critical_day",
        "full_response_day",
        "inductive_days",
        "juvenile_d",
        "juvenile_cd",
        "induced_to_flowering_d",
        "induced_to_flowering_cd",
    ),
}
_HEAT = tuple(key for key in FIGURES if key.endswith(("_ch", "_cd")))
# The figure in days whose place a sum of heat takes where it is given.
_IN_DAYS: Mapping[str, str] = {
    "juvenile_cd": "juvenile_d",
    "emergence_to_flowering_cd": "emergence_to_flowering_d",
    "induced_to_flowering_cd": "induced_to_flowering_d",
}


_SETS_GONE = (
    "the sets that were fitted to records have another figure, so they are taken away: its figures are taken as independent "
    "again; to fit them anew: calendar-tui variety {} --fit"
)


def unused(variety: Variety, on_heat: bool) -> Mapping[str, str]:
    """The figures that play no part in the variety's dates, and why; on_heat: whether the season runs on heat."""
    idle = dict.fromkeys(_OTHERS[variety.response], f"it is {variety.response}")
    if not on_heat:
        return idle | dict.fromkeys(_HEAT, "the season runs on days")
    given = {
        days: f"its {field_words('variety', sums)} is given"
        for sums, days in _IN_DAYS.items()
        if getattr(variety, sums) is not None
    }
    return idle | given | {"emergence_d": "the season runs on heat"}


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of a variety as it stands.

    value: as a season file has it: "14:00" for hours, a list or one number for a span, None where it follows from the
    figure in days; own: whether the file gives it; of_type: the type that it is from, else ""; marks: where it comes from,
    none where nobody said; used: whether it plays a part in the variety's dates.
    """

    variety: str
    key: str
    unit: str
    meaning: str
    value: Any
    own: bool
    of_type: str
    marks: tuple[str, ...]
    used: bool

    @property
    def guess(self) -> bool:
        """Whether there is nothing behind it, or nothing behind a part of it."""
        return "placeholder" in self.marks


def figures_of(variety: Variety, data: Mapping[str, Any]) -> tuple[Figure, ...]:
    """Every figure of a variety, in the order of the reference; data: of the season file, which tells whose they are."""
    given: Mapping[str, Any] = next((v for v in data.get("variety", ()) if v["id"] == variety.id), {})
    idle = unused(variety, "heat" in data)
    return tuple(_figure(variety, field, given, field.key not in idle) for field in FIGURES.values())


def _figure(variety: Variety, field: Field, given: Mapping[str, Any], used: bool) -> Figure:
    own, mark, kind = field.key in given, variety.marks.get(field.key), type_of(variety)
    of_type = kind.id if kind is not None and field.key in from_type(variety) else ""
    start = (kind.marks[field.key],) if kind is not None and of_type else DEFAULT_MARKS.get(field.key, ())
    marks = (mark,) if mark else () if own else start
    value = written(field, getattr(variety, field.name))
    return Figure(variety.id, field.key, field.unit, field.meaning, value, own, of_type, marks, used)


def written(field: Field, value: Any) -> Any:
    """A record's value as a season file has it."""
    if value is None:
        return None
    if isinstance(value, Span):
        figures = [clock_text(n) if field.read is clock_hours else short(n) for n in value]
        return figures[0] if len(set(figures)) == 1 else figures
    return short(value)


def value_text(value: Any) -> str:
    """ "14 h 00", "[13 h 30, 14 h 00, 14 h 30]", "[10, 14, 20]", "8", "0.5"; "" for None."""
    if isinstance(value, list):
        return f"[{', '.join(map(value_text, value))}]"
    if isinstance(value, str):
        return value.replace(":", " h ")
    return "" if value is None else f"{value:g}"


def change_figure(plan: Plan, variety: Variety, key: str, typed: str, mark: str = "") -> Proposal:
    """The proposal that gives a figure the value typed; what moves is told for every cohort of the variety.

    typed: as in a season file, quotes and brackets left out or not: 13:50, or 38,45,54. mark: one of MARKS; "" where
    nobody says where a new value comes from, which makes it a placeholder. Raises Refusal where the value cannot be.
    """
    field = FIGURES[key]
    value = _plain(field, typed)
    read = read_as(field, value)
    old = getattr(variety, field.name)
    unmarked = not mark and read != old
    mark = GUESS_MARK if unmarked else read_mark(mark) if mark else variety.marks.get(key, "")
    same = read == old and mark == variety.marks.get(key, "")
    edits = [] if same else [Edit("set", "variety", (variety.id,), (key,), value)]
    loses = read != old and loses_sets(variety, (key,))
    if loses:
        edits.append(Edit("unset", "variety", (variety.id,), ("sets",)))
    marks = dict(variety.marks)
    if mark and not same:
        edits.append(Edit("set", "variety", (variety.id,), ("marks", key), mark))
        marks[key] = mark
    sets = () if loses else variety.sets
    new = with_figures(variety, marks=marks, **{field.name: read}, **({"sets": sets} if variety.sets else {}))
    season = checked(replace(plan.season, varieties={**plan.season.varieties, variety.id: new}))
    what = f"{variety.id} {field_words('variety', key)} {_change_text(field, old, read)}" + (
        f", marked {mark}" if mark else ""
    )
    what += f", without its {len(variety.sets)} fitted sets" if loses else ""
    proposal = propose(plan, season, what, edits)
    doubts = (
        *(_no_mark_text(variety, key) if unmarked else ()),
        *([_SETS_GONE.format(variety.id)] if loses else ()),
        *_idle(plan.season, new, key),
    )
    return replace(proposal, notes=doubts)


def _plain(field: Field, typed: str) -> Any:
    words = typed.strip().strip("\"'")
    listed = words.startswith("[") and words.endswith("]")
    inside, figures = words.strip("[]"), list[int | float | str]()
    if field.read is clock_hours:  # "13 h 50" has blanks of its own
        figures += [with_colon(w.strip(" \"'")) for w in inside.split(",")]
    else:
        figures += [number(w) for w in inside.replace(",", " ").split()]
    return figures if listed or len(figures) != 1 else figures[0]


def _change_text(field: Field, old: Any, new: Any) -> str:
    if old == new:
        return f"{value_text(written(field, new))} kept"
    before = value_text(written(field, old)) or "none"
    return f"{before} -> {value_text(written(field, new))}"


def _no_mark_text(variety: Variety, key: str) -> Iterator[str]:
    before = variety.marks.get(key, GUESS_MARK)
    was = "" if before == GUESS_MARK else f" (it was {before})"
    known = ", ".join(m for m in MARKS if m != GUESS_MARK)
    yield f"no mark says where the new {field_words('variety', key)} comes from: it is marked {GUESS_MARK}, a guess{was}. Marks: {known}"


def _idle(season: Season, variety: Variety, key: str) -> Iterator[str]:
    """Why a figure can move nothing."""
    if why := unused(variety, season.heat is not None).get(key):
        yield f"{field_words('variety', key)} plays no part in the dates of {variety.id}: {why}"
    elif not any(c.variety == variety.id for c in season.cohorts.values()):
        yield f"no cohort of this season is of {variety.id}, so nothing can move"

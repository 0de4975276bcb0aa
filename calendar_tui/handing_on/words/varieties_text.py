"""The varieties and their figures to hand on: a line a figure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from shlex import quote

from calendar_tui.handing_on.words.plain_text import wrapped
from calendar_tui.planning.changes.variety_change import Figure, value_text
from calendar_tui.season.cells import cell_len, filled
from calendar_tui.season.field_names import field_words
from calendar_tui.season.fields import MARKS
from calendar_tui.season.measures import MEASURES, as_written, measured, unit_shown
from calendar_tui.season.records import Season, Variety
from calendar_tui.season.wording import some_text

GUESSES = "Figures marked placeholder are guesses until you set them."
_OWN_WIDTH = 7


def mark_text(figure: Figure) -> str:
    """Where a figure comes from, in a word or two; a placeholder is called the guess it is."""
    if not figure.used:
        return "not used"
    if not figure.marks:
        return "no mark" if figure.own else "from its days" if _in_heat(figure) else "not set"
    if not figure.guess:
        return ", ".join(mark.partition(",")[0] for mark in figure.marks)
    sure = [m for m in figure.marks if m != "placeholder"]
    return f"{', '.join(sure)}; part a guess" if sure else "placeholder: guess"


def doubted_text(variety: str, cohorts: Sequence[str]) -> str:
    """Whose records to look at before a fit of a variety is relied upon. cohorts: one at least."""
    does = "the record of {} does" if len(cohorts) == 1 else "the records of {} do"
    return (
        f"{does.format(some_text(cohorts))} not fit its figures or each other, so look at these before you rely on the fit: "
        f"calendar-tui variety {quote(variety)} --fit"
    )


def _in_heat(figure: Figure) -> bool:
    """Whether it is a sum of heat, which stands for a figure in days where it is given."""
    return figure.key.endswith("_cd")


def key_words(key: str) -> str:
    """A figure in words: "induced to flowering" of induced_to_flowering_d, whose unit stands beside it."""
    return field_words("variety", key)


def figure_columns(figures: Sequence[Figure]) -> list[str]:
    """A line a figure: its name, value with unit, set or default, and mark, one under the other."""
    names = [key_words(f.key) for f in figures]
    values = [_measured(f) or f"{_short_text(f) or '-'} {_unit(f)}".rstrip() for f in figures]
    wide, long = max(map(cell_len, names), default=0), max(map(cell_len, values), default=0)
    return [
        f"{filled(words, wide)} {filled(value, long)} {whose(f):<{_OWN_WIDTH}} {mark_text(f)}"
        for words, value, f in zip(names, values, figures, strict=True)
    ]


def whose(figure: Figure) -> str:
    """Who gives a figure: "set" in the file, "type" or "default"."""
    return "set" if figure.own else "type" if figure.of_type else "default"


def _short_text(figure: Figure) -> str:
    """Its value; early, likely and late as they are typed: "13:30, 14:00, 14:30"."""
    several = isinstance(figure.value, list)
    return ", ".join(map(str, figure.value)) if several else value_text(figure.value)


def _measured(figure: Figure) -> str:
    """A figure that is measured, in the unit it is shown in; "" for any other."""
    if figure.unit not in MEASURES or figure.value is None:
        return ""
    return measured(figure.value, figure.unit, as_written)


def _unit(figure: Figure) -> str:
    """The unit of each of its numbers: "days" of "days [early, likely, late]"; of one day length "", which has its own."""
    unit = figure.unit.partition(" [")[0]
    return ("h" if isinstance(figure.value, list) else "") if unit == "h:min" else unit_shown(unit)


def variety_text(season: Season, variety: Variety) -> str:
    """ "short-day, type oil-unknown; cohorts A1, A2"."""
    grown = [c.id for c in season.cohorts.values() if c.variety == variety.id]
    cohorts = f"cohort{'' if len(grown) == 1 else 's'} {', '.join(grown)}" if grown else "no cohort"
    kind = f", type {variety.type}" if variety.type else ""
    return f"{variety.response}{kind}; {cohorts}"


def varieties_text(
    season: Season, figures: Iterable[tuple[Variety, Sequence[Figure]]], contrast: str = ""
) -> Iterator[str]:
    """Each variety with its figures, and what a placeholder is. contrast: what another type would give, "" for none."""
    for variety, of_variety in figures:
        yield from wrapped(variety_text(season, variety), "    ", first=f"{variety.id}  ")
        yield from wrapped(contrast, "    ", first="  ") if contrast else ()
        for line in figure_columns(of_variety):
            yield f"  {line}"
        yield from _weighed_lines(season, variety)
        yield ""
    yield from wrapped(f"Three figures are early, likely and late. {GUESSES}", "")


def _weighed_lines(season: Season, variety: Variety) -> Iterator[str]:
    """What own weighing shows, and the commands that would take it over."""
    if not season.passes:
        return
    from calendar_tui.handing_on.words.weighed_text import offer_lines, weighed_text

    if text := weighed_text(season, variety):
        yield from wrapped(text, "    ", first="  ")
        yield from offer_lines(season, variety)


def figure_text(figure: Figure) -> str:
    """One figure in a sentence: value and unit, what it means, whose it is and where it comes from."""
    idle = "" if figure.used else "; not used"
    if figure.value is None:
        rest = ": it follows from the figure in days" if _in_heat(figure) else ""
        return f"{figure.meaning}; not set{rest}{idle}"
    unit = f" {figure.unit}" if _unit(figure) else ""
    given = {"set": "set in the file", "type": f"of its type {figure.of_type}"}
    by = given.get(whose(figure), "default of the program")
    part = "" if figure.marks == ("placeholder",) else "part "
    guess = f" ({part}a guess)" if figure.guess else ""
    marked = f"marked {', '.join(figure.marks)}{guess}" if figure.marks else "no mark"
    return (
        f"{_measured(figure) or f'{value_text(figure.value)}{unit}'}, {figure.meaning}; {by}, {marked}{idle}"
    )


def one_figure_text(figure: Figure) -> Iterator[str]:
    """One figure in full, and how it is changed."""
    yield from wrapped(figure_text(figure), "  ", first=f"{figure.variety} {key_words(figure.key)}  ")
    value = value_text(figure.value) or "VALUE"
    spaced = f'"{value}"' if " " in value else value
    yield f"To change it: calendar-tui variety {figure.variety} {key_words(figure.key)} {spaced} --mark MARK"
    yield from wrapped(f"MARK says where the new figure comes from: {', '.join(MARKS)}.", "  ")

"""Quantities to hand on: a page with every formula, and what JSON has of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from calendar_tui.handing_on.tables.json_rows import Row
from calendar_tui.handing_on.tables.quantity_rows import quantity_rows
from calendar_tui.handing_on.words.cautions import cautions
from calendar_tui.handing_on.words.plain_text import WIDTH, cohort_head, count_text, unbroken, wrapped
from calendar_tui.planning.needs.quantities import CohortAmounts, Guess, lamp_load_text
from calendar_tui.planning.needs.sums import Quantities, Sum
from calendar_tui.season.cells import cell_len, filled
from calendar_tui.season.field_names import field_words
from calendar_tui.season.measures import MEASURES, figure, unit_shown
from calendar_tui.season.wording import number_text

NO_PROMISE = "Weights follow from your own weighing of a plant; they are an expectation and no promise."
_LABEL_WIDTH, _FIGURE_WIDTH = 15, 9


def quantities_data(quantities: Quantities) -> Row:
    """rows as `quantity_rows` gives them; notes: what is wrong, too much or left out; guesses: figures that are."""
    return {
        "rows": quantity_rows(quantities),
        "notes": list(notes_text(quantities)),
        "guesses": [f"{g.of} {g.key}" for g in quantities.guesses],
    }


def _guesses_text(guesses: Iterable[Guess]) -> str:
    """ "germination share, usable share of amber, brook; media per tray of supplies"."""
    of_key: dict[str, list[str]] = {}
    for guess in guesses:
        kind = guess.of if guess.of == "supplies" else "variety"
        of_key.setdefault(_guess_words(kind, guess.key), []).append(guess.of)
    keys: dict[tuple[str, ...], list[str]] = {}
    for key, names in of_key.items():
        keys.setdefault(tuple(names), []).append(key)
    return "; ".join(f"{', '.join(of_names)} of {', '.join(names)}" for names, of_names in keys.items())


def _guess_words(kind: str, key: str) -> str:
    """The name of a figure; what stands behind its key in brackets stays: "seed kind (taken as feminised)"."""
    name, _, note = key.partition(" ")
    return f"{field_words(kind, name)} {note}".rstrip()


def quantities_text(quantities: Quantities, width: int = WIDTH) -> Iterator[str]:
    """The whole page: each cohort, the sums, what is wrong, and what is a guess."""
    for of in quantities.cohorts:
        yield from cohort_text(of, width)
        yield ""
    yield from sums_text(quantities, width)
    for note in notes_text(quantities):
        yield from wrapped(note, "    ", width, "  ! ")
    for line in remarks_text(quantities):
        yield from wrapped(line, "", width)


def cohort_text(of: CohortAmounts, width: int = WIDTH) -> Iterator[str]:
    """One cohort: a line per item with its formula, and what could not be worked out."""
    yield cohort_head(of.timeline)
    for amount in of.amounts:
        label = f"{amount.item} {amount.of}".strip()
        yield from _line(label, _figure(amount.count, amount.unit, bool(amount.guesses)), amount.how, width)
    for warning in of.notes:
        yield from wrapped(warning, "    ", width, "  ! ")


def _line(label: str, figure: str, how: str, width: int) -> list[str]:
    head = f"  {filled(label, _LABEL_WIDTH)} {figure:>{_FIGURE_WIDTH}}  "
    return wrapped(how, " " * cell_len(head), width, head)


def _sum_line(total: Sum, width: int) -> list[str]:
    """A sum; no line ends between a cohort and its part."""
    how = f"{total.how}{_stock_text(total)}"
    # A semicolon ends the parts: what stands behind it may begin a line.
    kept = "; ".join(" + ".join(map(unbroken, part.split(" + "))) for part in how.split("; "))
    needed = _figure(total.count, total.unit, bool(total.guesses))
    return _line(f"{total.item} {total.variety}".strip(), needed, kept, width)


def _figure(count: float, unit: str, guess: bool) -> str:
    """ "~636", "108 m2", "4.5 L": the unit where it is not the item itself."""
    text = figure(count, unit, lambda count: number_text(round(count) if count >= 100 else count))
    named = unit in MEASURES or unit in ("kWh", "h")
    return f"{'~' if guess else ''}{text}" + (f" {unit_shown(unit)}" if named else "")


def sums_text(quantities: Quantities, width: int = WIDTH) -> Iterator[str]:
    """Every sum, with what there is of it and what is short; then the lamps of each light and their circuits."""
    yield f"In all, {count_text(len(quantities.cohorts), 'cohort')}"
    for total in quantities.sums:
        yield from _sum_line(total, width)
    for load in quantities.loads:
        count, unit = (load.h, "h") if load.kwh is None else (load.kwh, "kWh")
        yield from _line(f"lamps {load.light}", _figure(count, unit, False), lamp_load_text(load), width)
    for circuit in quantities.circuits:
        if not circuit.over:
            yield from wrapped(circuit.text, "    ", width, "  ")


def _stock_text(total: Sum) -> str:
    if total.stock is None or total.short is None:
        return ""
    there = f"; {figure(total.stock, total.unit)} there"
    return f"{there}, enough" if not total.short else f"{there}, {figure(total.short, total.unit)} short"


def notes_text(quantities: Quantities) -> Iterator[str]:
    """What is short, too much for a circuit or a place, or left out, a sentence each."""
    for total in quantities.sums:
        if total.short:
            unit = unit_shown(total.unit)
            what = f"{unit} of {total.variety}" if total.variety else unit
            guess = "about " if total.guesses else ""
            yield (
                f"{what}: {guess}{figure(total.short, total.unit)} short: {figure(total.count, total.unit)} are needed, {figure(total.stock or 0, total.unit)} "
                f"are there"
            )
    yield from (c.text for c in quantities.circuits if c.over)
    yield from (c.text for c in quantities.crowdings)
    if quantities.left_out:
        names = ", ".join(quantities.left_out)
        yield f"left out of the sums of what follows from plants: {names} (no number of plants)"


def remarks_text(quantities: Quantities) -> Iterator[str]:
    """How to read the page: rounding, guesses, weights, and electricity."""
    yield "Plants that fit are rounded down, what is needed is rounded up."
    if quantities.guesses:
        yield f"~ is a guess, since there is nothing behind: {_guesses_text(quantities.guesses)}."
        yield "Put in your own figures, with calendar-tui variety, or of the supplies."
    if quantities.stock_aside:
        yield "The stock is for all cohorts, and not held against some of them: name none to see what is short."
    if quantities.unweighed:
        names = ", ".join(quantities.unweighed)
        yield (
            f"No weight of the crop for {names}: none is promised, and none worked out without your own fresh weight of a plant."
        )
    if any(total.item == "dry crop" for total in quantities.sums):
        yield NO_PROMISE
    if quantities.circuits:
        yield cautions("circuits")

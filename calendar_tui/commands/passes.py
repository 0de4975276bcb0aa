"""The command pass: the rounds of cutting, and one recorded with its weights."""

from __future__ import annotations

import argparse
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from calendar_tui.commands.changing import confirm_and_save, require_yes_or_dry_run_with_json
from calendar_tui.commands.command_input import date_order, emit, planned_season, print_json
from calendar_tui.commands.field_words import FIELD_FLAGS, fields_begin, typed_fields
from calendar_tui.commands.parsing import Flags
from calendar_tui.nature.canopy import POSITIONS
from calendar_tui.season.finders import find_lot
from calendar_tui.season.measures import WEIGHT_UNITS
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.season.records import Season

_OF_PASS = ("--date", "--part", "--plots", "--share", "--why", "--batch", "--note")
FLAGS: Flags = {name: FIELD_FLAGS[name] for name in _OF_PASS}
LAST = "last"
_WEIGHT = ("fresh", "weight", "of")
# What is typed behind a name of a field and is no part of the plants.
_FIELDS = ("date", "part", "plots", "share", "why", "batch", "note", LAST)


def cut(args: argparse.Namespace) -> int:
    """Words: none for all passes; LOT for those of one; LOT and what was cut to record one."""
    from calendar_tui.planning.changes.held_season import HeldSeason
    from calendar_tui.planning.changes.passes import record_pass

    opened, plan, words = planned_season(args)
    lot = find_lot(plan.season, words[0]) if words else ""
    typed = pass_fields(args, words[1:])
    if not typed:
        _show(args, plan.season, lot)
        return 0
    if not lot:
        raise Refusal("name the lot that is cut, or the cohort that is one, such as: A1 top 12.5 kg why ripe")
    require_yes_or_dry_run_with_json(args)
    held = HeldSeason(plan, opened.data, date_order(), opened.reading)
    return confirm_and_save(args, opened, {None: record_pass(held, lot, typed)})


def pass_fields(args: argparse.Namespace, words: Sequence[str]) -> Mapping[str, str]:
    """What is typed of a pass, by the names of its fields: "18 apr top 12.5 kg why ripe last". Raises Refusal."""
    return typed_fields(args, "pass", [*_in_fields(words)])


def _in_fields(words: Sequence[str]) -> list[str]:
    """The words as fields take them: a date that comes first by its name, weights by their part, last as yes."""
    out: list[str] = []
    at = begin = _first_field(words)
    if begin:
        _refuse_weight(words[:begin])
        out += ["date", " ".join(words[:begin])]
    while at < len(words):
        word = words[at]
        if _is_weight(words, at):
            behind = 3 if _is_unit(words[at + 2 : at + 3]) else 2
            out += [*_WEIGHT, word, "".join(words[at + 1 : at + behind])]
            at += behind
            _refuse_stray(words, at)
        elif word.casefold() == LAST:
            out += [LAST, "yes"]
            at += 2 if words[at + 1 : at + 2] in (["pass"], ["yes"]) else 1
            _refuse_stray(words, at)
        else:
            end = _end(words, at)
            out += words[at:end]
            at = end
    return out


def _refuse_weight(words: Sequence[str]) -> None:
    """Raises Refusal for a part of the plants with a figure that has no kg, or another unit, where a date would stand."""
    if len(words) >= 3 and words[-3].casefold() in POSITIONS and _is_figure(words[-2]):
        part, figure, unit = words[-3:]
        raise Refusal(f'"{part} {figure} {unit}": a weight is in kg or lb; write such as {part} 12.5 kg')
    if len(words) >= 2 and words[-2].casefold() in POSITIONS and _is_figure(words[-1]):
        part, figure = words[-2:]
        raise Refusal(f'"{part} {figure}": write {part} {figure} kg')


def _refuse_stray(words: Sequence[str], at: int) -> None:
    """Raises Refusal for words that no field begins with behind one that is whole, such as a date behind a weight."""
    stray = " ".join(words[at : at + next(n for n in range(len(words)) if _ends(words, at + n))])
    if stray:
        raise Refusal(
            f'"{stray}" behind "{" ".join(words[:at])}" is no field; a date stands first, or behind the word date: date {stray}'
        )


def _ends(words: Sequence[str], at: int) -> bool:
    """Whether a field begins at a word, or nothing more comes."""
    return at >= len(words) or _begins(words, at) or fields_begin("pass", words[at:]) == 0


def _is_figure(text: str) -> bool:
    return text.removeprefix("-").replace(",", ".").replace(".", "", 1).isdigit()


def _first_field(words: Sequence[str]) -> int:
    """How many words stand before the first field: a date."""
    starts = (n for n in range(len(words)) if _begins(words, n))
    return next(starts, len(words))


def _begins(words: Sequence[str], at: int) -> bool:
    word = words[at].casefold()
    named = word.partition("=")[0] in _FIELDS or [w.casefold() for w in words[at : at + 3]] == [*_WEIGHT]
    return named or _is_weight(words, at)


def _end(words: Sequence[str], at: int) -> int:
    """Where the field that begins at a word ends; a word behind its name is its value, whatever else it may be."""
    first = at + (5 if [w.casefold() for w in words[at : at + 3]] == [*_WEIGHT] else 2)
    return next((n for n in range(first, len(words)) if _begins(words, n)), len(words))


def _is_weight(words: Sequence[str], at: int) -> bool:
    """Whether a part and its kg stand there: top 12.5 kg, top 12.5kg."""
    number, unit = words[at + 1 : at + 2], words[at + 2 : at + 3]
    if not number or words[at].casefold() in _FIELDS:
        return False
    text = number[0].casefold()
    behind = next((name for name in WEIGHT_UNITS if text.endswith(name)), "")
    bare = text.removesuffix(behind)
    return _is_figure(bare) and (bare != text or _is_unit(unit))


def _is_unit(words: Sequence[str]) -> bool:
    return bool(words) and words[0].casefold() in WEIGHT_UNITS


def _show(args: argparse.Namespace, season: Season, lot: str) -> None:
    from calendar_tui.season.lots import passes_of

    every = sorted(season.passes.values(), key=lambda one: (one.date, one.id))
    if lot:
        of = passes_of(season, lot) if lot in season.cohorts else [p for p in every if p.lot == lot]
        every = list(of)
    if args.json:
        from calendar_tui.handing_on.tables.drying_rows import pass_row

        print_json({"passes": [pass_row(season, one) for one in every]})
    else:
        from calendar_tui.handing_on.words.drying_text import passes_text

        emit(passes_text(season, every, lot))

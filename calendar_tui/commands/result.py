"""The command result: what laboratories found, what is due; a result recorded by hand, or a laboratory's file taken in."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING

from calendar_tui.commands.changing import confirm_and_save, require_yes_or_dry_run_with_json, show_and_save
from calendar_tui.commands.command_input import date_order, emit, planned_season, print_json
from calendar_tui.commands.field_words import typed_fields
from calendar_tui.commands.parsing import Flags
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.planning.changes.held_season import HeldSeason
    from calendar_tui.season.laboratory_columns import LaboratoryColumns
    from calendar_tui.season.records import Season
    from calendar_tui.storage.opening import Opened

# Each setting of a laboratory's file that a flag sets: the key of its record.
SETTINGS = ("unit", "decimal", "dash", "date_order", "uncertainty", "basis", "water_is", "separator")
FLAGS: Flags = {
    "--from": {"dest": "from_", "metavar": "FILE", "help": "take in this CSV file of a laboratory"},
    "--laboratory": {
        "metavar": "LABORATORY",
        "help": "whose file it is; how it is written is kept in its record",
    },
    "--column": {
        "metavar": "HEADER=WHAT",
        "action": "append",
        "help": "what a column holds, such as 'd9 THC=THC' or 'Notes=ignored'; may be given several times",
    },
    "--analyte": {
        "metavar": "NAME=WHAT",
        "action": "append",
        "help": "what the laboratory calls by a name of its own, such as 'THC acid=THCA' or 'CBL=ignored'",
    },
    **{
        f"--{key.replace('_', '-')}": {"metavar": "WORD", "help": f"of the file: {what}"}
        for key, what in (
            ("unit", "the unit of its figures, such as %% or mg/g"),
            ("decimal", "what stands before the decimals, a point or a comma"),
            ("dash", "what a dash stands for: 'not tested' or 'not detected'"),
            ("date_order", "day-first or month-first"),
            ("uncertainty", "absolute or relative"),
            ("basis", "dry, 'as received', 'as tested' or 'absolutely dry'"),
            ("water_is", "'of total' or 'of dry matter'"),
            ("separator", "comma, semicolon or tab"),
        )
    },
    "--keep": {
        "action": "store_true",
        "help": "keep a result aside whose bag is not known, or a report by itself that only adds to one that is in",
    },
}


def result(args: argparse.Namespace) -> int:
    """Words: none; or a bag, analytes with what was found of them, and fields of the report."""
    from calendar_tui.planning.changes.held_season import HeldSeason

    opened, plan, words = planned_season(args)
    held = HeldSeason(plan, opened.data, date_order(), opened.reading)
    if args.from_ is not None:
        return _take_in(args, opened, held, words)
    if not words:
        _show(args, held)
        return 0
    from calendar_tui.planning.changes.results_in import record_result

    require_yes_or_dry_run_with_json(args)
    bag, rest = _bag(args, plan.season, words)
    typed = typed_fields(argparse.Namespace(), "result", list(_named_analytes(rest)))
    return confirm_and_save(args, opened, {None: record_result(held, bag, typed, apart=args.keep)})


def _bag(args: argparse.Namespace, season: Season, words: Sequence[str]) -> tuple[str, Sequence[str]]:
    """The bag that the first words name, in one group or two, and the words behind it. Raises Refusal for one not known."""
    from calendar_tui.planning.changes.results_in import read_bag
    from calendar_tui.season.sample_ids import plain_id

    pair = plain_id("".join(words[:2]))
    count = 2 if plain_id(words[0]) not in season.samples and pair in season.samples else 1
    typed = " ".join(words[:count])
    try:
        return read_bag(season, typed, unknown=args.keep), words[count:]
    except Refusal as wrong:
        kept = "; --keep keeps its result aside" if str(wrong).startswith("there is no bag") else ""
        raise Refusal(f"{wrong}{kept}") from wrong


def _named_analytes(words: Sequence[str]) -> Iterator[str]:
    """The words with "amount of THC" for an analyte by any of its names, THC=0.05 too, and "LOQ of THC" for LOQ of d9-THC."""
    from calendar_tui.nature.analytes import ANALYTES
    from calendar_tui.season.analyte_names import analyte_named

    for before, word in pairwise(("", *words)):
        name, equals, value = word.partition("=")
        analyte = analyte_named(name)
        if analyte in ANALYTES:
            yield from () if before.casefold() == "of" else ("amount", "of")
            yield f"{analyte}{equals}{value}" if equals else analyte
        else:
            yield word


def _show(args: argparse.Namespace, held: HeldSeason) -> None:
    if args.json:
        from calendar_tui.handing_on.tables.result_rows import results_data

        print_json(results_data(held.plan))
    else:
        from calendar_tui.handing_on.words.results_text import results_text

        emit(results_text(held.plan))


# --- a laboratory's file


def _take_in(args: argparse.Namespace, opened: Opened, held: HeldSeason, words: Sequence[str]) -> int:
    from calendar_tui.planning.changes.laboratory_import import take_in
    from calendar_tui.season.laboratory_columns import columns_data
    from calendar_tui.storage.table_file import laboratory_text

    if words:
        raise Refusal(f"{' '.join(words)} is more than --from takes; each bag is named in the file")
    require_yes_or_dry_run_with_json(args)
    laboratory = _laboratory(args, held.plan.season)
    text = laboratory_text(Path(args.from_))
    columns = _columns(args, held.plan.season, laboratory, text)
    taken = take_in(held, laboratory, Path(args.from_).name, text, columns)
    more = {"problems": list(taken.report), "columns": columns_data(columns)}
    if taken.proposal is not None:
        show_and_save(args, opened, {None: taken.proposal}, more)
    elif args.json:
        print_json({**more, "answers": []})
    else:
        emit([*taken.report, "Nothing is added."])
    return 1 if taken.failed else 0


def _laboratory(args: argparse.Namespace, season: Season) -> str:
    from calendar_tui.season.finders import find_record

    if args.laboratory is not None:
        return find_record("laboratory", season, args.laboratory)
    if len(season.laboratories) == 1:
        return next(iter(season.laboratories))
    known = ", ".join(season.laboratories) or "none yet: add laboratory NAME"
    raise Refusal(f"name the laboratory with --laboratory; there is {known}")


def _columns(args: argparse.Namespace, season: Season, laboratory: str, text: str) -> LaboratoryColumns:
    """How the file is written, by the flags and the laboratory's record. Raises Refusal for what neither sets."""
    from calendar_tui.planning.changes.laboratory_import import Given, columns_of_file

    given = Given(
        {key: value for key in SETTINGS if (value := getattr(args, key))},
        dict(_pairs("--column", args.column or ())),
        dict(_pairs("--analyte", args.analyte or ())),
    )
    columns, questions, headers = columns_of_file(season, laboratory, text, given)
    if questions:
        lines = [f"  {text} ({_flag(key, headers)})" for key, text in questions]
        roles = [f"  {header}: {role}" for header, role in columns.columns.items()]
        known = ["its columns are taken for", *roles] if roles else []
        head = "how this file is written is not all known:"
        raise Refusal("\n".join([head, *lines, *known, "set the rest by flags; it is kept"]))
    return columns


def _flag(key: str, headers: Sequence[str]) -> str:
    """The flag that answers a question of `columns_of_file`."""
    from calendar_tui.season.laboratory_columns import SAMPLE

    kind, _, name = key.partition(" ")
    if key in SETTINGS:
        return f"--{key.replace('_', '-')} ..."
    if kind == "analyte" and name:
        return f"--analyte '{name}=...'"
    return f"--column '{headers[0]}={SAMPLE}'" if key == SAMPLE and headers else f"--column '{key}=...'"


def _pairs(flag: str, typed: Sequence[str]) -> Iterator[tuple[str, str]]:
    for one in typed:
        name, equals, what = one.rpartition("=")
        if not equals or not name:
            raise Refusal(f'{flag} "{one}" has no =; write {FLAGS[flag]["metavar"]}, such as "d9 THC=THC"')
        yield name, what

"""The command analyse: a trial of a season, or a table of plots from anywhere, analysed by the design of its trial."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from calendar_tui.commands.command_input import emit, named_file, print_json, refuse_extra_words
from calendar_tui.commands.parsing import Flags
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.handing_on.words.analysis_notes import Shown
    from calendar_tui.nature.field_analysis.analysis import Question
    from calendar_tui.nature.field_analysis.designs import Layout
    from calendar_tui.nature.field_analysis.gathering import Marks
    from calendar_tui.nature.field_analysis.plots import Plots
    from calendar_tui.season.trial_table import Numbers, TrialTable

# The roles of columns, and what stands in such a column; those in _SEVERAL may be given more than once.
_ROLES = {
    "treatment": "what is compared; given more than once, all combinations are",
    "block": "the block; of alpha the incomplete block",
    "main": "what whole main plots get, or of strip-plot the first strips",
    "sub": "what sub-plots get, or of strip-plot the strips across",
    "subsub": "what the plots within sub-plots get",
    "row": "the row: of a Latin square, else for the map of residuals",
    "column": "the column, likewise",
    "replicate": "the complete replicate of an alpha design",
    "unit": "the place or pot that one level of the treatment, or of --main, is applied to as a whole, as light is",
    "plot": "the plot's own name, where block and treatments do not tell plots apart",
}
_SEVERAL = ("treatment", "main", "sub", "subsub")
_SCALES = ("plain", "log", "count", "logit", "arcsine")
FLAGS: Flags = {
    "--design": {"metavar": "DESIGN", "help": "how the trial is laid out, such as blocks or split-plot"},
    "--value": {"metavar": "COLUMN", "help": "the column with what was measured"},
    **{
        f"--{role}": {
            "metavar": "COLUMN",
            "help": words,
            **({"action": "append"} if role in _SEVERAL else {}),
        }
        for role, words in _ROLES.items()
    },
    "--sample": {"metavar": "COLUMN", "help": "the sample within a plot: they are averaged to the plot"},
    "--of": {
        "metavar": "COLUMN",
        "help": "what the value is a count out of, such as plants planted; analysed as logit",
    },
    "--percent": {"action": "store_true", "help": "the values are in percent, and are taken as shares"},
    "--scale": {
        "choices": _SCALES,
        "help": "analyse on this scale: log, count, or of shares logit or arcsine",
    },
    "--level": {"metavar": "SHARE", "default": "0.05", "help": "level of significance, else 0.05"},
    "--response": {
        "metavar": "COLUMN",
        "action": "append",
        "help": "a treatment whose levels are numbers or dates: its response, straight or curved",
    },
    "--density": {
        "metavar": "COLUMN",
        "action": "append",
        "help": "a treatment whose levels are plants per area: the curve of yield on them",
    },
    "--contrast": {
        "metavar": "COLUMN=N,N,...",
        "action": "append",
        "help": "a comparison of levels: a number for each in order, adding up to 0",
    },
    "--group": {
        "metavar": "COLUMN",
        "action": "append",
        "help": "groups of treatments, between which the spread is compared",
    },
    "--no-interactions": {
        "action": "store_true",
        "help": "leave combinations of treatments out of the model",
    },
    "--leave-out": {
        "metavar": "COLUMN=VALUE",
        "action": "append",
        "help": "rows that are in no mean, such as kind=guard",
    },
    "--date": {
        "metavar": "DATE",
        "help": "of a trial of a season: the round of measuring on that day, else the newest",
    },
    "--decimal": {
        "choices": ("point", "comma"),
        "help": "the decimal mark, where the table does not show it",
    },
}


# What goes with one form of the command alone.
_OF_SEASON = ("--date", "--at")
_OF_BOTH = ("--scale", "--level", "--contrast", "--no-interactions")
_OF_TABLE = tuple(flag for flag in FLAGS if flag not in (*_OF_BOTH, *_OF_SEASON))


def analyse(args: argparse.Namespace) -> int:
    """Words: a table, or a season, one of its trials and what was measured in it."""
    from calendar_tui.commands.analyse_trial import analyse_season

    if not _is_table(args):
        _refuse_given(args, _OF_TABLE, "a table; a trial of a season has its own design and columns")
        return analyse_season(args)
    _refuse_given(args, _OF_SEASON, "a trial of a season")
    return _analyse_table(args)


def _is_table(args: argparse.Namespace) -> bool:
    """Whether a table is meant: by the first word, or by flags that only a table has."""
    word = args.words[0] if args.words else ""
    if word.endswith(".toml"):
        return False
    return bool(word and (Path(word).suffix or named_file(word))) or bool(_given(args, _OF_TABLE))


def _given(args: argparse.Namespace, flags: Sequence[str]) -> list[str]:
    return [flag for flag in flags if getattr(args, flag.removeprefix("--").replace("-", "_"))]


def _refuse_given(args: argparse.Namespace, flags: Sequence[str], whose: str) -> None:
    if given := _given(args, flags):
        raise Refusal(f"{given[0]} is for {whose}")


def _analyse_table(args: argparse.Namespace) -> int:
    from calendar_tui.nature.field_analysis.gathering import PlotTwice, TrialProblem

    if not args.words:
        raise Refusal(
            "give a table, such as: analyse yields.csv --design blocks --block block --treatment variety --value yield"
        )
    refuse_extra_words(args.words[1:])
    table = _table(args.words[0])
    layout = _layout(args, table)
    if not args.value:
        raise Refusal(f"--value is not set; it is the column with what was measured: {_columns(table)}")
    try:
        return _show(args, table, layout)
    except PlotTwice as wrong:
        raise Refusal(
            f"{table.at(wrong.rows)}{wrong}; take one out, or add --sample with the column that numbers the samples of a "
            "plot, or --plot with the one that names plots"
        ) from wrong
    except TrialProblem as wrong:
        raise Refusal(f"{table.at(wrong.rows)}{wrong}") from wrong


def _table(word: str) -> TrialTable:
    from calendar_tui.season.trial_table import read_trial_table
    from calendar_tui.storage.table_file import table_text

    return read_trial_table(table_text(Path(word), "a table of plots"), word)


def _show(args: argparse.Namespace, table: TrialTable, layout: Layout) -> int:
    from calendar_tui.nature.field_analysis.analysis import analyse as analysed

    numbers, plots = _plots(args, table, layout)
    guards = _guards(args, table)
    value = table.find(args.value, "--value")
    notes = list(_notes(table, layout, args))
    if any(not guards[row] for row in numbers.under):
        return _show_under_limit(args, numbers, plots, guards, layout, value)
    question = _question(args, table, layout)
    analysis = analysed(plots, question, guards)
    if args.json:
        from calendar_tui.handing_on.tables.analysis_rows import analysis_row
        from calendar_tui.handing_on.words.analysis_notes import does_not_show, remarks

        lines = tuple(line.number for line in table.lines)
        sentences = {
            "remarks": [*notes, *remarks(analysis, _shown(args, table, value))],
            "does_not_show": [*does_not_show(analysis)],
        }
        print_json({**analysis_row(analysis, value, lines), **sentences})
        return 0
    from calendar_tui.handing_on.words.analysis_text import analysis_text

    emit(analysis_text(analysis, _shown(args, table, value), notes))
    return 0


def _shown(args: argparse.Namespace, table: TrialTable, value: str) -> Shown:
    from calendar_tui.handing_on.words.analysis_notes import Shown

    return Shown(value, [str(line.number) for line in table.lines], factor=100.0 if args.percent else 1.0)


def _show_under_limit(
    args: argparse.Namespace, numbers: Numbers, plots: Plots, guards: Marks, layout: Layout, value: str
) -> int:
    """Where some values are under a limit: how many, and medians; no number is made of them, so there is no test."""
    import numpy as np

    from calendar_tui.nature.field_analysis.under_limit import counted

    under = np.array([row in numbers.under for row in range(len(plots))], dtype=bool)
    found = counted(plots.kept(~guards), under[~guards], layout.factors())
    if args.json:
        from calendar_tui.handing_on.tables.analysis_rows import under_limit_row

        print_json(under_limit_row(found, layout.factors(), value))
        return 0
    from calendar_tui.handing_on.words.analysis_text import under_limit_text

    emit(under_limit_text(found, layout.factors(), value))
    return 0


# --- what the flags set


def _layout(args: argparse.Namespace, table: TrialTable) -> Layout:
    """The layout that the flags set. Raises Refusal for what the design lacks or does not take."""
    from calendar_tui.nature.field_analysis.designs import DESIGNS, WITH_UNIT, Layout, lacking_roles
    from calendar_tui.season.readers import choices

    designs = {name.replace(" ", "-"): name for name in DESIGNS}
    typed = (args.design or "").strip().casefold().replace(" ", "-")
    if typed not in designs:
        what = f"--design {args.design} is not known" if args.design else "--design is not set"
        raise Refusal(f"{what}{choices(typed, designs, 'Designs')}")
    design = designs[typed]
    taken = {*DESIGNS[design].roles, "plot", *(["unit"] if design in WITH_UNIT else [])}
    given = {role: names for role in _ROLES if (names := _names(args, role))}
    for role in given.keys() - taken - {"row", "column"}:
        takes = ", ".join(f"--{one}" for one in DESIGNS[design].roles)
        raise Refusal(f"--{role} is no part of --design {typed}, which takes {takes}")
    columns = {
        role: tuple(table.find(name, f"--{role}") for name in names)
        for role, names in given.items()
        if role in taken
    }
    if lacking := lacking_roles(design, columns):
        flags = " and ".join(f"--{role}" for role in lacking)
        raise Refusal(f"--design {typed} needs {flags}; set the column of each: {_columns(table)}")
    _refuse_doubled(columns)
    return Layout(design, columns, not args.no_interactions)


def _names(args: argparse.Namespace, role: str) -> list[str]:
    given = getattr(args, role)
    return given if isinstance(given, list) else [given] if given else []


def _refuse_doubled(columns: Mapping[str, Sequence[str]]) -> None:
    """A column has one role."""
    seen: dict[str, str] = {}
    for role, names in columns.items():
        for name in names:
            if name in seen:
                raise Refusal(f"{name} is both --{seen[name]} and --{role}; a column is one of them")
            seen[name] = role


def _plots(args: argparse.Namespace, table: TrialTable, layout: Layout) -> tuple[Numbers, Plots]:
    import numpy as np

    from calendar_tui.nature.field_analysis.plots import Plots
    from calendar_tui.nature.field_analysis.scales import shares
    from calendar_tui.season.trial_table import levels, numbers

    value = table.find(args.value, "--value")
    roles = {name: role for role, names in layout.columns.items() for name in names}
    if value in roles:
        raise Refusal(f"{value} is both --{roles[value]} and --value; a column is one of them")
    read = numbers(table, value, args.decimal or "")
    values = np.array([np.nan if number is None else number for number in read.values])
    if args.of:
        totals = numbers(table, table.find(args.of, "--of"), args.decimal or "")
        out_of = np.array([np.nan if number is None else number for number in totals.values])
        values = shares(values, out_of, _scale(args))
    elif args.percent:
        values = values / 100
    mapped = (table.find(name, f"--{role}") for role in ("row", "column") if (name := getattr(args, role)))
    grouped = (table.find(name, "--group") for name in args.group or ())
    labels = {name: levels(table, name) for name in dict.fromkeys((*roles, *mapped, *grouped))}
    return read, Plots(labels, values)


def _guards(args: argparse.Namespace, table: TrialTable) -> Marks:
    """The rows that --leave-out names."""
    import numpy as np

    out = np.zeros(len(table.lines), dtype=bool)
    for pair in args.leave_out or ():
        name, equals, word = pair.partition("=")
        if not equals:
            raise Refusal(f'--leave-out "{pair}" has no =; write COLUMN=VALUE, such as kind=guard')
        texts = table.texts(table.find(name, "--leave-out"))
        found = [text.casefold() == word.strip().casefold() for text in texts]
        if not any(found):
            known = ", ".join(dict.fromkeys(texts))
            raise Refusal(f"--leave-out {pair}: no row has {word.strip()} there; it has {known[:200]}")
        out |= np.array(found)
    return out


def _question(args: argparse.Namespace, table: TrialTable, layout: Layout) -> Question:
    from calendar_tui.nature.field_analysis.analysis import Question

    return Question(
        layout,
        _scale(args),
        level_of(args.level),
        tuple(_factor(table, layout, name, "--response") for name in args.response or ()),
        tuple(_factor(table, layout, name, "--density") for name in args.density or ()),
        _contrasts(args, table, layout),
        sampled=bool(args.sample and table.find(args.sample, "--sample")),
        groups=tuple(table.find(name, "--group") for name in args.group or ()),
        row=table.find(args.row, "--row") if args.row else "",
        column=table.find(args.column, "--column") if args.column else "",
    )


def _scale(args: argparse.Namespace) -> str:
    """The scale that is set; of counts out of a total the logit."""
    scale: str = args.scale or ("logit" if args.of else "plain")
    return scale


def level_of(typed: str) -> float:
    """The level of significance that is typed. Raises Refusal."""
    try:
        level = float(typed)
    except ValueError:
        level = 0.0
    if not 0 < level <= 0.5:
        raise Refusal(
            f'--level "{typed}" is no level of significance; write a share over 0 up to 0.5, such as 0.05'
        )
    return level


def _factor(table: TrialTable, layout: Layout, name: str, flag: str) -> str:
    header = table.find(name, flag)
    if header not in layout.factors():
        raise Refusal(f"{flag} {header} is no treatment of this trial; it has {', '.join(layout.factors())}")
    return header


def _contrasts(
    args: argparse.Namespace, table: TrialTable, layout: Layout
) -> dict[str, tuple[tuple[float, ...], ...]]:
    found: dict[str, tuple[tuple[float, ...], ...]] = {}
    for typed in args.contrast or ():
        name, _, text = typed.rpartition("=")
        factor = _factor(table, layout, name or typed, "--contrast")
        try:
            row = tuple(float(part) for part in text.split(","))
        except ValueError:
            raise Refusal(
                f"--contrast {typed}: write COLUMN= and a number for each level, such as {factor}=1,-1,0"
            ) from None
        found[factor] = (*found.get(factor, ()), row)
    return found


def _notes(table: TrialTable, layout: Layout, args: argparse.Namespace) -> Iterator[str]:
    """What is odd about the labels and the scale."""
    from calendar_tui.season.trial_table import alike_levels

    if args.percent and not args.scale:
        yield "Shares are analysed as they are; near 0 and 100 % they spread less than between: see --scale logit and arcsine."
    for name in dict.fromkeys(name for names in layout.columns.values() for name in names):
        if pair := alike_levels(table.texts(name)):
            yield f'{name} has "{pair[0]}" and "{pair[1]}", which are taken as two; write one of them if they are the same.'


def _columns(table: TrialTable) -> str:
    return ", ".join(filter(None, table.headers))

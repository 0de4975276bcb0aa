"""The command labels: labels for bags, for trays, or for the plots of a trial, on sheets; a page to try the printer with; a custody sheet."""

from __future__ import annotations

import argparse
import os
from collections.abc import Callable, Mapping, Sequence
from math import isfinite
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from calendar_tui.commands.command_input import (
    confirm_overwrite,
    emit,
    flag_day,
    planned_season,
    print_json,
)
from calendar_tui.commands.crew_language import crew_speaks
from calendar_tui.commands.flags import JSON, LANG
from calendar_tui.commands.output import note_saved
from calendar_tui.commands.parsing import Flags
from calendar_tui.commands.units_wanted import take_up_units
from calendar_tui.language.speaking import tr, tr_n
from calendar_tui.season.readers import choices
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.wording import full_day_text

if TYPE_CHECKING:
    from datetime import date

    from calendar_tui.handing_on.paper.label_sheets import Sheet
    from calendar_tui.handing_on.paper.labels import LabelText
    from calendar_tui.planning.plan import Plan
    from calendar_tui.season.sampling import Sample

DEFAULT_SHEET = "a4-24"
FLAGS: Flags = {
    "--sheet": {
        "metavar": "SHEET",
        "default": DEFAULT_SHEET,
        "help": f"the sheet of labels, such as a4-24 or a4-3x8 (the default: {DEFAULT_SHEET}); list prints all",
    },
    "--offset-x": {
        "metavar": "MM",
        "help": "move all labels so many mm to the right, or to the left with a number below 0",
    },
    "--offset-y": {"metavar": "MM", "help": "move all labels so many mm down, or up with a number below 0"},
    "--first": {
        "metavar": "N",
        "help": "begin at this label of the first sheet, where the ones before it are used",
    },
    "--date": {"metavar": "DATE", "help": "the bags cut, or to be cut, on this date"},
    "--stakes": {
        "metavar": "TRIAL",
        "help": "a label for each plot of this trial, with its number, and none for bags",
    },
    "--trays": {
        "action": "store_true",
        "help": "a label for each tray of the cohorts that are named, or of all that still stand in trays, and none for bags",
    },
    "--test-page": {
        "action": "store_true",
        "help": "only the outlines of the labels, to print on plain paper at 100 %% and hold against a sheet of labels",
    },
    "--custody": {"metavar": "FILE.html", "help": "write a custody sheet for the same bags too"},
    "--output": {"metavar": "FILE.html", "help": "the file to write, else SEASON-labels.html in this folder"},
    "--paper": {
        "choices": ("iso", "us"),
        "default": "iso",
        "help": "of the custody sheet: iso is A4 (the default), us is letter",
    },
    "--yes": {"action": "store_true", "help": "write over files that are there without asking"},
    **LANG,
    **JSON,
}


class _Made(NamedTuple):
    """What the labels of one kind are: the page's title, the text of each, and files that go with them."""

    title: str
    texts: Sequence[LabelText]
    files: Mapping[Path, bytes] = {}


def labels(args: argparse.Namespace) -> int:
    """Words: bags by their ids, none for those that are not sent yet; or cohorts, with --trays."""
    from calendar_tui.handing_on.paper.labels import blank_page, can_make_codes, sheets_page

    if args.sheet == "list":
        _show_sheets(args)
        return 0
    opened, plan, words = planned_season(args)
    sheet = find_sheet(args.sheet)
    x, y = _mm(args.offset_x, "--offset-x"), _mm(args.offset_y, "--offset-y")
    kind = "test-page" if args.test_page else _kind(args)
    target = Path(args.output or f"{opened.path.stem}-{kind}.html")
    files: dict[Path, bytes] = {}
    texts: Sequence[LabelText] = ()
    coded: bool | None = None
    try:
        if args.test_page:
            _refuse_given(args, words, "test-page", "--test-page, which has no bags on it")
            with crew_speaks(args, plan.season):
                files[target] = blank_page(sheet, x, y)
        else:
            first, coded = _first(args.first), can_make_codes()
            with crew_speaks(args, plan.season):
                made = _KINDS[kind](args, plan, words)
                if made.texts:
                    files[target] = sheets_page(
                        f"{plan.season.name}: {made.title}",
                        made.texts,
                        sheet,
                        first=first,
                        offset_x=x,
                        offset_y=y,
                        with_codes=coded,
                    )
                    files |= made.files
            if args.json:  # in English, whatever the crew speaks
                texts = _KINDS[kind](args, plan, words).texts
    except ValueError as wrong:
        raise Refusal(str(wrong)) from wrong
    if coded is False and not args.json:
        emit(_no_codes_lines())
    if files:
        _write(opened.path, files, args)
    if args.json:
        print_json(
            {**_labels_row(args, texts, sheet, x, y), "square_codes": coded, "files": _file_rows(files)}
        )
    else:
        emit(_print_lines(sheet))
    return 0


def _kind(args: argparse.Namespace) -> str:
    return "stakes" if args.stakes is not None else "trays" if args.trays else "labels"


def _show_sheets(args: argparse.Namespace) -> None:
    from calendar_tui.handing_on.paper.label_data import sheet_row
    from calendar_tui.handing_on.paper.label_sheets import SHEETS
    from calendar_tui.handing_on.paper.labels import sheet_rows

    take_up_units(args, {})
    if args.json:
        print_json({"sheets": [sheet_row(one) for one in SHEETS.values()]})
    else:
        emit(sheet_rows(SHEETS.values()))


def _labels_row(
    args: argparse.Namespace, texts: Sequence[LabelText], sheet: Sheet, x: float, y: float
) -> dict[str, object]:
    from calendar_tui.handing_on.paper.label_data import label_rows, sheet_row

    return {"sheet": sheet_row(sheet), "labels": label_rows(texts, sheet, _first(args.first), x, y)}


def _bags(args: argparse.Namespace, plan: Plan, words: Sequence[str]) -> _Made:
    from calendar_tui.handing_on.paper.labels import label_text

    samples = _samples(args, plan, words)
    texts = [label_text(plan, sample) for sample in samples]
    custody = _custody(args, plan, samples) if samples else {}
    return _Made(tr_n("labels of {count} bag", "labels of {count} bags", len(texts)), texts, custody)


def _stakes(args: argparse.Namespace, plan: Plan, words: Sequence[str]) -> _Made:
    from calendar_tui.handing_on.paper.stakes import stake_texts
    from calendar_tui.season.finders import find_record

    _refuse_given(args, words, "stakes", "--stakes, which has plots in place of bags")
    trial = plan.season.trials[find_record("trial", plan.season, args.stakes)]
    texts = stake_texts(plan.season, trial)
    return _Made(tr("stakes of trial {trial}, {plots} plots", trial=trial.id, plots=len(texts)), texts)


def _trays(args: argparse.Namespace, plan: Plan, words: Sequence[str]) -> _Made:
    from calendar_tui.handing_on.paper.trays import tray_texts
    from calendar_tui.season.finders import find_cohort

    _refuse_given(args, (), "trays", "--trays, which has trays in place of bags")
    texts = tray_texts(plan, [find_cohort(plan.season, word).id for word in words])
    return _Made(tr_n("labels of {count} tray", "labels of {count} trays", len(texts)), texts)


# Which flags are for other labels.
_NOT_WITH: Mapping[str, tuple[str, ...]] = {
    "test-page": ("first", "date", "custody", "stakes", "trays"),
    "stakes": ("date", "custody", "trays"),
    "trays": ("date", "custody"),
}
_KINDS: Mapping[str, Callable[[argparse.Namespace, Plan, Sequence[str]], _Made]] = {
    "labels": _bags,
    "stakes": _stakes,
    "trays": _trays,
}


def _no_codes_lines() -> list[str]:
    """Told before a file is written, or asked about."""
    from calendar_tui.handing_on.paper.codes import NO_CODES
    from calendar_tui.handing_on.words.plain_text import hanging

    return hanging(f"No codes: {NO_CODES}")


def _print_lines(sheet: Sheet) -> list[str]:
    from calendar_tui.handing_on.words.plain_text import hanging

    return hanging(f"Print on {sheet.name}, at a scale of 100 %, without margins of the printer")


def find_sheet(typed: str) -> Sheet:
    """The sheet of this name, or of so many columns x rows: a4-24, A4-3x8. Raises Refusal."""
    from calendar_tui.handing_on.paper.label_sheets import SHEETS

    word = typed.casefold().replace(" ", "-").replace("×", "x")
    if word in SHEETS:
        return SHEETS[word]
    alike = [s for s in SHEETS.values() if word == f"{s.paper.casefold()}-{s.columns}x{s.rows}"]
    if len(alike) == 1:
        return alike[0]
    if alike:
        two = " or ".join(f"{sheet.id} ({sheet.name})" for sheet in alike)
        raise Refusal(f'--sheet "{typed}" may be {two}')
    raise Refusal(f'--sheet "{typed}" is no sheet that is known{choices(word, SHEETS, "Sheets")}')


def _samples(args: argparse.Namespace, plan: Plan, words: Sequence[str]) -> list[Sample]:
    """The bags that are named, of a date, or not sent yet. Raises Refusal where there are none, but as JSON, which has none then."""
    from calendar_tui.commands.sample import ids_and_rest
    from calendar_tui.planning.sampling.bag_states import LOST
    from calendar_tui.planning.sampling.week import held_bags

    season = plan.season
    ids, rest = ids_and_rest(season, words) if words else ([], [])
    if rest:
        raise Refusal(
            tr(
                '"{word}" is not the id of a bag; give ids, --date, or neither for bags not sent yet',
                word=rest[0],
            )
        )
    if ids and args.date is not None:
        raise Refusal(tr("--date chooses bags that are not named; leave it out, or the ids"))
    if ids:
        return [season.samples[name] for name in ids]
    if args.date is None:
        bags, day = list(held_bags(season)), plan.today
        none = tr("there is no bag waiting to be sent, so no label")
    else:
        day = flag_day(args, season, args.date, "--date")
        bags = [s for s in season.samples.values() if s.date == day and s.state != LOST]
        none = tr("there is no bag of {day}, so no label", day=full_day_text(day))
    if not bags and not args.json:
        raise Refusal(f"{none}; {_next_step(plan, day)}")
    return bags


def _next_step(plan: Plan, day: date) -> str:
    """How bags come to have ids, where none has one yet: by the first trip from a day on, or one by one."""
    from calendar_tui.planning.sampling.week import next_trip

    trip = next_trip(plan.season, plan.timelines, day)
    if trip is None:
        return tr(
            "no trip is planned after it; `{command}` gives ids to bags of a cohort",
            command="calendar-tui sample COHORT",
        )
    return tr(
        "`{command}` gives ids to the bags of the next trip, and `{labels}` then prints them",
        command=f"calendar-tui sample trip --date {trip}",
        labels="calendar-tui labels",
    )


def _custody(args: argparse.Namespace, plan: Plan, samples: Sequence[Sample]) -> dict[Path, bytes]:
    if args.custody is None:
        return {}
    from calendar_tui.handing_on.paper.custody import custody_page

    return {Path(args.custody): custody_page(plan, samples, args.paper)}


def _refuse_given(args: argparse.Namespace, words: Sequence[str], kind: str, beside: str) -> None:
    """Refuse what chooses other labels than these: flags, and words where none are taken."""
    given = [f"--{name}" for name in _NOT_WITH[kind] if getattr(args, name) not in (None, False)]
    if given or words:
        raise Refusal(f"{(*given, *words)[0]} does not go with {beside}")


def _mm(typed: str | None, flag: str) -> float:
    if typed is None:
        return 0.0
    try:
        number = float(typed.replace(",", "."))
    except ValueError:
        number = float("nan")
    if not isfinite(number):
        raise Refusal(f'{flag} "{typed}" is no number of mm; write such as 1.5 or -2')
    return number


def _first(typed: str | None) -> int:
    if typed is None:
        return 1
    if not (typed.isascii() and typed.isdigit()):
        raise Refusal(f'--first "{typed}" is no number of a label; write such as 5')
    return int(typed)


def _file_rows(files: dict[Path, bytes]) -> list[dict[str, object]]:
    """What was written, and how large it is."""
    return [{"path": str(path), "bytes": len(content)} for path, content in files.items()]


def _write(season: Path, files: dict[Path, bytes], args: argparse.Namespace) -> None:
    from calendar_tui.handing_on.words.plain_text import count_text
    from calendar_tui.storage.disk.handed_file import hand_out

    for path in files:
        if path.suffix.casefold() != ".html":
            raise Refusal(f'"{path}": name a file that ends in .html')
        if os.path.realpath(path) == os.path.realpath(season):
            raise Refusal(f'"{path}" is the season file; name another file')
    if args.json and not args.yes and (there := [str(path) for path in files if path.exists()]):
        raise Refusal(f"--json asks nothing, and {there[0]} is there already: give --yes, or another file")
    confirm_overwrite(files, args.yes)
    hand_out(files)
    lines = [f"{path}: {count_text(len(content), 'byte')}" for path, content in files.items()]
    note_saved("; ".join(lines))
    if not args.json:
        emit(lines)

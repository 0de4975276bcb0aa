"""The command report: the growers' page of a season and its trials, printed or written as HTML and Markdown."""

from __future__ import annotations

import argparse
import os
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from calendar_tui.commands.command_input import (
    confirm_overwrite,
    emit,
    planned_season,
    print_json,
    refuse_extra_words,
)
from calendar_tui.commands.flags import OPENNESS
from calendar_tui.commands.openness import openness_of
from calendar_tui.commands.output import note_saved
from calendar_tui.commands.parsing import Flags
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.handing_on.report.parts import Drawing, Page
    from calendar_tui.handing_on.report.subject import Subject
    from calendar_tui.planning.plan import Plan

FLAGS: Flags = {
    "--html": {"metavar": "FILE.html", "help": "the page with its drawings, to open in a browser and print"},
    "--markdown": {"metavar": "FILE.md", "help": "the page as Markdown, each drawing as a file beside it"},
    "--measure": {"metavar": "ID", "help": "the measure whose result is the sentence on top"},
    "--paper": {"choices": ("iso", "us"), "help": "iso: A4 (the default); us: letter"},
    **OPENNESS,
    "--yes": {"action": "store_true", "help": "write over files that are there without asking"},
}
_ENDINGS = {"html": ".html", "markdown": ".md"}


def report(args: argparse.Namespace) -> int:
    """Words: none for the whole season, or one trial. Without a file the page is printed as Markdown."""
    opened, plan, words = planned_season(args)
    refuse_extra_words(words[1:])
    targets = _targets(args, opened.path)
    if args.json and targets:
        raise Refusal("--json prints the page; leave --html and --markdown out")
    if args.paper and "html" not in targets:
        raise Refusal("--paper is for --html; give that too, or leave it out")
    page = _page(args, _subject(args, plan, words[0] if words else None))
    if args.json:
        from calendar_tui.handing_on.report.data import page_data

        print_json(page_data(page))
    elif targets:
        files = _files(args, targets, page)
        _write(files, args.yes)
        _warn(files, plan, args)
    else:
        from calendar_tui.handing_on.report.markdown import markdown_page

        emit(markdown_page(page).splitlines())
    return 0


def _targets(args: argparse.Namespace, season: Path) -> Mapping[str, Path]:
    """The file each flag names, of the kind it is for. Raises Refusal."""
    named = {name: Path(word) for name in _ENDINGS if (word := getattr(args, name)) is not None}
    for name, target in named.items():
        ending = _ENDINGS[name]
        if target.suffix.casefold() != ending or not target.stem.strip("."):
            raise Refusal(f'--{name} "{target}": name a file that ends in {ending}, such as report{ending}')
        if os.path.realpath(target) == os.path.realpath(season):
            raise Refusal(f'--{name} "{target}" is the season file; name another file')
    return named


def _subject(args: argparse.Namespace, plan: Plan, word: str | None) -> Subject:
    from calendar_tui.handing_on.report.subject import Subject
    from calendar_tui.season.finders import find_record

    trials, openness = plan.season.trials, openness_of(args)
    if word is None:
        return Subject(plan, tuple(trials.values()), openness)
    if not trials:
        raise Refusal(
            f'there is no trial in {plan.season.name}, and so no "{word}"; leave it out to tell the season'
        )
    return Subject(plan, (trials[find_record("trial", plan.season, word)],), openness, is_one=True)


def _page(args: argparse.Namespace, subject: Subject) -> Page:
    from calendar_tui.handing_on.report.page import report_of
    from calendar_tui.planning.trial_analysis.measures import measure_named

    if args.measure is None:
        return report_of(subject)
    if not subject.trials:
        raise Refusal("--measure is of a trial, and the season has none; leave it out")
    first = measure_named(subject.plan.season, subject.trials[0], args.measure)
    return report_of(subject, first.id)


def _files(args: argparse.Namespace, targets: Mapping[str, Path], page: Page) -> dict[Path, bytes]:
    from calendar_tui.handing_on.report.html import html_page
    from calendar_tui.handing_on.report.markdown import markdown_page

    files: dict[Path, bytes] = {}
    if (target := targets.get("html")) is not None:
        files[target] = html_page(page, args.paper or "iso")
    if (target := targets.get("markdown")) is not None:
        files[target] = markdown_page(page, lambda one: _picture(target, one).name).encode()
        files |= {_picture(target, one): f"{one.svg}\n".encode() for one in page.drawings}
    return files


def _picture(target: Path, drawing: Drawing) -> Path:
    """The file of a drawing, beside the page and after its name."""
    name = "".join(c if c.isalnum() or c in "-_." else "-" for c in drawing.name)
    return target.with_name(f"{target.stem}-{name}.svg")


def _write(files: Mapping[Path, bytes], yes: bool) -> None:
    from calendar_tui.handing_on.words.plain_text import count_text
    from calendar_tui.storage.disk.handed_file import hand_out

    confirm_overwrite(files, yes)
    hand_out(files)
    lines = [f"{path}: {count_text(len(content), 'byte')}" for path, content in files.items()]
    note_saved("; ".join(lines))
    emit(lines)


def _warn(files: Mapping[Path, bytes], plan: Plan, args: argparse.Namespace) -> None:
    """Tell of names that were to be left out and stand in words of the season."""
    from calendar_tui.handing_on.words.openness import names_in_words
    from calendar_tui.handing_on.words.plain_text import hanging

    texts = {path.name: content.decode() for path, content in files.items()}
    emit(piece for note in names_in_words(texts, plan.season, openness_of(args)) for piece in hanging(note))

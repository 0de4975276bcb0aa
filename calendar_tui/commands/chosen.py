"""Which cohorts a command is about: those that are named, or all of a place, part, variety or planting date."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Sequence
from datetime import date

from calendar_tui.commands.command_input import flag_day
from calendar_tui.language.speaking import tr
from calendar_tui.season.choosing import Choice, Work, chosen
from calendar_tui.season.finders import find_cohort, find_light
from calendar_tui.season.records import Cohort, Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.stages import STAGES


def is_choice(args: argparse.Namespace) -> bool:
    """Whether flags choose cohorts."""
    return any((args.place, args.part, args.variety, args.planted))


def choice_of(args: argparse.Namespace, season: Season) -> Choice | None:
    """What the flags choose by; None without any."""
    if args.part and not args.place:
        raise Refusal(tr("--part is of a place; give --place ID too"))
    planted = None if args.planted is None else flag_day(args, season, args.planted, "--planted")
    choice = Choice(place=args.place or "", part=args.part or "", variety=args.variety or "", planted=planted)
    return None if choice == Choice() else choice


def work_of(
    args: argparse.Namespace, season: Season, until: date | None, states: tuple[str, ...]
) -> Work | None:
    """Which tasks the flags choose; None without any. until, states: where the flags leave it open."""
    cohorts = choice_of(args, season)
    if cohorts is None and not args.work:
        if args.until is not None:
            raise Refusal(tr("--until goes with --work, --place, --part, --variety or --planted"))
        return None
    by = until if args.until is None else flag_day(args, season, args.until, "--until")
    return Work(words=args.work or "", until=by, cohorts=cohorts, states=states)


def cohorts_and_rest(
    args: argparse.Namespace, season: Season, words: Sequence[str], ends: Sequence[str] = STAGES
) -> tuple[tuple[Cohort, ...], Sequence[str]]:
    """The cohorts that the first words name, with or without commas, or that the flags choose, and the words behind them.

    ends: the words that may come behind cohorts; before one of these any word is meant as a cohort. Raises Refusal.
    """
    choice = choice_of(args, season)
    words = cohorts_apart(season, words)
    named = _named(season, words, ends)
    if choice is None:
        cohorts = tuple(find_cohort(season, word) for word in words[: max(named, 1)])
        return tuple({cohort.id: cohort for cohort in cohorts}.values()), words[max(named, 1) :]
    if named:
        raise Refusal(
            f"{words[0]} is named, and cohorts are chosen by flags too; either name cohorts, or choose them"
        )
    return chosen(season, choice), words


def taken_apart(words: Sequence[str], is_known: Callable[[str], bool]) -> list[str]:
    """The words, with names that commas join taken apart ("A1,D1"), up to the first word in which none is known."""
    out: list[str] = []
    for at, word in enumerate(words):
        parts = [word] if is_known(word) else [part for part in word.split(",") if part]
        if not any(map(is_known, parts)):
            return [*out, *words[at:]]
        out += parts
    return out


def cohorts_apart(season: Season, words: Sequence[str]) -> list[str]:
    """The words, with cohorts that commas join taken apart."""
    known = {name.casefold() for name in season.cohorts}
    return taken_apart(words, lambda word: word.casefold() in known)


def light_and_rest(season: Season, words: Sequence[str]) -> tuple[str, Sequence[str]]:
    """The light that the first word names, or the first two for a screened part ("H2 east"), and the words behind it.

    Raises Refusal.
    """
    parts = {part.casefold() for place in season.places.values() for part in place.screened}
    count = 2 if len(words) > 1 and words[1].casefold() in parts else 1
    return find_light(season, " ".join(words[:count])), words[count:]


def _named(season: Season, words: Sequence[str], ends: Sequence[str]) -> int:
    """How many words at the beginning name cohorts: up to the first that may come behind them, or that is none."""
    behind = {end.split("_")[0] for end in ends} | set(ends)
    known = {name.casefold() for name in season.cohorts}
    for n, word in enumerate(words):
        plain = word.casefold().replace("-", "_")
        if plain in behind and word not in season.cohorts:
            return n
    return next((n for n, word in enumerate(words) if word.casefold() not in known), len(words))

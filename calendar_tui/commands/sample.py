"""The command sample: what is to be cut this week and who has what; bags recorded, sent, lost, cut again."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from calendar_tui.commands.changing import require_yes_or_dry_run_with_json, show_and_save
from calendar_tui.commands.chosen import cohorts_and_rest, cohorts_apart, is_choice, taken_apart
from calendar_tui.commands.command_input import (
    date_order,
    emit,
    first_weekday,
    flag_day,
    planned_season,
    print_json,
    typed_day,
    who,
)
from calendar_tui.commands.parsing import Flags
from calendar_tui.season.readers import Unreadable, choices
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.wording import full_day_text

if TYPE_CHECKING:
    from calendar_tui.planning.changes.held_season import HeldSeason
    from calendar_tui.planning.changes.new_bags import NewBag
    from calendar_tui.planning.plan import Plan
    from calendar_tui.season.records import Season
    from calendar_tui.storage.opening import Opened

FLAGS: Flags = {
    "--date": {
        "metavar": "DATE",
        "help": "the day on which the bags are cut, else today; one to come makes ids for bags that are still to be cut",
    },
    "--positions": {
        "metavar": "A,B",
        "help": "where on the plants, a bag each, such as top,middle,bottom; else as the sampling plan has them",
    },
    "--plots": {
        "metavar": "A,B",
        "help": "in place of cohorts: plots of trials by their ids, a bag of each position of each",
    },
    "--plants": {
        "metavar": "N",
        "help": "plants a bag, else as the sampling plan has them; help prints how many are worth it",
    },
    "--who": {"metavar": "NAME", "help": "who cuts them"},
    "--again": {"metavar": "BAG", "help": "a new bag like this one, in its place"},
}
TRIP, SENT = "trip", "sent"
STATES = (SENT, "lost", "taken")
# Behind cohorts or trip: their planned bags were not cut.
NOT_CUT = ("not", "cut")
MOST_PLANTS = 1000
# Typed for --plants: what more or fewer of them are worth.
HELP = "help"


def sample(args: argparse.Namespace) -> int:
    """Words: none; or cohorts, or "trip", whose bags are recorded; or bags by their ids, and what became of them."""
    from calendar_tui.planning.changes.held_season import HeldSeason

    if args.plants == HELP:
        return _plants_help(args)
    opened, plan, words = planned_season(args)
    held = HeldSeason(plan, opened.data, date_order(), opened.reading)
    if args.again is not None or args.plots:
        return (_of_plots if args.again is None else _again)(args, opened, held, words)
    if not words and not is_choice(args):
        _refuse_flags(args, "there is nothing to record; name cohorts, or write trip")
        _show(args, plan)
        return 0
    if words and _is_trip(plan.season, words[0]):
        return _trip(args, opened, held, words[1:])
    words = cohorts_apart(plan.season, words)
    ids, rest = ids_and_rest(plan.season, words)
    if ids:
        return _become(args, opened, held, ids, rest)
    return _record(args, opened, held, words)


def _plants_help(args: argparse.Namespace) -> int:
    """What more or fewer plants are worth, which no season has to be opened for."""
    from calendar_tui.handing_on.words.plants_text import plants_data, plants_lines

    if args.json:
        print_json(plants_data())
    else:
        emit(plants_lines())
    return 0


def ids_and_rest(season: Season, words: Sequence[str]) -> tuple[list[str], Sequence[str]]:
    """The bags that the first words name, an id in groups being one word or several, with or without commas, and the words behind them.

    No ids where the first word is a cohort. Raises Refusal for a word that looks like an id and is none.
    """
    from calendar_tui.season.sample_ids import is_sound, nearest_ids, plain_id

    cohorts = {name.casefold() for name in season.cohorts}
    words = taken_apart(words, lambda word: plain_id(word) in season.samples)
    ids: list[str] = []
    at = 0
    while at < len(words) and words[at].casefold() not in STATES:
        word, pair = words[at], "".join(words[at : at + 2])
        if not ids and word.casefold() in cohorts:
            break
        if plain_id(word) not in season.samples and plain_id(pair) in season.samples:
            ids.append(plain_id(pair))
            at += 2
            continue
        plain = plain_id(word)
        known = plain in season.samples or is_sound(plain) or nearest_ids(plain, season.samples)
        if not known and not _looks_like_id(word):
            break
        ids.append(_found(season, word))
        at += 1
    return list(dict.fromkeys(ids)), words[at:]


def _looks_like_id(word: str) -> bool:
    """Whether a word that is no cohort is meant as an id: six signs, or signs in groups."""
    from calendar_tui.season.sample_ids import SIGNS, plain_id

    return len(plain_id(word)) == SIGNS + 1 and any(sign.isdigit() for sign in word)


def _found(season: Season, word: str) -> str:
    from calendar_tui.planning.changes.bags import find_sample

    try:
        return find_sample(season, word)
    except Unreadable as wrong:
        raise Refusal(f"the id {wrong}") from wrong


def _is_trip(season: Season, word: str) -> bool:
    return word.casefold() == TRIP and word not in season.cohorts


def _trip(args: argparse.Namespace, opened: Opened, held: HeldSeason, rest: Sequence[str]) -> int:
    from calendar_tui.planning.changes.bags import bags_of_trip

    if _is_not_cut(rest):
        return _leave_out(args, opened, held, (), rest)
    if rest:
        raise Refusal(f"{' '.join(rest)} is more than a trip; give its day with --date")
    if args.positions:
        raise Refusal("--positions goes with cohorts; a trip has the bags of the sampling plans")
    day = _day(args, held.plan)
    bags = bags_of_trip(held, day)
    plants = _plants(args)
    return _save(args, opened, held, [b if plants is None else b._replace(plants=plants) for b in bags], day)


def _record(args: argparse.Namespace, opened: Opened, held: HeldSeason, words: Sequence[str]) -> int:
    from calendar_tui.planning.changes.bags import bags_of_cohorts

    season = held.plan.season
    cohorts, rest = cohorts_and_rest(args, season, words, (*STATES, NOT_CUT[0]))
    if _is_not_cut(rest):
        return _leave_out(args, opened, held, [cohort.id for cohort in cohorts], rest)
    if rest:
        right = choices(rest[0], season.cohorts, "Cohorts")
        raise Refusal(
            f'"{rest[0]}" is neither a cohort nor the id of a bag{right}; a date goes behind --date'
        )
    day = _day(args, held.plan)
    names = [cohort.id for cohort in cohorts]
    bags = bags_of_cohorts(held, names, day, _positions(args), _plants(args))
    return _save(args, opened, held, bags, day)


def _is_not_cut(words: Sequence[str]) -> bool:
    return tuple(word.casefold() for word in words[:2]) == NOT_CUT


def _leave_out(
    args: argparse.Namespace, opened: Opened, held: HeldSeason, cohorts: Sequence[str], words: Sequence[str]
) -> int:
    """Planned bags of days before that were not cut: without --date those of the last trip."""
    from calendar_tui.planning.changes.bags_left_out import bags_not_cut, leave_out_bags

    if rest := words[2:]:
        raise Refusal(f"{' '.join(rest)} is more than not cut takes; give the day of the trip with --date")
    _refuse_flags(args, "bags that were not cut have neither", ("plants", "who"))
    require_yes_or_dry_run_with_json(args)
    bags = bags_not_cut(held, _day(args, held.plan), cohorts, _positions(args))
    show_and_save(args, opened, {None: leave_out_bags(held, bags)})
    return 0


def _of_plots(args: argparse.Namespace, opened: Opened, held: HeldSeason, words: Sequence[str]) -> int:
    from calendar_tui.planning.changes.new_bags import bags_of_plots
    from calendar_tui.season.finders import find_record

    if words or is_choice(args):
        raise Refusal("--plots names the plots, and their cohorts follow; leave out the rest")
    names = [find_record("plot", held.plan.season, name.strip()) for name in args.plots.split(",")]
    bags = bags_of_plots(held, tuple(dict.fromkeys(names)), _positions(args), _plants(args))
    return _save(args, opened, held, bags, _day(args, held.plan))


def _again(args: argparse.Namespace, opened: Opened, held: HeldSeason, words: Sequence[str]) -> int:
    from calendar_tui.planning.changes.new_bags import bag_again

    if words or is_choice(args) or args.positions or args.plots:
        raise Refusal("--again ID takes cohort and position from that bag; leave out the rest")
    bag = bag_again(held.plan.season, _found(held.plan.season, args.again))
    plants = _plants(args)
    return _save(
        args, opened, held, [bag if plants is None else bag._replace(plants=plants)], _day(args, held.plan)
    )


def _become(
    args: argparse.Namespace, opened: Opened, held: HeldSeason, ids: Sequence[str], rest: Sequence[str]
) -> int:
    """Bags that were sent, lost or cut; or, without a word for it, shown."""
    from calendar_tui.handing_on.tables.sample_rows import sample_row
    from calendar_tui.handing_on.words.samples_text import unit_rows
    from calendar_tui.planning.changes.bags import set_bags

    _refuse_flags(args, "bags that have their ids are not recorded again; --again ID is for a new one")
    samples = held.plan.season.samples
    if not rest:
        if args.json:
            print_json({"bags": [sample_row(samples[name]) for name in ids]})
        else:
            emit(unit_rows([samples[name] for name in ids]))
        return 0
    state, typed = rest[0].casefold(), " ".join(rest[1:])
    if state not in STATES:
        right = choices(state, STATES, "Such are")
        raise Refusal(f'"{rest[0]}" is neither the id of a bag nor what becomes of one{right}')
    if typed and state != SENT:
        raise Refusal(f"{typed} is more than {state} takes; only sent takes a date")
    require_yes_or_dry_run_with_json(args)
    sent = _sent_day(held.plan, typed) if state == SENT else None
    show_and_save(args, opened, {None: set_bags(held, ids, state, sent)})
    return 0


def _sent_day(plan: Plan, typed: str) -> date:
    season, today = plan.season, plan.today
    if not typed:
        return today
    day = typed_day(
        typed, today=today, planned=None, first_day=season.first_day, last_day=season.last_day, past=True
    )
    if day > today:
        raise Refusal(
            f"{full_day_text(day)} is after today, {full_day_text(today)}; a bag is recorded as sent once it is"
        )
    return day


def _save(
    args: argparse.Namespace, opened: Opened, held: HeldSeason, bags: Sequence[NewBag], day: date
) -> int:
    """Give bags their ids, as one change; these are shown before it is saved, and stand first in JSON."""
    from calendar_tui.handing_on.tables.sample_rows import sample_row
    from calendar_tui.handing_on.words.plain_text import hanging
    from calendar_tui.handing_on.words.samples_text import NOT_OFFICIAL, tagged_rows, unit_rows
    from calendar_tui.planning.changes.bags import Cutting, record_bags

    require_yes_or_dry_run_with_json(args)
    proposal, new = record_bags(held, bags, Cutting(day, args.who or "", who()))
    if not args.json:
        tagged = (line for text in tagged_rows(held.plan.season, new) for line in hanging(text))
        emit([*unit_rows(new), *tagged, *hanging(NOT_OFFICIAL)])
    show_and_save(args, opened, {None: proposal}, {"bags": [sample_row(one) for one in new]})
    return 0


def _show(args: argparse.Namespace, plan: Plan) -> None:
    from calendar_tui.planning.changes.trip_work import known_limits
    from calendar_tui.planning.results.due import due_results
    from calendar_tui.planning.sampling.week import held_bags, sampling_week

    week = sampling_week(plan.season, plan.timelines, plan.today, known_limits(plan), first_weekday())
    held, out = held_bags(plan.season), due_results(plan.season)
    if args.json:
        from calendar_tui.handing_on.tables.sample_rows import samples_data

        print_json(samples_data(plan, week, held, out))
    else:
        from calendar_tui.handing_on.words.samples_text import samples_text

        emit(samples_text(plan, week, held, out))


def _refuse_flags(
    args: argparse.Namespace, why: str, names: Sequence[str] = ("date", "positions", "plots", "plants", "who")
) -> None:
    given = [f"--{name}" for name in names if getattr(args, name) is not None]
    if given:
        raise Refusal(f"{given[0]} does not apply: {why}")


def _day(args: argparse.Namespace, plan: Plan) -> date:
    return plan.today if args.date is None else flag_day(args, plan.season, args.date, "--date")


def _positions(args: argparse.Namespace) -> tuple[str, ...]:
    if args.positions is None:
        return ()
    names = tuple(dict.fromkeys(name.strip() for name in args.positions.split(",") if name.strip()))
    if not names:
        raise Refusal("--positions names none; write such as top,middle,bottom")
    return names


def _plants(args: argparse.Namespace) -> int | None:
    if args.plants is None:
        return None
    if not (args.plants.isascii() and args.plants.isdigit() and 1 <= int(args.plants) <= MOST_PLANTS):
        raise Refusal(f'--plants "{args.plants}" is no number of plants; write one from 1 to {MOST_PLANTS}')
    return int(args.plants)

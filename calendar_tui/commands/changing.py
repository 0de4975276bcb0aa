"""Commands that change the season file."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from calendar_tui.commands.command_input import (
    answer_to,
    confirmed,
    emit,
    planned_season,
    print_json,
    refuse_extra_words,
    refuse_unasked,
    save,
    tell,
    typed_day,
)
from calendar_tui.language.speaking import marked, phrase, tr, tr_in, translated
from calendar_tui.season.refusal import Refusal, refuse_all
from calendar_tui.season.weather import known_days

if TYPE_CHECKING:
    from calendar_tui.planning.changes.proposal import Proposal
    from calendar_tui.planning.changes.ticks import StageDay
    from calendar_tui.planning.plan import Plan
    from calendar_tui.season.records import Cohort
    from calendar_tui.storage.opening import Opened

# The word after a place's id that tells a night without lamps from a cohort's stage.
OUTAGE = "outage"
# The word after a cohort's id that tells where it is carried from a stage of it.
STAY = "stay"
NOTHING_SAVED = marked("Nothing saved.")


def record(args: argparse.Namespace) -> int:
    from calendar_tui.planning.changes.looks import note_looks
    from calendar_tui.planning.changes.slips import record_dates

    opened, now, words = planned_season(args)
    outage, stay = (_index(now, words, word) for word in (OUTAGE, STAY))
    if outage or stay is not None:
        _refuse_flags(args, "an outage" if outage else "a stay", ("fact", "not_yet", "last_looked", "cause"))
    if outage:
        return _outage(args, opened, now, words[:outage], words[outage + 1 :])
    if stay is not None:
        return _stay(args, opened, now, words, done=True)
    if args.not_yet:
        _refuse_flags(
            args, "a look that did not see a stage yet", ("fact", "last_looked", "cause", "lights_off")
        )
        return _slip(args, opened, now, words, "not_yet", note_looks)
    return _slip(args, opened, now, words, "recorded", record_dates)


def _refuse_flags(args: argparse.Namespace, what: str, names: Sequence[str]) -> None:
    """Refuse flags that say something about the record of a stage alone."""
    for name in names:
        if getattr(args, name):
            raise Refusal(f"--{name.replace('_', '-')} does not apply to {what}")


def plan(args: argparse.Namespace) -> int:
    from calendar_tui.planning.changes.slips import plan_dates

    opened, now, words = planned_season(args)
    if _index(now, words, STAY) is not None:
        return _stay(args, opened, now, words, done=False)
    return _slip(args, opened, now, words, "planned", plan_dates)


def _stay(args: argparse.Namespace, opened: Opened, now: Plan, words: Sequence[str], *, done: bool) -> int:
    from calendar_tui.commands.chosen import cohorts_and_rest, light_and_rest
    from calendar_tui.planning.changes.carrying import add_stays
    from calendar_tui.season.finders import as_stage
    from calendar_tui.season.stages import STAGES

    cohorts, (_, *rest) = cohorts_and_rest(args, now.season, words, (STAY,))
    light, day = light_and_rest(now.season, rest) if rest else ("", ())
    if not day:
        raise Refusal(
            "give the place, with its part where it is screened, and the date, such as: A1 stay F1 2026-12-26"
        )
    if args.lights_off:
        raise Refusal("--lights-off does not apply: a stay leaves the dates that are planned alone")
    require_yes_or_dry_run_with_json(args)
    typed = " ".join(day)
    stage = as_stage(typed)
    begins = stage if stage in STAGES else _typed(now, None, typed, past=done)
    return confirm_and_save(args, opened, {None: add_stays(now, cohorts, light, begins, done=done)})


def _index(now: Plan, words: Sequence[str], word: str) -> int | None:
    """Where that word stands first, in any case of letters and as no cohort's id; None where it does not."""
    at = (n for n, typed in enumerate(words) if typed.casefold() == word and typed not in now.season.cohorts)
    return next(at, None)


def _outage(
    args: argparse.Namespace, opened: Opened, now: Plan, places: Sequence[str], words: Sequence[str]
) -> int:
    from calendar_tui.commands.chosen import is_choice
    from calendar_tui.planning.changes.outages import record_outages

    if not words:
        raise Refusal("give the nights, FROM and TO, such as: H1 outage 2026-12-28 2026-12-30")
    if args.lights_off:
        raise Refusal("--lights-off does not apply: an outage leaves the dates that are planned alone")
    require_yes_or_dry_run_with_json(args)
    if is_choice(args):
        raise Refusal(
            "--place and the like choose cohorts; name the places before the word outage, such as: H1 H2 outage"
        )
    proposal = record_outages(now, _lights(now, places), *_nights(now, words))
    return confirm_and_save(args, opened, {None: proposal})


def _lights(now: Plan, words: Sequence[str]) -> list[str]:
    """The lights that words name, one after the other; a screened part is two words: H2 east."""
    from calendar_tui.season.finders import find_light

    places = {name.casefold() for name in now.season.places}
    names: list[str] = []
    for word in words:
        # What is no place is a part of the one before it, there or not: find_light says what parts there are.
        if names and word.casefold() not in places and " " not in names[-1]:
            names[-1] += f" {word}"
        else:
            names.append(word)
    return [find_light(now.season, name) for name in names]


def _nights(now: Plan, words: Sequence[str]) -> tuple[date, date]:
    """The first and last night, each of one word or more: "28 dec" is one date, "28 dec 30 dec" are two."""
    refused: list[Refusal] = []
    for cut in _cuts(now, words):
        try:
            first = _night(now, " ".join(words[:cut]), None)
            rest = " ".join(words[cut:])
            return first, _night(now, rest, first) if rest else first
        except Refusal as wrong:
            refused.append(wrong)
    raise refused[0]


def _night(now: Plan, text: str, first: date | None) -> date:
    from calendar_tui.season.typed_dates import NIGHTS_AGO, NIGHTS_ON, night_base

    counted = NIGHTS_AGO if first is None else NIGHTS_ON
    return _typed(now, night_base(text, now.today, first), text, past=True, counted=counted)


def _cuts(now: Plan, words: Sequence[str]) -> Sequence[int]:
    """After how many words the first date may end, the likeliest first: after one that is a whole date by itself."""
    inner, whole = range(1, len(words)), len(words)
    try:
        _night(now, words[0], None)
    except Refusal:
        return whole, *inner
    # A weekday may belong to the date behind it: "fri 4 dec".
    return (*inner, whole) if any(c.isdigit() for c in words[0]) else (whole, *inner)


def require_yes_or_dry_run_with_json(args: argparse.Namespace) -> None:
    if args.json and not (args.yes or args.dry_run):
        raise Refusal("--json asks nothing: add --dry-run to look, or --yes to save")


def _slip(
    args: argparse.Namespace,
    opened: Opened,
    now: Plan,
    words: Sequence[str],
    table: str,
    make: Callable[..., Proposal],
) -> int:
    from calendar_tui.commands.chosen import cohorts_and_rest
    from calendar_tui.planning.changes.slips import HOLD

    require_yes_or_dry_run_with_json(args)
    cohorts, rest = cohorts_and_rest(args, now.season, words) if words else ((), words)
    if len(rest) < 2:
        raise Refusal(
            "give a COHORT, a STAGE and a DATE, such as: A1 transplant 2026-11-08, or A1 A2 transplant 2026-11-08"
        )
    texts, looked = getattr(args, "fact", None) or (), getattr(args, "last_looked", None)
    days = _stage_days(now, cohorts, *_stage_words(rest), table, texts, looked, getattr(args, "cause", None))
    if now.season.heat and (weather := known_days(now.season)):
        tell(f"temperatures: {gaps}" for gaps in weather.notes)
    if table == "not_yet":
        show_and_save(args, opened, {None: make(now, days)})
        return 0
    answers = lights_off_answers(args, now, days)
    proposals = {answer: make(now, days, answer or HOLD) for answer in answers}
    if show_and_save(args, opened, proposals) and not args.json:
        _emit_unanswered(next(iter(proposals.values())))
    return 0


def _emit_unanswered(proposal: Proposal) -> None:
    """Print what the tasks that were ticked ask for, where nothing is noted. proposal: of any answer, as all tick alike."""
    from calendar_tui.commands.tasks_by_id import unanswered_lines

    edits = (edit for edit in proposal.change.edits if (edit.kind, edit.field) == ("task", ("state",)))
    ticked = {edit.ident for edit in edits if edit.value == "done"}
    season = proposal.plan.season
    emit(unanswered_lines(season, [t for t in season.tasks if (t.id,) in ticked and not t.fact]))


def _stage_days(
    now: Plan,
    cohorts: Sequence[Cohort],
    named: str,
    typed: str,
    table: str,
    texts: Sequence[str],
    looked: str | None,
    cause: str | None,
) -> tuple[StageDay, ...]:
    """The stage of each cohort with its day; "+3" counts from each one's own planned date. texts: what was found.

    Raises Refusal, for all at once.
    """
    from calendar_tui.planning.changes.facts import typed_facts
    from calendar_tui.planning.changes.ticks import StageDay
    from calendar_tui.season.finders import find_stage

    facts = typed_facts(texts, now.season, [cohort.id for cohort in cohorts])
    days, refused = list[StageDay](), dict[str, None]()
    for cohort in cohorts:
        try:
            stage = find_stage(now.season, cohort, named, table)
            meant = cohort.intended(stage) or now.timelines[cohort.id].likely(stage)
            day = _typed(now, meant, typed, past=table != "planned")
            last_look = _typed(now, day, looked, past=True) if looked else None
            days.append(
                StageDay(cohort.id, stage, day, facts.of(cohort.id), last_look, (cause or "").strip())
            )
        except Refusal as wrong:
            refused[str(wrong)] = None
    refuse_all([*refused], len(cohorts))
    return tuple(days)


def lights_off_answers(
    args: argparse.Namespace, now: Plan, records: Sequence[StageDay]
) -> list[str | date | None]:
    """The answers to what lights off does when stages slip, the given one or all there are; only None without a question."""
    from calendar_tui.planning.changes.slips import HOLD, SHIFT, asking_records

    if asking := asking_records(now, records):
        given = args.lights_off or args.yes
        return (
            [_answer(now, now.season.cohorts[asking[0].cohort], args.lights_off)] if given else [HOLD, SHIFT]
        )
    if args.lights_off:
        reasons = "; ".join(_no_question(now.season.cohorts[r.cohort], r.stage) for r in records)
        raise Refusal(f"--lights-off does not apply: {reasons}")
    return [None]


def _stage_words(words: Sequence[str]) -> tuple[str, str]:
    """The stage and the date, each of one word or more: "lights off" is a stage."""
    ahead = 2 if words[0].casefold() == "lights" and len(words) > 2 else 1
    return " ".join(words[:ahead]), " ".join(words[ahead:])


def _no_question(cohort: Cohort, stage: str) -> str:
    if "lights_off" in cohort.recorded:
        return f"{cohort.id} lights off is recorded on {cohort.recorded['lights_off']}"
    if cohort.intended("lights_off") is None:
        return f"{cohort.id} has no lights-off date"
    return f"a {stage.replace('_', ' ')} on this date moves nothing"


def _answer(now: Plan, cohort: Cohort, word: str | None) -> str | date:
    if word in (None, "hold", "shift"):
        return word or "hold"
    try:
        return _typed(now, cohort.intended("lights_off"), word, past=False)
    except Refusal as wrong:
        raise Refusal(f"--lights-off {wrong}; or write hold or shift") from wrong


def _typed(now: Plan, planned: date | None, text: str, *, past: bool, counted: str = "") -> date:
    first, last = now.season.first_day, now.season.last_day
    return typed_day(
        text, today=now.today, planned=planned, first_day=first, last_day=last, past=past, counted=counted
    )


def confirm_and_save(args: argparse.Namespace, opened: Opened, proposals: Mapping[Any, Proposal]) -> int:
    """Show what would move; save the one chosen, unless it is a dry run. Gives the exit status."""
    show_and_save(args, opened, proposals)
    return 0


def show_and_save(
    args: argparse.Namespace, opened: Opened, proposals: Mapping[Any, Proposal], more: Mapping[str, Any] = {}
) -> bool:
    """Show what would move, in JSON behind `more`; save the one chosen, unless it is a dry run. Whether the file has it now."""
    if not args.dry_run:  # before anything is told as if it were done
        refuse_unasked(args, next(iter(proposals.values())).questions)
    if not args.json:
        from calendar_tui.handing_on.words.moves_text import answers_text

        # Where nobody is asked, what was saved is not to be looked for below a list of tasks.
        emit(answers_text(proposals, getattr(args, "all", False), briefly=args.yes and not args.dry_run))
    chosen = _chosen(args, proposals)
    saved = chosen is not None and bool(chosen.change.edits) and save(opened.path, chosen.change, opened)
    if args.json:
        from calendar_tui.handing_on.tables.json_rows import proposal_row

        rows = [
            proposal_row(p, None if a is None else str(a), saved and p is chosen)
            for a, p in proposals.items()
        ]
        print_json({**more, "answers": rows})
    elif chosen is None:
        emit([tr(NOTHING_SAVED)])
    else:
        emit(saved_lines(translated(chosen.change.what), saved))
    return chosen is not None


def _chosen(args: argparse.Namespace, proposals: Mapping[Any, Proposal]) -> Proposal | None:
    """The proposal to save, by the flags or as the person answers; None to save nothing."""
    if args.dry_run:
        return None
    first = next(iter(proposals.values()))
    if args.yes or not any(proposal.change.edits for proposal in proposals.values()):
        return first
    if len(proposals) == 1:
        return first if confirmed(tr("Save all the same?") if first.questions else tr("Save?")) else None
    answers = tr_in("list", " or ").join(map(str, proposals))
    return proposals.get(answer_to(tr("Save which: {answers}? Enter saves nothing: ", answers=answers)))


def saved_lines(what: str, saved: bool) -> list[str]:
    """What was saved, or that it was there already."""
    from calendar_tui.handing_on.words.plain_text import hanging

    if not saved:
        return [phrase("No change: already saved.")]
    return hanging(tr("Saved: {change}", change=what))


def tasks(args: argparse.Namespace) -> int:
    from calendar_tui.planning.changes.replan import refresh

    opened, now, rest = planned_season(args)
    refuse_extra_words(rest)
    proposal = refresh(now)
    if not proposal.tasks:
        emit(["The saved tasks agree with the plan."])
        return 0
    return confirm_and_save(args, opened, {None: proposal})

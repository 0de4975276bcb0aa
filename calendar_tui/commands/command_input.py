"""What a command is asked: which season, what day it is, and who is at work. Here, and only here, is the clock."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime, timedelta
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from calendar_tui.commands.output import is_lost, note_saved
from calendar_tui.commands.parsing import TODAY, TODAY_FLAG
from calendar_tui.language.speaking import phrase, tr_in
from calendar_tui.season.cells import dotted
from calendar_tui.season.readers import FIRST_DATE, LAST_DATE, plain
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.upgrades import form_note
from calendar_tui.storage.finding import names_file, pick_season
from calendar_tui.storage.problems import SeasonFileError

if TYPE_CHECKING:
    from calendar_tui.planning.plan import Plan
    from calendar_tui.season.edits import Change, Data
    from calendar_tui.season.records import Season
    from calendar_tui.storage.history.as_it_was import AsItWas
    from calendar_tui.storage.opening import Opened
    from calendar_tui.storage.own.settings_file import Own
    from calendar_tui.storage.season_file import Loaded

DATES = "CALENDAR_TUI_DATES"


def emit(lines: Iterable[str]) -> None:
    """Print lines; nothing in them steers the terminal."""
    for line in lines:
        print(drawn(plain(line)))


def drawn(line: str) -> str:
    """The line in letters that go where it is printed: what is cut ends in dots where that is not in UTF-8."""
    return line if "utf" in (sys.stdout.encoding or "").lower() else dotted(line)


def print_json(value: Any) -> None:
    from calendar_tui.handing_on.tables.json_text import json_text

    print(json_text(value))


def print_csv(columns: Sequence[str], rows: Iterable[Mapping[str, object]]) -> None:
    from calendar_tui.handing_on.tables.csv_text import table_text

    sys.stdout.write(table_text(columns, rows, "\n"))


def ask(question: str) -> str:
    """What the person types. Raises EOFError where nobody can read the question, or answer."""
    if sys.stdin is None or is_lost():
        raise EOFError
    try:
        return input(question)
    except UnicodeDecodeError:
        raise EOFError from None


def answer_to(question: str) -> str:
    """What the person answers, in small letters. Raises Refusal where nobody can."""
    try:
        return ask(question).strip().casefold()
    except EOFError:
        print()
        raise Refusal(phrase("nothing saved: no answer; add --yes to save without asking")) from None


def confirmed(question: str) -> bool:
    """Whether the person answers yes, in the language of the question or in English; nothing typed is no."""
    from calendar_tui.season.date_words import unaccented

    yes = {"y", "yes", *map(unaccented, (tr_in("answer", "y"), tr_in("answer", "yes")))}
    return unaccented(answer_to(f"{question} {tr_in('answer', '[y/N]')} ")) in yes


def confirm_overwrite(targets: Iterable[Path], yes: bool) -> None:
    """Ask before files are written over, unless `yes`. Raises Refusal where they are to stay."""
    from calendar_tui.storage.disk.handed_file import read_if_exists

    there = [str(path) for path in targets if read_if_exists(path) is not None]
    if yes or not there:
        return
    verb, them = ("is", "it") if len(there) == 1 else ("are", "them")
    emit([f"{', '.join(there)} {verb} there already."])
    if not confirmed(f"Write over {them}?"):
        raise Refusal("nothing written; name another file, or answer yes")


def refuse_unasked(args: argparse.Namespace, doubts: Iterable[str]) -> None:
    """Refuse what there are doubts about where nobody can answer, because the next line is no answer."""
    if getattr(args, "unasked", False) and (why := " ".join(doubts)):
        raise Refusal(why)


def at_terminal() -> bool:
    """Whether a person sits at both ends."""
    return all(stream is not None and stream.isatty() for stream in (sys.stdin, sys.stdout))


def today_of(args: argparse.Namespace, timezone: str) -> date:
    """Today as set by --today, --at or the environment, else by the clock at the site."""
    if args.today:
        return _day_taken(args.today, timezone)
    if (day := at_day(args)) is not None:
        return day
    return _day_it_is(timezone)


def _day_it_is(timezone: str) -> date:
    """The day as the environment has it, else by the clock at the site."""
    day_set = os.environ.get(TODAY)
    return iso_date(day_set, f"{TODAY} ") if day_set else day_at_site(timezone)


def _day_taken(word: str, timezone: str) -> date:
    """The day that --today takes as today: as files have it, or in words that count from the day it is. Raises Refusal.

    Not 26-11-09 and the like: whatever is worked out hangs on it, and nothing would say how it was read.
    """
    if word[:1] not in ("+", "-") and not any(map(str.isalpha, word)):
        return iso_date(word, f"{TODAY_FLAG} ")
    day = _day_it_is(timezone)
    half_year = timedelta(days=182)
    return _in_reach(word, TODAY_FLAG, day, day - half_year, day + half_year, past=False)


def day_at_site(timezone: str) -> date:
    """The day it is by the clock in a time zone."""
    from zoneinfo import ZoneInfo

    return datetime.now(ZoneInfo(timezone)).date()


def date_order(own: Own | None = None) -> str:
    """Which of day and month comes first in a date of numbers, as set in the environment or else in one's settings; ""
    where it is not set. own: the settings, where they are read already.
    """
    order = os.environ.get(DATES, "")
    if order:
        from calendar_tui.season.typed_dates import ORDERS

        if order not in ORDERS:
            raise Refusal(f'{DATES} is "{order}"; set it to {" or ".join(ORDERS)}, or unset it')
        return order
    if own is None:
        from calendar_tui.storage.own.settings_file import read_own, settings_file

        own = read_own(settings_file())
    return own.settings.date_order


def first_weekday() -> int:
    """With which weekday a week that is shown begins, as set in one's settings; counted from Monday as 0."""
    from calendar_tui.storage.own.settings_file import read_own, settings_file

    return read_own(settings_file()).settings.first_weekday


def typed_day(
    text: str,
    *,
    today: date,
    planned: date | None,
    first_day: date,
    last_day: date,
    past: bool,
    flag: str = "",
    counted: str = "",
) -> date:
    """A date as typed, as `typed_date` reads it. Raises Refusal; flag: stands before its sentence."""
    from calendar_tui.season.typed_dates import FROM_PLAN, is_of_numbers, typed_date

    # The settings are read only where they have a say.
    order = date_order() if DATES in os.environ or is_of_numbers(text) else ""
    try:
        return typed_date(
            text,
            today=today,
            planned=planned,
            first_day=first_day,
            last_day=last_day,
            past=past,
            order=order,
            counted=counted or FROM_PLAN,
        )
    except ValueError as wrong:
        raise Refusal(f"{flag}{wrong}") from wrong


def now() -> datetime:
    return datetime.now().astimezone()


def who() -> str:
    import getpass

    try:
        return getpass.getuser()
    except (OSError, KeyError):  # a user id without a name, as in some containers
        return f"user {os.getuid()}"


def picked_season(args: argparse.Namespace) -> tuple[Path, list[str]]:
    """The season file that is meant, and the words left after its name."""
    words = args.words
    try:
        return pick_season(words, Path.cwd())
    except SeasonFileError:
        if words:
            _refuse_folder(words[0])
        from calendar_tui.commands.own_settings import default_season, own_settings

        if (default := default_season(own_settings())) is None:
            raise
        return default, words
    except (
        OSError
    ) as error:  # a word no file can have as its name, or a file in the folder that may not be read
        raise Refusal(
            f"{error.filename}: {error.strerror}; name the season file first, such as seasons/mine.toml"
        ) from error


def _refuse_folder(word: str) -> None:
    if Path(word).is_dir():
        raise Refusal(
            f'"{word}" is a folder; name a season file in it, such as {Path(word) / "mine.toml"}'
        ) from None


def named_file(word: str) -> bool:
    """Whether a word on the command line means a file. Raises Refusal where it is a folder."""
    try:
        if names_file(word):
            return True
        _refuse_folder(word)
    except OSError:  # longer than a file's name can be
        return False
    return False


def at_day(args: argparse.Namespace) -> date | None:
    """The day in --at, at whose end the season is to be shown; None where it is not given."""
    word = getattr(args, "at", None)
    return None if word is None else past_day(word, "--at")


def looked_back(args: argparse.Namespace, path: Path) -> AsItWas | None:
    """The season file as it was at the end of the day in --at; None where it is not given."""
    day = at_day(args)
    if day is None:
        return None
    from zoneinfo import ZoneInfo

    from calendar_tui.season.reading import zone_of
    from calendar_tui.storage.history.as_it_was import as_it_was_on

    return as_it_was_on(path, day, ZoneInfo(zone_of(data_now(path))))


def load_as_of(args: argparse.Namespace, path: Path, *, work: bool = False) -> Loaded:
    """The season file as it was on --at, or without that as it is. work: whether its work alone is asked for, and nothing saved.

    What is not certain of it is told beside what the command prints, and so is a form other than the program's.
    """
    from calendar_tui.storage.season_file import Loaded, load, load_to_look

    earlier = looked_back(args, path)
    if earlier is None:
        read = load_to_look(path) if work else load(path)
    else:
        tell(f"As it was at the end of {at_day(args)}: {note}" for note in earlier.notes)
        read = Loaded(path, earlier.text, earlier.data)
    warn_if_other_format(path, read.data)
    from calendar_tui.commands.units_wanted import take_up_units

    take_up_units(args, read.data)
    return read


def warn_if_other_format(path: Path, data: Data) -> None:
    """Warn, beside what the command prints, that the file is of another form than this program writes."""
    if note := form_note(data):
        tell([f"{path}: {note}."])


def data_now(path: Path) -> Data:
    """What a season file says now, unchecked; nothing where it cannot be read, which is told."""
    from calendar_tui.storage.season_file import load

    try:
        return load(path).data
    except SeasonFileError as error:
        tell(map(str, error.problems))
        return {}


def tell(warnings: Iterable[str]) -> None:
    """Print warnings on standard error, beside what the command prints."""
    for warning in warnings:
        print(plain(warning), file=sys.stderr)


def planned_season(args: argparse.Namespace) -> tuple[Opened, Plan, list[str]]:
    """The season file, its plan, and the words left after its name."""
    from calendar_tui.planning.plan import make_plan
    from calendar_tui.storage.opening import need_season

    path, words = picked_season(args)
    opened, season = need_season(path, load_as_of(args, path))
    return opened, make_plan(season, today_of(args, season.site.timezone)), words


def save(path: Path, change: Change, opened: Opened | None = None) -> bool:
    """Save a change; whether there was anything to write. Tells of tasks that were settled otherwise by then.

    opened: the file as it was read, of which nothing is read again that stayed.
    """
    from calendar_tui.planning.changes.task_edits import settled_before
    from calendar_tui.storage.opening import season_problems
    from calendar_tui.storage.season_file import Loaded, save_change

    read = None if opened is None else Loaded(path, opened.text, opened.data)
    check = partial(season_problems, earlier=None if opened is None else opened.reading)
    saved = save_change(path, change, who=who(), when=now(), check=check, loaded=read)
    if saved.n is not None:
        note_saved(change.what)
    tell((*settled_before(change.edits, saved.back), *saved.warnings))
    return saved.n is not None


def refuse_extra_words(words: Sequence[str]) -> None:
    if words:
        named_file(words[0])
        raise Refusal(f"not understood: {' '.join(words)}; see --help")


def refuse_two_forms(args: argparse.Namespace, *flags: str) -> None:
    """Raise Refusal where more than one of these flags is given, each of which prints the same in another form."""
    if len(forms := [f"--{flag}" for flag in flags if getattr(args, flag)]) > 1:
        raise Refusal(f"{' and '.join(forms)} are two forms of the same; choose one")


def flag_day(args: argparse.Namespace, season: Season, word: str, flag: str) -> date:
    """The date in a flag, as it is typed for this season. Raises Refusal; flag: stands before its sentence."""
    from calendar_tui.planning.changes.doubts import season_days

    today = today_of(args, season.site.timezone)
    first, last = season_days(season, today)
    return _in_reach(word, flag, today, first, last, past=False)


def past_day(word: str, flag: str) -> date:
    """The date in a flag that is read before the season is: one up to today, by the environment or the computer's clock.

    Raises Refusal.
    """
    day_set = os.environ.get(TODAY)
    today = iso_date(day_set, f"{TODAY} ") if day_set else now().date()
    return _in_reach(word, flag, today, today - timedelta(days=364), today, past=True)


def _in_reach(word: str, flag: str, today: date, first: date, last: date, *, past: bool) -> date:
    """The date typed in a flag, in the years that a season can be in. first, last: between them a date needs no year."""
    from calendar_tui.season.typed_dates import FROM_TODAY

    day = typed_day(
        word,
        today=today,
        planned=today,
        first_day=first,
        last_day=last,
        past=past,
        flag=f"{flag} ",
        counted=FROM_TODAY,
    )
    return iso_date(day.isoformat(), f"{flag} ")


def iso_date(word: str, what: str = "") -> date:
    """The date in a flag; `what` stands before it in the sentence that refuses it."""
    try:
        day = date.fromisoformat(word)
    except ValueError:
        raise Refusal(f'{what}"{word}" is not a date; write it as 2026-12-08') from None
    if not FIRST_DATE <= day <= LAST_DATE:
        years = f"from {FIRST_DATE.year} to {LAST_DATE.year}"
        raise Refusal(f'{what}"{word}" is not {years}; write it as 2026-12-08')
    return day

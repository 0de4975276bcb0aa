"""The command that works the response of the date out for many sites, in several processes or on a Dask cluster."""

from __future__ import annotations

import argparse
import os
import sys
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from contextlib import AbstractContextManager, ExitStack, contextmanager
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

from calendar_tui.commands.command_input import confirm_overwrite, emit, refuse_extra_words, tell
from calendar_tui.commands.output import note_saved
from calendar_tui.commands.parsing import Flags
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.handing_on.tables.response_table import Gathered
    from calendar_tui.planning.response.many import OutcomeColumns, Piece
    from calendar_tui.storage.survey.file import Survey

FLAGS: Flags = {
    "--output": {"metavar": "FILE", "help": "the table to write: FILE.csv, or FILE.parquet"},
    "--workers": {"metavar": "N", "help": "so many processes, else one for each core"},
    "--dask": {
        "metavar": "ADDRESS",
        "help": "on the Dask cluster of this scheduler, such as tcp://host:8786; local makes one here",
    },
    "--yes": {"action": "store_true", "help": "write over a file that is there without asking"},
}
MOST_WORKERS, MOST_ROWS = 256, 5_000_000
# Pieces handed out ahead for each worker: enough that none waits, few enough that they take little memory.
_AHEAD = 4
_TENTHS, _YEAR_D = 10, 366
LOCAL = "local"


class Promised(Protocol):
    """A piece that is being worked on."""

    def result(self) -> OutcomeColumns: ...


Submit = Callable[["Piece"], Promised]


def response_many(args: argparse.Namespace) -> int:
    from calendar_tui.storage.survey.file import read_survey

    if not args.words:
        raise Refusal("give a SURVEY file, such as survey.toml; docs/planting-dates.md shows what is in one")
    refuse_extra_words(args.words[1:])
    target = _target(args.output)
    workers = _workers(args.workers)
    survey = read_survey(Path(args.words[0]))
    count = _count(survey)
    confirm_overwrite([target], args.yes)  # before the work, so that none is done for nothing
    with handing_out(args.dask, workers) as submit:
        gathered = _gathered(in_turn(submit, pieces(survey), _AHEAD * workers), count)
    _write(gathered, target)
    return 0


def pieces(survey: Survey) -> Iterator[Piece]:
    """The pieces of a survey, by site, variety and lamps; a site's station is read when its turn comes."""
    from calendar_tui.planning.response.many import Piece
    from calendar_tui.planning.response.outcomes import check_planting
    from calendar_tui.storage.survey.file import EACH, season_at

    for row in survey.sites:
        season = season_at(survey, row)
        for planting in _plantings(survey):
            check_planting(season, planting)
            for first, last in _years(survey):
                yield Piece(
                    row.id, season, planting, first, last, survey.every_d, survey.weather_years == EACH
                )


def _years(survey: Survey) -> list[tuple[date, date]]:
    """The dates in stretches of up to a year: the light of a longer one would be worked out for each of its dates."""
    count, in_one = _dates(survey), max(_YEAR_D // survey.every_d, 1)
    days = [survey.first_date + timedelta(days=n * survey.every_d) for n in range(count)]
    return [(days[n], days[min(n + in_one, count) - 1]) for n in range(0, count, in_one)]


def _dates(survey: Survey) -> int:
    return (survey.last_date - survey.first_date).days // survey.every_d + 1


def _plantings(survey: Survey) -> Iterator[Any]:
    from calendar_tui.planning.response.outcomes import Planting, placed

    place, part = placed(survey.season, survey.place)
    for variety in survey.varieties:
        for off in survey.lamps_off:
            yield Planting(
                variety=variety,
                place=place,
                part=part,
                start=survey.start,
                nursery=survey.nursery,
                nursery_d=survey.nursery_days,
                lights_off=off,
            )


def in_turn(submit: Submit, wanted: Iterable[Piece], ahead: int) -> Iterator[OutcomeColumns]:
    """What comes of each piece, in their order; no more than `ahead` of them wait to be taken."""
    waiting: deque[Promised] = deque()
    for piece in wanted:
        waiting.append(submit(piece))
        if len(waiting) > ahead:
            yield waiting.popleft().result()
    while waiting:
        yield waiting.popleft().result()


# --- who does the work


class _Done:
    """A piece that is done when it is asked for."""

    def __init__(self, piece: Piece) -> None:
        self._piece = piece

    def result(self) -> OutcomeColumns:
        from calendar_tui.planning.response.many import work

        return work(self._piece)


@contextmanager
def _processes(workers: int) -> Iterator[Submit]:
    from concurrent.futures import ProcessPoolExecutor
    from concurrent.futures.process import BrokenProcessPool
    from multiprocessing import get_context

    from calendar_tui.planning.response.many import work

    # Started anew, not forked: the same on every system, and safe beside threads.
    pool = ProcessPoolExecutor(workers, get_context("spawn"), initializer=_leave_stopping_to_its_parent)
    try:
        yield lambda piece: pool.submit(work, piece)
    except BrokenProcessPool as broken:
        raise Refusal(
            "a process stopped before its work was done, perhaps for want of memory; nothing is written; try "
            "fewer --workers"
        ) from broken
    finally:
        pool.shutdown(cancel_futures=True)


def _leave_stopping_to_its_parent() -> None:
    """Ctrl+C reaches every process of a terminal; the one that hands the work out says what comes of it."""
    import signal

    signal.signal(signal.SIGINT, signal.SIG_IGN)


@contextmanager
def _dask(address: str, workers: int) -> Iterator[Submit]:
    try:
        from distributed import Client, KilledWorker, LocalCluster
    except ImportError as missing:
        raise Refusal('--dask needs Dask: pip install "calendar-tui[dask]"') from missing
    import logging
    from concurrent.futures import CancelledError

    from calendar_tui.planning.response.many import work

    # What is lost is told in a sentence below.
    logging.getLogger("distributed").setLevel(logging.CRITICAL)
    with ExitStack() as open_now:
        try:
            where: Any = address
            if address == LOCAL:
                cluster = LocalCluster(n_workers=workers, threads_per_worker=1, dashboard_address=None)  # type: ignore[no-untyped-call]
                where = open_now.enter_context(cluster)
            client = open_now.enter_context(Client(where, timeout="10s", set_as_default=False))  # type: ignore[no-untyped-call]
        except (OSError, ValueError) as error:
            raise Refusal(
                f"--dask {address}: {error}; give a scheduler's address, such as tcp://host:8786, or local"
            ) from error
        try:
            yield lambda piece: client.submit(work, piece, pure=False)
        except (OSError, CancelledError, KilledWorker) as lost:
            raise Refusal(f"--dask {address}: the cluster was lost ({lost}); nothing is written") from lost
        except ImportError as missing:
            raise Refusal(
                f"--dask {address}: {missing}; install calendar-tui of the same version where its workers run"
            ) from missing


@contextmanager
def _here() -> Iterator[Submit]:
    yield _Done


def handing_out(address: str | None, workers: int) -> AbstractContextManager[Submit]:
    """How pieces are handed out: in this process, to several, or to a Dask cluster by its address, or a LOCAL one."""
    if address is not None:
        return _dask(address, workers)
    return _here() if workers == 1 else _processes(workers)


# --- what is asked for, and what is written


def _target(word: str | None) -> Path:
    """The file to write; Parquet only where it can be. Raises Refusal."""
    target = Path(word or "")
    ending = target.suffix.casefold()
    if ending not in (".csv", ".parquet") or not target.stem.strip("."):
        given = "" if word is None else f' "{word}"'
        raise Refusal(f"--output{given}: name a file that ends in .csv or .parquet, such as responses.csv")
    if ending == ".parquet":
        from importlib.util import find_spec

        if find_spec("pyarrow") is None:
            raise Refusal(
                f'"{word}": Parquet needs pyarrow: pip install "calendar-tui[parquet]", or name a file that ends in .csv'
            )
    return target


def _workers(word: str | None) -> int:
    if word is None:
        return min(os.cpu_count() or 1, MOST_WORKERS)
    if not (word.isascii() and word.isdigit() and len(word) < 5 and 1 <= int(word) <= MOST_WORKERS):
        raise Refusal(f'--workers "{word}" is no number from 1 to {MOST_WORKERS}')
    return int(word)


def _count(survey: Survey) -> int:
    """The pieces of a survey. Raises Refusal where they have more rows than are held in memory."""
    dates, count = _dates(survey), len(survey.sites) * len(survey.varieties) * len(survey.lamps_off)
    if count * dates > MOST_ROWS:
        raise Refusal(
            f"{len(survey.sites)} sites, {len(survey.varieties)} varieties, {len(survey.lamps_off)} times of lamps off and "
            f"{dates} dates make {count * dates:,} rows and more; at most {MOST_ROWS:,} fit in one table: take a greater "
            "every_d, or make several surveys"
        )
    return count * len(_years(survey))


def _gathered(pieces: Iterable[OutcomeColumns], count: int) -> Gathered:
    """All rows, telling how far it is at each tenth of the pieces."""
    from calendar_tui.handing_on.tables.response_table import Gathered

    gathered = Gathered()
    watched = sys.stderr is not None and sys.stderr.isatty()
    for columns in pieces:
        gathered.add(columns)
        if gathered.rows > MOST_ROWS:
            raise Refusal(
                f"more than {MOST_ROWS:,} rows; take a greater every_d, or make several surveys: nothing is written"
            )
        tenth = gathered.pieces * _TENTHS // count
        if watched and tenth > (gathered.pieces - 1) * _TENTHS // count:
            tell([f"{gathered.pieces} of {count} curves"])
    return gathered


def _write(gathered: Gathered, target: Path) -> None:
    from calendar_tui.handing_on.tables.response_table import notes_text, table_bytes
    from calendar_tui.handing_on.words.plain_text import count_text
    from calendar_tui.storage.disk.handed_file import hand_out

    content = table_bytes(gathered.frame(), target.suffix.casefold())
    hand_out({target: content})
    note_saved(str(target))
    tell(f"temperatures: {note}" for note in notes_text(gathered))
    emit(
        [
            f"{target}: {count_text(gathered.rows, 'row')} of {count_text(gathered.pieces, 'curve')}, "
            f"{gathered.never} without flowering; {count_text(len(content), 'byte')}"
        ]
    )

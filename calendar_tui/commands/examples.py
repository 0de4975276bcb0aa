"""Where no season is named: the seasons found here, and the example seasons, opened as copies on a day inside them."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import suppress
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from calendar_tui.storage.finding import example_files, season_files

if TYPE_CHECKING:
    from datetime import date

    from calendar_tui.screens.starting.choice import Offer

# So many seasons that were opened lately in other folders are offered.
MOST_LATELY = 3


class SeasonChoice(NamedTuple):
    """The file to open; for an example a notice, and the day it takes as today. first_message, theme: as `Chosen` has them."""

    path: Path
    notice: str = ""
    today: date | None = None
    first_message: str = ""
    theme: str = ""


def own_seasons(folder: Path) -> list[Path]:
    """The seasons in a folder, or in its `seasons` folder, that are not examples."""
    examples = example_files()
    return [path for path in season_files(folder) if not any(path.samefile(e) for e in examples)]


def offers(folder: Path) -> tuple[Offer, ...]:
    """What can be opened: the seasons found, those opened lately elsewhere, and then the examples, the one that shows most first."""
    from calendar_tui.handing_on.words.season_in_short import season_in_short
    from calendar_tui.screens.starting.choice import EXAMPLE, HERE, LATELY, Offer
    from calendar_tui.storage.opening import need_season

    found = own_seasons(folder)
    examples = sorted(map(need_season, example_files()), key=lambda example: -len(example[1].cohorts))
    return (
        *(_own(path, path.name, HERE) for path in found),
        *(_own(path, f"in {path.parent.name}", LATELY) for path in _opened_lately(found)),
        *(Offer(opened.path, season.name, season_in_short(season), EXAMPLE) for opened, season in examples),
    )


def _opened_lately(here: Sequence[Path]) -> Iterator[Path]:
    """The seasons opened last that are still there, and neither here nor examples."""
    from calendar_tui.storage.own.bookmarks import bookmarks_file, seasons_left

    others = {path.resolve() for path in (*here, *example_files())}
    return islice((path for path in seasons_left(bookmarks_file()) if path not in others), MOST_LATELY)


def from_home(path: Path) -> str:
    """A path as a person knows it: ~/hill/hill.toml."""
    with suppress(ValueError, RuntimeError):  # elsewhere, or nobody's home is known
        return str("~" / path.relative_to(Path.home()))
    return str(path)


def _own(path: Path, where: str, origin: str) -> Offer:
    """A season of one's own; one with problems may be opened too, to see them. where: what stands before what it has."""
    from calendar_tui.handing_on.words.season_in_short import season_in_short
    from calendar_tui.screens.starting.choice import Offer
    from calendar_tui.storage.opening import need_season
    from calendar_tui.storage.problems import SeasonFileError

    try:
        season = need_season(path)[1]
    except SeasonFileError as error:
        return Offer(path, path.name, f"has problems: {len(error.problems)}", origin, from_home(path))
    return Offer(path, season.name, f"{where}, {season_in_short(season)}", origin, from_home(path))


def opened_copy(example: Path) -> SeasonChoice:
    """An example copied into a folder of its own, so that nothing done to it touches the example."""
    from calendar_tui.storage.opening import need_season

    path = Path(tempfile.mkdtemp(prefix="calendar-tui-")) / example.name
    shutil.copyfile(example, path)
    return SeasonChoice(path, "example copy", need_season(path)[1].example_today)

"""Where no season is named: the seasons found here, and the example seasons, opened as copies on a day inside them."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from calendar_tui.storage.finding import example_files, season_files

if TYPE_CHECKING:
    from datetime import date

    from calendar_tui.screens.starting.choice import Offer
    from calendar_tui.season.records import Season


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
    """What can be opened: the seasons found, and then the examples, the one that shows most first."""
    from calendar_tui.storage.opening import need_season

    examples = sorted(map(need_season, example_files()), key=lambda example: -len(example[1].cohorts))
    return (
        *(_found(path) for path in own_seasons(folder)),
        *(_offer(opened.path, season, example=True) for opened, season in examples),
    )


def _found(path: Path) -> Offer:
    """A season found; one with problems may be opened too, to see them."""
    from calendar_tui.screens.starting.choice import Offer
    from calendar_tui.storage.opening import need_season
    from calendar_tui.storage.problems import SeasonFileError

    try:
        return _offer(path, need_season(path)[1], example=False)
    except SeasonFileError as error:
        return Offer(path, path.name, f"has problems: {len(error.problems)}", False)


def _offer(path: Path, season: Season, *, example: bool) -> Offer:
    from calendar_tui.handing_on.words.plain_text import count_text
    from calendar_tui.screens.starting.choice import Offer
    from calendar_tui.season.typed_position import latitude_text

    about = f"{latitude_text(season.site.latitude)}, {count_text(len(season.cohorts), 'cohort')}"
    return Offer(path, season.name, about if example else f"{path.name}, {about}", example)


def opened_copy(example: Path) -> SeasonChoice:
    """An example copied into a folder of its own, so that nothing done to it touches the example."""
    from calendar_tui.storage.opening import need_season

    path = Path(tempfile.mkdtemp(prefix="calendar-tui-")) / example.name
    shutil.copyfile(example, path)
    return SeasonChoice(path, "example copy", need_season(path)[1].example_today)

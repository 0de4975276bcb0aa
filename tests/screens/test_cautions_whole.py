"""Cautions have room below a list of tasks, whatever else is told there, in every language that comes with the program."""

from __future__ import annotations

from dataclasses import replace

import pytest

from calendar_tui.handing_on.words.week_text import caution_text
from calendar_tui.language.speaking import speaking
from calendar_tui.planning.cutting.holds import Hold
from calendar_tui.screens.kit.drawing import first_rows
from calendar_tui.screens.week.rows import DETAIL_LINES, columns, detail_rows
from calendar_tui.season.reading import read_season
from calendar_tui.storage.finding import example_files
from calendar_tui.storage.languages import SHIPPED, load_language
from calendar_tui.storage.starter_lists import LATEST, starter_chores
from tests.season_data import data_of

HOLD = Hold("HOLD to 18:55", "F2 is closed until Tue 16 Jun 18:55 after Pale Oil 98, for all work " * 3)
CATALOGUES = [None, *sorted(SHIPPED.glob("*.po"))]


@pytest.mark.parametrize("hold", [None, HOLD], ids=["open", "held"])
@pytest.mark.parametrize("file", CATALOGUES, ids=lambda file: file.stem if file else "en")
def test_every_caution_is_whole_in_80_columns(file, hold) -> None:
    season = read_season(data_of(example_files()[0].read_text(encoding="utf-8"))).season
    assert season is not None
    season = replace(season, chores=starter_chores(LATEST))
    cautious = [chore for chore in season.chores.values() if chore.caution]
    assert len(cautious) > 30
    with speaking(load_language(file) if file else None):
        for chore in cautious:
            task = replace(season.tasks[0], chore=chore.id, what=chore.what, note="a long note " * 20)
            rows = detail_rows(season, task, True, columns([task], 80), 80, hold)
            shown = first_rows(rows, DETAIL_LINES, 80)
            text = " ".join("".join(part.text for part in row.segments).strip() for row in shown)
            assert " ".join(text.split()).startswith(caution_text(chore.caution)), chore.id

"""Views and forms where US units and the clock of 12 hours are shown: no metric figure stands alone, no unit of a bare number is metric."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from settling import settled

from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.drying.pass_forms import WEIGHTS, recording_pass
from calendar_tui.season.units_in_use import shown_in
from calendar_tui.storage.finding import example_files
from calendar_tui.storage.opening import open_season
from tests.metric_lines import HOUR_24, METRIC, QUOTED
from tests.planning.kept_farm import kept

EXAMPLES = {file.stem: file for file in example_files()}
# By the views they walk through: the keys from the season on.
WALKS = {
    "season": "",
    "work": "t escape w escape l right right",
    "load": "h k k k k k",
    "crop": "n escape C escape B",
    "farm": "f down down enter escape end",
    "varieties": "v pagedown pagedown right",
    "forms": "a escape e escape s escape g escape S",
    "drying": "H enter escape p escape r escape o",
}
# A unit behind no number: of what is typed there, or is not set.
ALONE = re.compile(r"(?<![\w/])(?:m2|m|cm|mm|kg|g|L|ha|C)\s*$|\((?:m2|m|kg|L|C)\)|- kg\b")
# A value of the file in a form has what it is in the other units beside it; lengths of a day have an h; bars are no figures.
BOTH = re.compile(r"\d (?:ft|in|sq ft|acres|lb|oz|gal|F)\b|\d\d:\d\d  .*\d [ap]m\b|\d\d:\d\d h\b|[▁-█┊]")
# The hours of a chore are by the area of the file.
_PER_AREA = re.compile(r"h/100 m2")


def metric(lines: Iterable[str]) -> list[str]:
    plain = [line.strip() for line in lines if not QUOTED.search(line)]
    return [line for line in plain if _is_metric(_PER_AREA.sub("", line))]


def _is_metric(line: str) -> bool:
    figure = METRIC.search(line) or HOUR_24.search(line)
    return bool((figure and not BOTH.search(line)) or ALONE.search(line))


@pytest.mark.quick(6)
@pytest.mark.parametrize("walk", WALKS)
@pytest.mark.parametrize(
    ("name", "day"),
    [
        ("two-rivers", date(2026, 12, 8)),
        ("laguna-alta", date(2026, 8, 3)),
        ("bright-weir", date(2026, 6, 10)),
    ],
)
async def test_no_figure_is_metric_alone(tmp_path: Path, name: str, day: date, walk: str) -> None:
    path = tmp_path / f"{name}.toml"
    path.write_bytes(EXAMPLES[name].read_bytes())
    now = datetime(day.year, day.month, day.day, 9, tzinfo=UTC)
    found = []
    with shown_in("us", "12"):
        app = CalendarApp(open_season(path), day, "Ana", lambda: now)
        async with app.run_test(size=(120, 60)) as pilot:
            await settled(app, pilot)
            for key in ("", *WALKS[walk].split()):
                if key:
                    await pilot.press(key)
                    await settled(app, pilot)
                drawn = (
                    "".join(part.text for part in strip) for strip in app.screen._compositor.render_strips()
                )
                found += [f"after {key}: {line}" for line in metric(drawn)]
    assert not found


def test_weights_of_a_pass_are_told_in_kg_beside_their_field() -> None:
    held = kept().held
    with shown_in("us"):
        assert recording_pass("A1").read(held, WEIGHTS, "top 20, middle 10 kg") == "20 lb is 9.071847 kg"
    assert recording_pass("A1").read(held, WEIGHTS, "top 20lb, middle 10") == "20lb is 9.071847 kg"
    assert recording_pass("A1").read(held, WEIGHTS, "top 20, middle 10") == ""


def test_a_metric_line_would_be_noticed() -> None:
    wrong = [
        "  area   180 m2",
        "  fresh kg  12 kg",
        "spacing 1.5x0.6     m",
        'Set "dryer" (kg)',
        "end 19:25, start",
    ]
    assert metric(wrong) == [line.strip() for line in wrong]
    assert metric(["  area   180 m2     1938 sq ft", "  end  19:25     7:25 pm", "~0.15 h/100 m2"]) == []

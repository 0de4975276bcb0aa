"""Colours on dark and on light grounds: every text of a fixed set is legible, and the terminal's answer chooses."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from rich.color import Color, ColorSystem, ColorType
from season_on_disk import app_of, season
from settling import settled
from textual import events

from calendar_tui.commands.table import COMMANDS
from calendar_tui.planning.why.phases import PHASES
from calendar_tui.screens.kit.answers import Reader, luminance
from calendar_tui.screens.kit.drawing import BOLD, CURSOR, HEADING, PLAIN
from calendar_tui.screens.kit.glyphs import STYLES
from calendar_tui.screens.kit.themes import (
    ON_DARK,
    ON_LIGHT,
    SETS,
    THEMES,
    WORDS,
    painted,
    set_of,
    style_of,
)
from calendar_tui.storage.own import settings

__all__ = ["season"]
# The backgrounds on which the fixed sets are legible.
DARK_GROUNDS, LIGHT_GROUNDS = ("#000000", "#282828"), ("#ffffff", "#eeeeee")
# WCAG 2.2, success criterion 1.4.3: text against its background.
LEAST_CONTRAST = 4.5
DARK, LIGHT = "\x1b]11;rgb:1c1c/1c1c/1c1c\x1b\\", "\x1b]11;rgb:ffff/ffff/dddd\x07"


def contrast(one: str, other: str) -> float:
    """The contrast ratio of WCAG 2.2 for two colours such as "#e69f00"."""
    darker, lighter = sorted(
        luminance(*(int(c[n : n + 2], 16) / 255 for n in (1, 3, 5))) for c in (one, other)
    )
    return (lighter + 0.05) / (darker + 0.05)


def test_contrast_is_reckoned_as_wcag_does() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#ffffff", "#777777") == pytest.approx(4.48, abs=0.005)


@pytest.mark.parametrize(("palette", "grounds"), [(ON_DARK, DARK_GROUNDS), (ON_LIGHT, LIGHT_GROUNDS)])
def test_every_colour_of_a_fixed_set_is_legible_on_its_grounds(palette, grounds) -> None:
    for hue, colour in palette._asdict().items():
        for ground in grounds:
            assert contrast(colour, ground) >= LEAST_CONTRAST, (hue, ground)


@pytest.mark.parametrize(("name", "palette"), [("dark", ON_DARK), ("light", ON_LIGHT)])
def test_a_fixed_set_has_no_colour_but_those_of_its_palette(name: str, palette) -> None:
    used = set(re.findall(r"#\w+", " ".join(SETS[name].values())))
    assert used <= set(palette)
    for names in SETS[name]:
        colour = style_of(names, name).color
        assert colour is None or colour.type is ColorType.TRUECOLOR or SETS[name][names] == STYLES[names]


def test_with_the_terminals_own_colours_nothing_is_yellow_or_bright_black_before_the_ground_is_known() -> (
    None
):
    for names in STYLES:
        colour = style_of(names).color
        assert colour is None or colour not in {
            Color.parse(c) for c in ("yellow", "bright_yellow", "bright_black", "white", "bright_white")
        }
    for name, style in SETS["terminal, light"].items():
        assert not re.search("yellow|bright_|cyan", style) or name == "run"


def test_every_set_has_every_name_and_tells_covers_from_what_may_stand_beside_them() -> None:
    for styles in SETS.values():
        assert styles.keys() == STYLES.keys()
        assert styles["covers"] not in {styles[name] for name in PHASES if name not in ("covers", "run")}


def test_the_names_of_themes_are_those_that_can_be_set() -> None:
    assert THEMES == settings.THEMES == tuple(COMMANDS[""].flags["--theme"]["choices"])
    assert WORDS.keys() == set(THEMES)
    assert {set_of(theme, dark) for theme in THEMES for dark in (None, True, False)} == set(SETS)


def test_a_fixed_set_gives_way_to_the_terminals_own_colours_where_it_has_few() -> None:
    assert [set_of(theme, None, many=False) for theme in THEMES] == [
        "terminal",
        "terminal, dark",
        "terminal, light",
    ]


def test_styles_of_rows_and_of_runs_are_one_table() -> None:
    assert painted(HEADING, "dark") == style_of("heading", "dark")
    assert painted(BOLD + CURSOR, "light") == style_of("strong cursor", "light")
    assert painted(PLAIN, "light") == painted(None, "dark") == PLAIN


# --- what the terminal answers


def _read(*parts: str) -> tuple[list[bool], list[str]]:
    """What is told of the background, and the keys that are left."""
    told: list[bool] = []
    reader = Reader(told.append)
    read = [message for part in parts for message in reader.feed(part)]
    return told, [message.key for message in read if isinstance(message, events.Key)]


@pytest.mark.parametrize(("answer", "is_dark"), [(DARK, True), (LIGHT, False)])
def test_the_answer_is_taken_out_of_the_keys_wherever_it_is_cut(answer: str, is_dark: bool) -> None:
    assert _read(answer) == ([is_dark], [])
    assert _read(f"a{answer}b") == ([is_dark], ["a", "b"])
    for at in range(2, len(answer)):
        assert _read("a" + answer[:at], answer[at:] + "b") == ([is_dark], ["a", "b"]), at


def test_keys_alone_are_keys_alone() -> None:
    assert _read("a", "\x1b[A", "\x1b[B") == ([], ["a", "up", "down"])
    assert _read("]11;") == ([], ["right_square_bracket", "1", "1", "semicolon"])


async def test_the_colours_follow_the_background_that_is_told_and_the_key(
    season: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        monkeypatch.setattr(app.console, "_color_system", ColorSystem.TRUECOLOR)
        assert app.colours == "terminal"
        app.take_background(True)
        assert app.colours == "terminal, dark"
        app.take_background(False)
        assert app.colours == "terminal, light"
        await pilot.press("T")
        assert app.colours == "dark"
        assert app.messages == ("Colours: dark, for a dark background, told apart also by the colour-blind.",)
        drawn = {
            s.style.color.name for y in range(24) for s in app.screen._sheet.render_line(y) if s.style.color
        }
        assert drawn & set(ON_DARK)
        await pilot.press("T", "T")
        assert app.colours == "terminal, light"

"""What a trial shows on the screen: means with their plots by measure and round, and what is left of each plot where it lies."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest
from season_on_disk import notes
from settling import settled
from test_golden import held, strips_of, text_of
from test_golden_colours import coloured, set_terminal

from calendar_tui.commands.table import COMMANDS
from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.trials.analysis_view import AnalysisView
from calendar_tui.screens.trials.view import TrialView
from calendar_tui.storage.opening import open_season
from tests.commands.small_season import run
from tests.screens.trial_season import TODAY, observed_trial_season, trial_season

SIZES = ((80, 24), (160, 45))


def app_of(path: Path, *, ascii_only: bool = False) -> CalendarApp:
    now = datetime(2027, 1, 10, 9, tzinfo=UTC)
    return CalendarApp(open_season(path), TODAY, "Ana", lambda: now, ascii_only=ascii_only)


async def pressed(app: CalendarApp, pilot, *keys: str) -> AnalysisView:
    for key in keys:
        await pilot.press(key)
        await settled(app, pilot)
    assert isinstance(app.screen, AnalysisView)
    return app.screen


@pytest.fixture
def season(tmp_path: Path) -> Path:
    return observed_trial_season(tmp_path)


@pytest.mark.slow
@pytest.mark.parametrize("page", ["means", "residuals"])
@pytest.mark.parametrize("ascii_only", [False, True], ids=["unicode", "ascii"])
@pytest.mark.parametrize("size", SIZES, ids=lambda size: "x".join(map(str, size)))
async def test_it_is_drawn_as_it_was_found_right(
    season: Path, size: tuple[int, int], ascii_only: bool, page: str
) -> None:
    keys = ("F", "m", *(("r",) if page == "residuals" else ()))
    text = text_of(await strips_of(app_of(season, ascii_only=ascii_only), size, keys))
    assert len(text.splitlines()) == size[1]
    assert not ascii_only or text.isascii()
    held(text, f"analysis-{page}-{size[0]}x{size[1]}-{'ascii' if ascii_only else 'unicode'}")


@pytest.mark.parametrize("plain", [False, True], ids=["terminal", "none"])
async def test_it_is_coloured_as_it_was_found_right(
    season: Path, plain: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    set_terminal(monkeypatch, plain)
    shown = coloured(await strips_of(app_of(season), (80, 24), ("F", "m")))
    assert not plain or not any(name in shown for name in ("yellow", "green", "red", "#", "cyan", "blue"))
    held(shown, f"analysis-colours-{'none' if plain else 'terminal'}-80x24")


@pytest.mark.slow
async def test_m_opens_it_from_the_map_and_escape_leads_back(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await pressed(app, pilot, "F", "m")
        assert view.text.startswith("K1  height (cm), 9 Jan 2027\n[height]  stand")
        await pilot.press("escape")
        await settled(app, pilot)
        assert isinstance(app.screen, TrialView)


@pytest.mark.slow
async def test_brackets_lead_to_what_else_was_measured_and_round_at_the_ends(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await pressed(app, pilot, "F", "m", "right_square_bracket")
        assert view.text.startswith("K1  plants alive (% of planted), 7 Jan 2027\nheight  [stand]")
        assert "On the scale of the analysis: SED" in " ".join(view.text.split())
        view = await pressed(app, pilot, "right_square_bracket")
        assert view.text.startswith("K1  height (cm)")
        view = await pressed(app, pilot, "left_square_bracket")
        assert view.text.startswith("K1  plants alive")


async def test_other_rounds_by_their_keys(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await pressed(app, pilot, "F", "m", "less_than_sign")
        assert view.text.startswith("K1  height (cm), 7 Jan 2027")
        view = await pressed(app, pilot, "less_than_sign")
        assert "There is no round before this one." in notes(app)
        view = await pressed(app, pilot, "greater_than_sign")
        assert view.text.startswith("K1  height (cm), 9 Jan 2027")


async def test_the_figures_are_those_of_the_command(season: Path) -> None:
    """What the command prints in its tables stands on the screen too."""
    app = app_of(season)
    assert "analyse" in COMMANDS
    out = run("analyse", season, "K1", "height", today=TODAY.isoformat()).out
    async with app.run_test(size=(160, 45)) as pilot:
        shown = " ".join((await pressed(app, pilot, "F", "m")).text.split())
    told = " ".join(out.split())
    for part in (
        "p 0.0095",
        "SED 0.7857 to 0.8486 (8 df), LSD 1.812 to 1.957",
        "linear p 0.0039, quadratic p 0.246",
        "Variances: block 0, plots 1.235.",
        "Plot 103: lost.",
    ):
        assert part in told, part
        assert part in shown, part


async def test_what_is_left_stands_where_plots_lie(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        lines = (await pressed(app, pilot, "F", "m", "r")).text.splitlines()
        at = next(n for n, line in enumerate(lines) if "103x" in line)
        assert lines[at].split()[1:4] == ["101", "102", "103x"]
        assert lines[at + 1].split()[2] == "."
        assert lines[at - 2].split()[1:4] == ["203", "202", "201"]
        assert "gate; walked from the front left" in lines[-1]
        view = await pressed(app, pilot, "r")
        assert "mean" in view.text


@pytest.mark.slow
async def test_a_trial_of_which_nothing_is_recorded_says_so(tmp_path: Path) -> None:
    app = app_of(trial_season(tmp_path))
    async with app.run_test(size=(80, 24)) as pilot:
        view = await pressed(app, pilot, "F", "m")
        assert "Nothing is recorded in the plots of trial K1 yet" in " ".join(view.text.split())
        for key in ("r", "left_square_bracket", "less_than_sign"):
            await pressed(app, pilot, key)


@pytest.mark.slow
async def test_a_value_that_comes_in_meanwhile_is_worked_out(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(160, 45)) as pilot:
        before = (await pressed(app, pilot, "F", "m")).text
        ran = run(
            "observe",
            season,
            "K1-101",
            "height",
            "60",
            "--date",
            "2027-01-09",
            "--yes",
            today=TODAY.isoformat(),
        )
        assert ran.status == 0, ran.said
        app.look()
        for _ in range(3):
            await settled(app, pilot)
        assert isinstance(app.screen, AnalysisView)
        assert app.screen.text != before


@pytest.mark.slow
async def test_the_round_that_is_shown_stays_when_a_value_comes_in(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await pressed(app, pilot, "F", "m", "less_than_sign")
        assert view.text.startswith("K1  height (cm), 7 Jan 2027")
        ran = run(
            "observe", season, "K1-101", "height", "60", "--date", "2027-01-09", "--yes", today="2027-01-10"
        )
        assert ran.status == 0, ran.said
        app.look()
        for _ in range(3):
            await settled(app, pilot)
        assert app.screen.text.startswith("K1  height (cm), 7 Jan 2027")


async def test_where_there_is_little_room_the_table_stands_without_the_plot(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        wide = (await pressed(app, pilot, "F", "m")).text
        assert "● mean" in wide
        await pilot.resize_terminal(50, 24)
        await settled(app, pilot)
        narrow = (await pressed(app, pilot)).text
        assert "1.5x0.75" in narrow
        assert "●" not in narrow

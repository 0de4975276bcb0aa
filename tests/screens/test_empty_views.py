"""What views with nothing to show say: the next step, with its key."""

from __future__ import annotations

from pathlib import Path

import pytest
from season_on_disk import TEXT, app_of
from settling import settled

SITE, PLACE, VARIETY = (
    TEXT.split("[[place]]")[0],
    '[[place]]\nid = "H2"\nkind = "field"\n',
    '[[variety]]\nid = "amber"\nresponse = "short-day"\n',
)
SEASONS = {"nothing": SITE, "places": SITE + PLACE, "farm": SITE + PLACE + VARIETY}
NO_PLACE = "No place yet: press Esc, then f for the farm, then a there to add one."
NO_VARIETY = "No variety yet: press Esc, then f for the farm, then a there to add one."
NO_COHORT = "No cohort yet: press Esc, then a to add one."
# By season and key: what stands there.
SAYS = {
    ("nothing", ""): "No place yet: press f for the farm, then a there to add one.",
    ("places", ""): "No variety yet: press f for the farm, then a there to add one.",
    ("farm", ""): "No cohort yet: press a to add one.",
    ("nothing", "w"): NO_PLACE,
    ("farm", "w"): NO_COHORT,
    ("farm", "t"): NO_COHORT,
    ("nothing", "l"): NO_PLACE,
    (
        "farm",
        "l",
    ): "No place has lamps yet: press Esc, then f for the farm, and Enter on a place to set its lamps.",
    ("farm", "h"): NO_COHORT,
    ("farm", "n"): NO_COHORT,
    ("nothing", "n"): NO_PLACE,
    ("places", "v"): "No variety yet: press a to add one, with a type to start from.",
    ("farm", "c"): "No chore yet: press a to add one of your own.",
    ("farm", "y"): "No change yet: the first one that is saved here begins the history.",
    ("nothing", "d"): NO_PLACE,
    ("places", "d"): NO_VARIETY,
    ("nothing", "s"): NO_PLACE,
    ("places", "s"): NO_VARIETY,
}


@pytest.mark.slow
@pytest.mark.parametrize(("season", "key"), SAYS)
async def test_a_view_with_nothing_to_show_names_the_next_step_and_its_key(
    tmp_path: Path, season: str, key: str
) -> None:
    path = tmp_path / "two.toml"
    path.write_text(SEASONS[season], encoding="utf-8")
    app = app_of(path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press(*([key] if key else []))
        view = await settled(app, pilot)
        assert SAYS[season, key] in " ".join(view.text.split())
        assert "[[" not in view.text


async def test_a_week_without_tasks_names_the_keys_to_other_weeks(tmp_path: Path) -> None:
    path = tmp_path / "two.toml"
    path.write_text(TEXT, encoding="utf-8")
    app = app_of(path)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("w", "right")
        view = await settled(app, pilot)
        assert "No tasks this week: press ] for the week after, or [ for the week before." in view.text
        await pilot.press("left")
        assert "No tasks this week" not in view.text

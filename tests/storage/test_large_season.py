"""A season of 100 cohorts and 5,000 tasks: a tick changes three lines of it at most."""

import pytest

from calendar_tui.season.edits import Change, Edit
from calendar_tui.season.reading import read_season
from calendar_tui.storage import opening
from calendar_tui.storage.opening import SaveCheck, open_season, season_problems
from calendar_tui.storage.problems import SeasonFileError
from calendar_tui.storage.season_file import load
from tests.bench.big_season import season_data, season_text
from tests.season_data import data_of
from tests.storage.small_farm import save


@pytest.mark.slow
@pytest.mark.parametrize("n", [2500, 0, 4999])
def test_ticking_a_task_of_5000_changes_three_lines_of_diff(tmp_path, n):
    path = tmp_path / "farm.toml"
    path.write_text(season_text(season_data(100, 5000)))
    before = load(path)
    assert (len(before.data["cohort"]), len(before.data["task"])) == (100, 5000)
    name = before.data["task"][n]["id"]
    tick = [Edit("set", "task", (name,), (key,), value) for key, value in done(before.data).items()]
    saved = save(path, Change("tick", tuple(tick)), check=season_problems, loaded=before)
    changed = differing(before.text.split("\n"), saved.text.split("\n"))
    assert 0 < len(changed) <= 3, changed
    assert data_of(path.read_text()) == saved.data


def done(data):
    return {"state": "done", "done_on": data["season"]["first_day"]}


def differing(old, new):
    """The lines that go and the lines that come, between the first and the last difference."""
    head = shared(old, new)
    tail = shared(old[head:][::-1], new[head:][::-1])
    return old[head : len(old) - tail] + new[head : len(new) - tail]


def shared(old, new):
    return next(
        (n for n, (one, other) in enumerate(zip(old, new, strict=False)) if one != other),
        min(len(old), len(new)),
    )


def test_a_save_and_the_file_after_it_are_one_reading_of_the_data(tmp_path, monkeypatch):
    path, read = tmp_path / "farm.toml", []
    path.write_text(season_text(season_data(2, 400)))
    before = open_season(path)
    check = SaveCheck(before)
    monkeypatch.setattr(opening, "read_season", lambda *what: read.append(what) or read_season(*what))
    name = before.data["task"][7]["id"]
    tick = [Edit("set", "task", (name,), (key,), value) for key, value in done(before.data).items()]
    saved = save(path, Change("tick", tuple(tick)), check=check, loaded=before)
    after = check.saved(saved.text, saved.data)
    assert len(read) == 1
    assert after == opening.opened_from(path, saved.text, saved.data)
    assert after.season is not None


def test_what_was_not_checked_is_read_after_a_save_that_wrote_nothing(tmp_path):
    path = tmp_path / "farm.toml"
    path.write_text(season_text(season_data(2, 400)))
    check = SaveCheck(open_season(path))
    path.write_text(season_text(season_data(3, 400)))
    saved = save(path, Change("nothing", ()), check=check)
    assert len(check.saved(saved.text, saved.data).season.cohorts) == 3


def test_a_save_with_a_problem_is_refused_as_before(tmp_path):
    path = tmp_path / "farm.toml"
    path.write_text(season_text(season_data(2, 400)))
    before = open_season(path)
    wrong = Edit("set", "task", (before.data["task"][7]["id"],), ("state",), "lost")
    with pytest.raises(SeasonFileError, match="state"):
        save(path, Change("tick", (wrong,)), check=SaveCheck(before), loaded=before)
    assert path.read_text() == before.text

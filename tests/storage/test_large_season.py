"""A season of 100 cohorts and 5,000 tasks: a tick changes three lines of it at most."""

from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.opening import season_problems
from calendar_tui.storage.season_file import load
from tests.bench.big_season import season_data, season_text
from tests.season_data import data_of
from tests.storage.small_farm import save


def test_ticking_a_task_of_5000_changes_three_lines_of_diff(tmp_path):
    path = tmp_path / "farm.toml"
    path.write_text(season_text(season_data(100, 5000)))
    loaded = load(path)
    assert (len(loaded.data["cohort"]), len(loaded.data["task"])) == (100, 5000)
    for name in (loaded.data["task"][n]["id"] for n in (0, 2500, 4999)):
        before = load(path)
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

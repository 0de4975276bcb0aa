"""A new season is written whole, or not at all."""

import pytest

from calendar_tui.storage.new_season import write_new
from calendar_tui.storage.problems import SeasonFileError
from tests.storage.failing_layer import Layer


@pytest.mark.parametrize(("at", "name"), [(1, "io.open"), (2, "stream.write"), (3, "stream.flush")])
def test_a_disk_that_fails_leaves_nothing_behind(tmp_path, at, name):
    path = tmp_path / "farm.toml"
    with (
        Layer(tmp_path, at, 28) as layer,
        pytest.raises(SeasonFileError, match="cannot be written: the disk is full"),
    ):
        write_new(path, "# The farm\n" * 3000)
    assert layer.failed == [name]
    assert list(tmp_path.iterdir()) == []


def test_a_file_that_is_there_stays(tmp_path):
    path = tmp_path / "farm.toml"
    path.write_text("mine")
    with pytest.raises(SeasonFileError, match="is there already; give the name of a new file"):
        write_new(path, "# The farm\n")
    assert path.read_text() == "mine"

"""Seasons changed at random: whatever a person writes into one, a command answers with a sentence."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest
import tomli_w
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from small_season import PLAIN, refused_quietly, run

LONG = 10**400
# --- small changes to a season's text


PIECES = [
    *(
        "",
        " ",
        "\n",
        '"',
        "'",
        "[",
        "]",
        "[[",
        "{",
        "}",
        "=",
        ".",
        ",",
        "#",
        "-",
        "0",
        "1",
        "9",
        "nan",
        "inf",
    ),
    *(
        "true",
        "2026-02-30",
        "0001-01-01",
        "9999-12-31",
        "25:00",
        "\\u001b",
        "\x1b",
        "é",
        "\u202e",
        "\ud83c\udf31",
    ),
    *(
        "1e999",
        "-1",
        "[[task]]",
        "[season]",
        "id",
        "x = 1",
        "'''",
        '"""',
        "\r",
        "\0",
        "\t",
        "[[[[",
        "FREQ=",
        "0x",
    ),
]


def _write(path: Path, text: str) -> None:
    path.write_bytes(text.encode("utf-8", "surrogatepass"))


@pytest.mark.slow
@settings(
    max_examples=200,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
    derandomize=True,
)
@given(
    edits=st.lists(
        st.tuples(st.integers(0, 2600), st.integers(0, 40), st.sampled_from(PIECES)), min_size=1, max_size=3
    )
)
@example(edits=[(0, 40000, "")])
def test_a_season_changed_at_random_is_never_more_than_told(
    edits: list[tuple[int, int, str]], tmp_path: Path, season_text: str
) -> None:
    text = season_text
    for at, cut, piece in edits:
        text = text[:at] + piece + text[at + cut :]
    path = tmp_path / "changed.toml"
    _write(path, text)
    before = path.read_bytes()
    for command, allowed in (("dates", (0, 2)), ("week", (0, 2)), ("check", (0, 1))):
        ran = run(command, path)
        assert ran.status in allowed, ran.said
        assert ran.status == 0 or f"{path}" in ran.said, ran.said
        refused_quietly(ran.said)
    assert path.read_bytes() == before


VALUES = st.one_of(
    st.none().map(lambda _: LONG),
    st.booleans(),
    st.integers(),
    st.floats(),
    st.text(max_size=12),
    st.dates(),
    st.datetimes(),
    st.times(),
    st.lists(st.integers(-2, 500), max_size=4),
    st.dictionaries(st.text(min_size=1, max_size=4), st.integers(), max_size=2),
)


@settings(
    max_examples=80,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
    derandomize=True,
)
@given(st.data())
def test_a_value_changed_at_random_is_never_more_than_told(tmp_path: Path, data: st.DataObject) -> None:
    season = tomllib.loads(PLAIN)
    kind = data.draw(st.sampled_from(list(season)))
    value = data.draw(VALUES)
    holder: Any = season
    key: Any = kind
    while isinstance(holder[key], dict | list) and data.draw(st.integers(0, 9)):
        holder, key = (
            holder[key],
            data.draw(
                st.sampled_from(
                    list(holder[key]) if isinstance(holder[key], dict) else range(len(holder[key]))
                )
            ),
        )
    holder[key] = value
    path = tmp_path / "changed.toml"
    path.write_text(tomli_w.dumps(season), encoding="utf-8")
    for command, allowed in (("dates", (0, 2)), ("week", (0, 2)), ("check", (0, 1))):
        ran = run(command, path)
        assert ran.status in allowed, ran.said
        refused_quietly(ran.said)

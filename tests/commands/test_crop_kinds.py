"""Every kind of record of the crop, added, changed, taken out, taken back and merged: nothing recorded is lost or mixed up."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from small_season import Ran, run

from calendar_tui.season.kinds import BY_NAME, KINDS
from tests.season_data import data_of

EXAMPLE = Path(__file__).parents[2] / "seasons" / "two-rivers.toml"
TODAY = "2026-12-08"
TRIAL = """
[[trial]]
id = "T1-plots"
design = "blocks"
blocks = 2
place = "F1"
"""


class Act(NamedTuple):
    """name: of a new record; typed: its fields; field: one of them that is changed; values: to what, here and there."""

    name: str
    typed: str
    field: str
    values: tuple[str, str]
    key: str = ""

    @property
    def words(self) -> list[str]:
        return self.typed.split("|")


ACTS = {
    "profile": Act(
        "Q9", "name|Here|limit|0.3|as of|2026-12-01|source|a page", "limit", ("0.4", "0.2"), "limit_percent"
    ),
    "lot": Act("A1-e", "cohort|A1|area|30", "area", ("40", "50"), "area_m2"),
    "laboratory": Act("lab-2", "price|30", "price", ("40", "50")),
    "sampling": Act("some", "cohorts|A1|plants|5", "plants", ("6", "7")),
    "spray": Act("s9", "date|2026-12-07|place|F1|product|soap|end|17:15", "product", ("oil", "clay")),
    "sample": Act("K7Q2RY", "date|2026-12-07|cohort|A1|position|top", "plants", ("6", "7")),
    "result": Act("r99", "date|2026-12-07|sample|HKQAZR|amount of THC|0.05", "report", ("EL-1", "EL-2")),
    "official": Act("o9", "date|2026-12-20|lot|A1|state|booked", "who", ("Ana", "Ben")),
    "pass": Act("D0-9", "date|2026-12-07|lot|D0-dam|part|tops", "part", ("all", "rest")),
    "batch": Act("K9", "date|2026-12-07|trays|5", "trays", ("6", "7")),
    "reading": Act("K2-9", "date|2026-12-07|batch|K2|moisture|0.3", "moisture", ("0.4", "0.5")),
    "trial": Act("T9", "design|blocks|place|F1", "blocks", ("3", "5")),
    "plot": Act("P9", "trial|T1-plots|number|901|row|9|column|1|place|F1", "row", ("8", "7")),
    "variable": Act("width", "unit|cm|low|0", "method", ("tape", "stick")),
}
NUMBERED = [kind.name for kind in KINDS if kind.numbered]
EVERY = pytest.mark.parametrize("kind", ACTS)


@pytest.fixture
def farm(tmp_path: Path) -> Path:
    path = tmp_path / "base.toml"
    text = EXAMPLE.read_text(encoding="utf-8")
    assert text.count("\n[records]\n") == 1
    path.write_text(text.replace("\n[records]\n", f"{TRIAL}\n[records]\n"), encoding="utf-8")
    return path


def saved(command: str, path: Path, *words: str) -> str:
    ran = run(command, path, *words, "--yes", today=TODAY)
    assert ran.status == 0, ran.said
    return " ".join(ran.said.split())


def added(path: Path, kind: str, name: str = "") -> str:
    act = ACTS[kind]
    return saved("add", path, kind, name or act.name, *act.words)


def of_kind(path: Path, kind: str) -> dict[str, dict[str, Any]]:
    return {record["id"]: record for record in data_of(path.read_text()).get(kind, ())}


def field_of(path: Path, kind: str) -> str:
    act = ACTS[kind]
    return str(of_kind(path, kind)[act.name][act.key or act.field])


def copies(path: Path) -> tuple[Path, Path]:
    sides = path.with_name("ours.toml"), path.with_name("theirs.toml")
    for side in sides:
        shutil.copy(path, side)
    return sides


def merged(base: Path, ours: Path, theirs: Path) -> Ran:
    return run("merge", base, ours, theirs, today=TODAY)


def test_every_kind_of_the_crop_is_tried_here() -> None:
    assert set(ACTS) == {kind.name for kind in KINDS if kind.of_crop and kind.by_fields}


@pytest.mark.slow
@EVERY
def test_a_record_is_added_changed_taken_out_and_all_of_it_taken_back(kind: str, farm: Path) -> None:
    act, states = ACTS[kind], [farm.read_bytes()]
    for command, words in (
        ("add", [kind, act.name, *act.words]),
        ("set", [kind, act.name, act.field, act.values[0]]),
        ("remove", [kind, act.name]),
    ):
        saved(command, farm, *words)
        states.append(farm.read_bytes())
        told = run("history", farm, today=TODAY).out
        assert act.name in told
        assert kind in told
    assert act.name not in of_kind(farm, kind)
    for before in reversed(states[:-1]):
        saved("undo", farm)
        assert farm.read_bytes() == before


@pytest.mark.slow
@EVERY
def test_a_record_of_theirs_comes_in_beside_one_of_ours(kind: str, farm: Path) -> None:
    ours, theirs = copies(farm)
    other = "26A1TA" if kind == "sample" else f"{ACTS[kind].name}x" if kind != "plot" else "P8"
    added(ours, kind)
    if kind == "plot":
        saved("add", theirs, kind, other, *ACTS[kind].typed.replace("901|row|9", "801|row|8").split("|"))
    else:
        added(theirs, kind, other)
    ran = merged(farm, ours, theirs)
    assert "conflict:" not in ran.out
    assert {ACTS[kind].name, other} <= set(of_kind(ours, kind))


@pytest.mark.slow
@EVERY
def test_one_field_that_both_changed_stays_ours_and_is_told(kind: str, farm: Path) -> None:
    act = ACTS[kind]
    added(farm, kind)
    ours, theirs = copies(farm)
    for side, value in zip((ours, theirs), act.values, strict=True):
        saved("set", side, kind, act.name, act.field, value)
    ran = merged(farm, ours, theirs)
    assert ran.status == 1
    assert f"conflict: {kind} {act.name} {act.key or act.field}: ours" in " ".join(ran.out.split())
    assert field_of(ours, kind) == act.values[0]


@pytest.mark.slow
@EVERY
def test_a_record_that_ours_took_out_and_theirs_changed_stays(kind: str, farm: Path) -> None:
    act = ACTS[kind]
    added(farm, kind)
    ours, theirs = copies(farm)
    saved("remove", ours, kind, act.name)
    saved("set", theirs, kind, act.name, act.field, act.values[0])
    ran = merged(farm, ours, theirs)
    assert ran.status == 1
    assert f"conflict: {kind} {act.name}" in " ".join(ran.out.split())
    assert field_of(ours, kind) == act.values[0]


@pytest.mark.slow
@pytest.mark.parametrize("kind", NUMBERED)
def test_two_records_that_the_program_numbered_alike_are_both_kept(kind: str, farm: Path) -> None:
    act = ACTS[kind]
    ours, theirs = copies(farm)
    added(ours, kind)
    added(theirs, kind)
    saved("set", theirs, kind, act.name, act.field, act.values[1])
    told = json.loads(run("merge", farm, ours, theirs, "--dry-run", "--json", today=TODAY).out)["renamed"]
    ran = merged(farm, ours, theirs)
    assert ran.status == 0, ran.said
    new = set(of_kind(ours, kind)) - set(of_kind(farm, kind)) - {act.name}
    assert told == [{"kind": kind, "old": act.name, "new": name} for name in new]
    assert len(new) == 1
    assert f"{kind} {act.name} of theirs is {new.pop()} here" in " ".join(ran.out.split())
    # What comes in a second time is not recorded twice.
    before = ours.read_text()
    assert merged(farm, ours, theirs).status == 0
    assert ours.read_text() == before


def test_nothing_names_records_that_a_merge_may_number_anew() -> None:
    assert NUMBERED == ["spray", "result", "official", "pass", "reading"]
    assert not any(BY_NAME[kind].named_in for kind in NUMBERED)


# What theirs names and ours took out: the kind and the record, what theirs records, what is told.
GONE = {
    "a batch": (
        ("batch", "K9"),
        ("pass", "D0-9", "date|2026-12-07|lot|D0-dam|part|tops|batch|K9"),
        "problem:",
    ),
    "a bag": (
        ("sample", "K7Q2RY"),
        ("result", "r99", "date|2026-12-07|sample|K7Q2RY|amount|of|THC|0.05"),
        "",
    ),
    "a lot": (("lot", "A1-e"), ("official", "o9", "date|2026-12-20|lot|A1-e|state|booked"), "problem:"),
    "a laboratory": (
        ("laboratory", "lab-2"),
        ("sample", "K7Q2RY", "date|2026-12-07|cohort|A1|laboratory|lab-2"),
        "problem:",
    ),
    "a trial": (("trial", "T9"), ("plot", "P9", "trial|T9|number|901|row|9|column|1|place|F1"), "problem:"),
    "a batch that is read": (
        ("batch", "K9"),
        ("reading", "K9-1", "date|2026-12-07|batch|K9|moisture|0.3"),
        "problem:",
    ),
}


@pytest.mark.slow
@pytest.mark.parametrize("what", GONE)
def test_what_theirs_recorded_of_something_that_ours_took_out_is_kept_and_told(what: str, farm: Path) -> None:
    (kind, name), (new_kind, new, typed), told = GONE[what]
    added(farm, kind)
    ours, theirs = copies(farm)
    saved("remove", ours, kind, name)
    saved("add", theirs, new_kind, new, *typed.split("|"))
    ran = merged(farm, ours, theirs)
    assert new in of_kind(ours, new_kind)
    checked = " ".join(run("check", ours, today=TODAY).said.split())
    assert new in checked
    assert told in ran.out
    assert ran.status == (1 if told else 0)

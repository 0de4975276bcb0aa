"""Bad input: a sentence that says where and what would be right, the exit status, no traceback, nothing written."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest
import tomli_w
from small_season import PLAIN, line_of, refused_quietly, run, swap

from calendar_tui.season.fields import FIELDS
from calendar_tui.season.kinds import OPTIONAL, SINGLE
from calendar_tui.season.readers import yes_no
from tests.season_data import crop_text

LONG = 10**400


def without(*parts: str) -> Callable[[str], str]:
    """The text without the lines that hold one of these parts."""
    return lambda text: "\n".join(line for line in text.splitlines() if not any(p in line for p in parts))


# What is wrong: (change, words of the sentence, a part of the line that it names or None for the file as a whole)
CASES: dict[str, tuple[Callable[[str], str], str, str | None]] = {
    "not TOML": (swap("latitude = -34.3", "latitude -34.3"), "write key = value", "latitude -34.3"),
    "text without quotes": (
        swap('name = "Near Fields 2026-27"', "name = Near Fields"),
        'write text in quotes, "Near Fields"',
        "name = Near",
    ),
    "latitude of 120": (swap("latitude = -34.3", "latitude = 120"), "from -90 to 90", "latitude"),
    "latitude nan": (swap("latitude = -34.3", "latitude = nan"), "from -90 to 90", "latitude"),
    "latitude inf": (swap("latitude = -34.3", "latitude = -inf"), "from -90 to 90", "latitude"),
    "a number of 400 digits": (swap("-34.3", str(LONG)), "from -90 to 90", "latitude"),
    "a hexadecimal number too long to write": (swap("-34.3", "0x" + "f" * 5000), "-90 to 90", "latitude"),
    "plants of 400 digits": (swap("plants = 120", f"plants = {LONG}"), "whole number", "plants"),
    "a fraction of a plant": (swap("plants = 120", "plants = 1.5"), "whole number", "plants"),
    "unknown time zone": (
        swap('"America/Montevideo"', '"America/Montevido"'),
        'did you mean "America/Montevideo"?',
        "timezone",
    ),
    "time zone that is a folder": (swap('"America/Montevideo"', '"America"'), "IANA name", "timezone"),
    "time zone outside": (swap('"America/Montevideo"', '"../../etc/passwd"'), "IANA name", "timezone"),
    "unknown variety": (
        swap('variety = "amber"', 'variety = "ambr"'),
        'not a variety of this season; did you mean "amber"? Known: amber, dayfree',
        'variety = "ambr"',
    ),
    "a variety like no other": (
        swap('variety = "amber"', 'variety = "zzz"'),
        '"zzz" is not a variety of this season. Known: amber, dayfree',
        'variety = "zzz"',
    ),
    "unknown place": (
        swap('place = "H1"', 'place = "H7"'),
        '"H7" is not a place of this season. Known: N1, H1, F1',
        'place = "H7"',
    ),
    "unknown nursery": (swap('nursery = "N1"', 'nursery = "M1"'), "not a place", 'nursery = "M1"'),
    "unknown stage": (swap("transplant = 2026", "transplnt = 2026"), 'did you mean "transplant"?', "planned"),
    "a stage like no other": (
        swap("transplant = 2026", "xyz = 2026"),
        "not known under planned. Known",
        "planned",
    ),
    "planned before what it follows": (
        swap("transplant = 2026-10-30", "transplant = 2026-10-01"),
        "must be on 2026-10-05 or later",
        "planned",
    ),
    "recorded before what it follows": (
        swap(
            "recorded = { seeding = 2026-10-05 }",
            "recorded = { seeding = 2026-10-05, flowering = 2026-10-01 }",
        ),
        "must be on 2026-10-05 or later",
        "recorded",
    ),
    "outside the season": (
        swap("transplant = 2026-10-30", "transplant = 2027-10-30"),
        "outside the season, 2026-09-01 to 2027-06-30",
        "planned",
    ),
    "a date in quotes": (swap("2026-09-01", '"2026-09-01"'), "date without quotes", "first_day"),
    "a date and time": (swap("2026-09-01", "2026-09-01T10:00:00"), "write a date", "first_day"),
    "no such date": (swap("2026-09-01", "2026-09-31"), "a day of the calendar", "first_day"),
    "year 1": (swap("2026-09-01", "0001-01-01"), "from 1900 to 2199", "first_day"),
    "year 9999": (swap("2027-06-30", "9999-12-31"), "from 1900 to 2199", "last_day"),
    "ten thousand years": (
        lambda t: t.replace("2026-09-01", "0001-01-01").replace("2027-06-30", "9999-12-31"),
        "from 1900 to 2199",
        "first_day",
    ),
    "a season of 100 years": (swap("2027-06-30", "2126-06-30"), "1 to 800 days after it", "last_day"),
    "last day first": (swap("2027-06-30", "2026-06-30"), "1 to 800 days after it", "last_day"),
    "threshold of 25:00": (swap('"14:00"', '"25:00"'), 'such as "14:00"', "critical_day"),
    "threshold of 14:60": (swap('"14:00"', '"14:60"'), 'such as "14:00"', "critical_day"),
    "threshold as a number": (swap('"14:00"', "14"), 'in quotes, such as "14:00"', "critical_day"),
    "threshold without quotes": (
        swap('"14:00"', "14:00"),
        'is 14:00; write it in quotes, "14:00"',
        "critical_day",
    ),
    "thresholds crossed over": (swap('"12:30"', '"14:30"'), "must be shorter than critical_day", "full_resp"),
    "span that falls": (swap("[7, 8, 10]", "[9, 8, 10]"), "in rising order", "inductive_days"),
    "span of two": (swap("[7, 8, 10]", "[7, 8]"), "early, likely and late", "inductive_days"),
    "span of nothing": (swap("[7, 8, 10]", "[]"), "early, likely and late", "inductive_days"),
    "no short days needed": (swap("[7, 8, 10]", "0"), "inductive_days must be over 0", "inductive_days"),
    "two cohorts of one id": (swap('id = "B1"', 'id = "A1"'), 'id "A1" is used by two cohort records', None),
    "two tasks of one id": (
        lambda t: t + '\n[[task]]\nid = "x1"\ndate = 2026-11-09\nwhat = "a"\n' * 2,
        'id "x1" is used by two task records',
        None,
    ),
    "season = 3": (
        lambda t: "season = 3\n" + without("[season]", "name =", "first_day", "last_day")(t),
        "write it as [season]",
        "season = 3",
    ),
    'cohort = "x"': (
        lambda t: 'cohort = "x"\n' + t.split("[[cohort]]")[0],
        "must be written as [[cohort]]",
        'cohort = "x"',
    ),
    "[cohort]": (lambda t: t.split("[[cohort]]")[0] + '[cohort]\nid = "A1"\n', "[[cohort]]", "[cohort]"),
    "a list of numbers for cohorts": (
        lambda t: "cohort = [1, 2]\n" + t.split("[[cohort]]")[0],
        "write it as [[cohort]]",
        "cohort = [1",
    ),
    "[[site]]": (swap("[site]", "[[site]]"), "write it as [site]", "[[site]]"),
    "[[season]]": (swap("[season]", "[[season]]"), "write it as [season]", "[[season]]"),
    "no [site]": (
        without("[site]", "latitude", "longitude", "timezone"),
        "there is no [site]; add it with",
        None,
    ),
    "no format": (without("format"), "write format = 3 at its top", None),
    "format 0": (swap("format = 3", "format = 0"), "write format = 3 at its top", "format"),
    "format true": (swap("format = 3", "format = true"), "write format = 3 at its top", "format"),
    "empty file": (lambda t: "", "there is no [season]; add it with name, first_day, last_day", None),
    "only a comment": (lambda t: "# nothing\n", "there is no [site]; add it with latitude, longitude", None),
    "slip in a key": (swap("plants = 120", "plans = 120"), 'did you mean "plants"?', "plans"),
    "slip in a table": (swap("[[outage]]", "[[outages]]"), 'did you mean "outage"?', "[[outages]]"),
    "stage of the other start": (
        swap("planned = { sticking", "planned = { seeding"),
        "it starts from cutting",
        "planned = { seeding = 2026-11-20",
    ),
    "lights off without lamps": (
        swap("sticking = 2026-11-20 }", "sticking = 2026-11-20, lights_off = 2027-01-01 }"),
        "has no lamps; add lamps",
        "lights_off = 2027-01-01",
    ),
    "a projected stage planned": (
        swap("sticking = 2026-11-20 }", "sticking = 2026-11-20, flowering = 2027-02-01 }"),
        "worked out, not planned",
        "flowering = 2027-02-01",
    ),
    "no first date": (
        swap("planned = { sticking = 2026-11-20 }", "note = 'x'"),
        "cohort B1 has no sticking date; add planned = { sticking = ",
        None,
    ),
    "escape in a name": (
        swap("Near Fields", "Near \\u001b[31m Fields"),
        "control or hidden character",
        "name =",
    ),
    "escape in a task": (
        lambda t: t + '\n[[task]]\nid = "x1"\ndate = 2026-11-09\nwhat = "\\u001b]0;x\\u0007"\n',
        "what has a control or hidden character",
        None,
    ),
    "direction change in a name": (
        swap("Near Fields", "Near \\u202e Fields"),
        "control or hidden character",
        "name =",
    ),
    "escape in an id": (swap('id = "A1"', 'id = "A\\u001b1"'), "control or hidden character", 'id = "A\\'),
    "escape in a reference": (swap('variety = "amber"', 'variety = "am\\u009b"'), "control", "variety ="),
    "raw escape": (swap("Near Fields", "Near \x1b[31m Fields"), "control characters", "name ="),
    "escape in a key": (swap("plants = 120", '"plan\\u001bts" = 120'), 'did you mean "plants"?', '"plan'),
    "outage backwards": (swap("to = 2026-11-21", "to = 2026-11-01"), "before from 2026-11-20", "to = "),
    "outage without lamps": (
        swap('[[outage]]\nplace = "H1"', '[[outage]]\nplace = "F1"'),
        "has no lamps",
        None,
    ),
    "no rule": (swap("FREQ=WEEKLY", "every week"), "RFC 5545 rule", "repeat"),
    "a rule of seconds": (
        swap("FREQ=WEEKLY", "FREQ=SECONDLY"),
        "repeats by days, weeks, months or years",
        "repeat",
    ),
    "a rule of no days": (swap("FREQ=WEEKLY", "FREQ=DAILY;INTERVAL=0"), "INTERVAL", "repeat"),
    "a rule that never comes": (
        swap("FREQ=WEEKLY", "FREQ=DAILY;BYMONTH=2;BYMONTHDAY=30"),
        "gives no date",
        "repeat",
    ),
    "a repeat without end": (without("until ="), "repeat and until go together", "repeat"),
    "deep lists": (swap("[7, 8, 10]", "[" * 3000 + "]" * 3000), "nested too deeply", None),
    "deep keys": (swap("plants = 120", "plants." + "a." * 300 + "b = 1"), "plants is", "plants."),
    "deeper keys": (swap("plants = 120", "plants." + "a." * 3000 + "b = 1"), "nested too deeply", None),
    "a name that is a date": (swap('"Near Fields 2026-27"', "2026-09-01"), "write text in quotes", "name ="),
    "an id with a space": (swap('id = "A1"', 'id = "A 1"'), "an id has 1 to 24 letters", 'id = "A 1"'),
    "an id of 25": (swap('id = "A1"', f'id = "{"A" * 25}"'), "an id has 1 to 24 letters", 'id = "AAA'),
}


@pytest.mark.parametrize("name", CASES)
def test_a_wrong_season_is_told_with_its_line(name: str, tmp_path: Path) -> None:
    change, words, part = CASES[name]
    path = tmp_path / "wrong.toml"
    path.write_text(change(PLAIN), encoding="utf-8")
    before, wanted = path.read_bytes(), f"{path}:"
    if part is not None:
        wanted = f"{path}:{line_of(before.decode(), part)}: "
    for command, status in (("dates", 2), ("check", 1)):
        ran = run(command, path)
        assert ran.status == status, ran.said
        said = ran.out if command == "check" else ran.err
        assert any(line.startswith(wanted) and words in line for line in said.splitlines()), said
        refused_quietly(ran.said)
        assert command == "check" or ran.out == ""
    assert path.read_bytes() == before


MORE = """
[crew]
[heat]
[supplies]
[stock]
[capacity]
[station]
file = "station.csv"
unit = "C"
columns = { date = "day" }
[[programme]]
place = "H1"
from = 2026-11-10
to = 2026-11-20
target_h = 18.0
[[draft]]
id = "later"
variety = "amber"
start = "seed"
cohorts = [{ place = "H1", seeding = 2026-11-16 }]
[[sampling]]
id = "weekly"
[[variable]]
id = "height"
unit = "cm"
[[trial]]
id = "K1"
design = "blocks"
"""
CROP = (
    crop_text("A1", "H1")
    + """\
official = [{ id = "o1", date = 2027-03-15, lot = "L1" }]
reading = [{ id = "D1-1", date = 2027-03-28, batch = "D1" }]
plot = [{ id = "K1-101", trial = "K1", number = 101, row = 1, column = 1 }]
thermometer = [{ date = 2026-11-08, low_c = 5, high_c = 15 }]
observation = [{ date = 2026-11-08, at = "K1-101", variable = "height", value = "84" }]
"""
)


@pytest.mark.slow
@pytest.mark.parametrize("kind", FIELDS)
def test_a_wrong_type_is_told_for_every_field(kind: str, tmp_path: Path) -> None:
    path = tmp_path / "wrong.toml"
    data = tomllib.loads(PLAIN + '\n[[task]]\nid = "x1"\ndate = 2026-11-09\nwhat = "a"\n' + MORE + CROP)
    for field in FIELDS[kind]:
        for wrong in ([[1]], {"x": 1}, True):
            if wrong is True and field.read is yes_no:
                continue
            if wrong == {"x": 1} and field.table in (
                "columns",
                "hours_per_week",
                "counts",
                "amounts",
                "figures",
                "weights",
                "columns_of",
            ):  # a key of one's own, which is kept
                continue
            changed = deepcopy(data)
            _record(changed, kind)[field.key] = wrong
            path.write_text(tomli_w.dumps(changed), encoding="utf-8")
            ran = run("check", path)
            assert ran.status == 1, (field.key, wrong, ran.said)
            assert re.search(r":\d+: .*(write|must be|such as|Known|add )", ran.out), (field.key, ran.out)
            assert "Traceback" not in ran.said


def _record(data: dict[str, Any], kind: str) -> dict[str, Any]:
    if kind == "lamps":
        return data["place"][1]["lamps"]
    if kind == "columns":
        return data["station"]["columns"]
    if kind in data.get("records", {}):
        return data["records"][kind][0]
    return data[kind] if kind in (*SINGLE, *OPTIONAL) else data[kind][0]


def test_several_problems_are_told_in_the_order_of_their_lines(tmp_path: Path) -> None:
    path = tmp_path / "wrong.toml"
    text = swap("transplant = 2026-10-30", "transplant = 2027-10-30")(swap('"12:30"', '"14:30"')(PLAIN))
    path.write_text(text.replace('place = "F1"', 'place = "F9"'), encoding="utf-8")
    ran = run("check", path)
    lines = [int(m[1]) for m in re.finditer(r"wrong\.toml:(\d+): ", ran.out)]
    assert lines == sorted(lines)
    assert ran.out.splitlines()[-1] == f"{len(lines)} problems."
    assert len(lines) == 4


# --- seasons that read well, with something that cannot come to pass


def test_a_threshold_never_crossed_is_told_by_dates_and_located_by_check(season: Path) -> None:
    season.write_text(
        season.read_text()
        .replace('critical_day = "14:00"', 'critical_day = "09:00"')
        .replace('full_response_day = "12:30"', 'full_response_day = "08:00"')
    )
    told = run("dates", season, "B1")
    assert told.status == 0
    said = re.sub(r"\s+", " ", told.out)
    assert re.search(
        r"! does not flower by 30 Jun: its shortest day from 20 Nov is 9 h \d\d, never under 9 h 00", said
    )
    ran = run("check", season)
    assert ran.status == 1
    line = line_of(season.read_text(), 'id = "B1"') - 1
    assert f"{season}:{line}: cohort B1 does not flower by 30 Jun" in ran.out
    assert ran.out.endswith("2 problems.\n")


def test_a_cohort_that_runs_out_of_season_is_told(season: Path) -> None:
    season.write_text(season.read_text().replace("sticking = 2026-11-20", "sticking = 2027-06-29"))
    ran = run("check", season)
    assert ran.status == 1
    assert "cohort B1 does not flower by 30 Jun: the count of short days reaches" in ran.out
    assert "1 problem." in ran.out


def test_a_season_without_cohorts_is_told(tmp_path: Path) -> None:
    path = tmp_path / "bare.toml"
    path.write_text(PLAIN.split("[[cohort]]")[0])
    ran = run("dates", path)
    assert (ran.status, ran.out) == (2, "")
    assert (
        f"no cohort yet; add one, such as: calendar-tui add {path} cohort A1 variety amber place N1"
        in ran.err
    )
    assert str(path) in ran.err
    assert run("check", path).out.startswith("0 cohorts, 0 tasks, 0 clashes")
    assert "No tasks are saved yet" in run("week", path).out


def test_one_of_each_is_counted_in_the_singular(tmp_path: Path) -> None:
    path = tmp_path / "one.toml"
    text = PLAIN.split("[[cohort]]")[0] + "[[cohort]]" + PLAIN.split("[[cohort]]")[3].split("[[outage]]")[0]
    path.write_text(text + '\n[[task]]\nid = "x1"\ndate = 2026-11-09\nwhat = "a"\n')
    assert run("check", path).out.splitlines()[0] == "1 cohort, 1 task, 1 to record (see dates)."

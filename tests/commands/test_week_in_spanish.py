"""The crew's week in Spanish: chosen by a flag, by one's settings, by the season or by the computer; files stay as they are."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from small_season import TODAY, run

CATALOGUE = """
msgid ""
msgstr "Plural-Forms: nplurals=2; plural=(n > 1);\\n"

msgid "Next week: {tasks}"
msgstr "Na semana que vem: {tasks}"

msgid "{count} task"
msgid_plural "{count} tasks"
msgstr[0] "{count} tarefa"
msgstr[1] "{count} tarefas"
"""


def _week(*words: object) -> str:
    ran = run("week", *words, today=TODAY)
    assert ran.status == 0, ran.said
    return ran.out


def _spanish(season: Path) -> None:
    season.write_text(season.read_text().replace("[season]\n", '[season]\nlanguage = "es"\n', 1))


def test_the_flag_chooses_and_a_wrong_one_is_told(season: Path) -> None:
    assert "Semana del lun 9 nov 2026 - Near Fields 2026-27" in _week(season, "--lang", "es")
    assert "Week of Mon 9 Nov 2026" in _week(season)
    ran = run("week", season, "--lang", "sp", today=TODAY)
    assert ran.status == 2
    assert '--lang "sp" is no language that is here. Languages: en, es; docs/languages.md says' in ran.err


def test_the_season_chooses_and_what_is_set_for_oneself_goes_before_it(
    season: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    _spanish(season)
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    assert "Semana del" in _week(season)
    assert "Week of" in _week(season, "--lang", "en")
    assert run("settings", "language", "en").status == 0
    assert "Week of" in _week(season)
    assert "Semana del" in _week(season, "--lang", "es-UY")


def test_a_language_that_is_not_here_is_told_once(season: Path) -> None:
    _spanish(season)
    season.write_text(season.read_text().replace('language = "es"', 'language = "qx"'))
    ran = run("week", season, today=TODAY)
    assert (ran.status, "Week of" in ran.out) == (0, True)
    assert ran.err.count("English until then") == 1


def test_a_language_that_is_not_here_is_told_once_for_all_pages(season: Path) -> None:
    _spanish(season)
    season.write_text(season.read_text().replace('language = "es"', 'language = "qx"'))
    pages = ("--sheet", season.parent / "s.html", "--wall", season.parent / "w.html")
    ran = run("export", season, *pages, "--table", season.parent / "t.csv", today=TODAY)
    assert ran.status == 0, ran.said
    assert ran.err.count('"qx" is no language that is here') == 1


@pytest.mark.parametrize(
    ("locale", "begins"),
    [
        ({"LANG": "es_UY.UTF-8", "LC_MESSAGES": ""}, "Semana del"),
        ({"LC_ALL": "es_MX", "LC_MESSAGES": "C"}, "Semana del"),
        ({"LC_ALL": "C.UTF-8", "LC_MESSAGES": "es_MX"}, "Week of"),
        ({"LANG": "sw_KE.UTF-8", "LC_MESSAGES": ""}, "Week of"),
    ],
)
def test_the_computer_s_language_counts_where_nothing_else_is_set(
    season: Path, monkeypatch: pytest.MonkeyPatch, locale: dict[str, str], begins: str
) -> None:
    """Which of the variables goes first: POSIX.1-2017, 8.2 Internationalization Variables."""
    for name, value in locale.items():
        monkeypatch.setenv(name, value)
    assert _week(season).startswith(begins)


def test_json_and_the_file_are_the_same_in_every_language(season: Path) -> None:
    before = season.read_bytes()
    assert json.loads(_week(season, "--json", "--lang", "es")) == json.loads(_week(season, "--json"))
    assert season.read_bytes() == before


def test_a_role_is_named_in_either_language(season: Path) -> None:
    by_spanish = _week(season, "--role", "cuadrilla", "--lang", "es")
    assert by_spanish == _week(season, "--role", "crew", "--lang", "es")
    assert "solo cuadrilla" in by_spanish
    ran = run("week", season, "--role", "cuadrilla", today=TODAY)
    assert (ran.status, '--role "cuadrilla" is no role' in ran.err) == (2, True)


@pytest.mark.parametrize("words", [("week",), ("export", "--sheet", "s.html")])
def test_the_roles_there_are_stand_once_in_the_crew_s_language(words: tuple[str, ...], season: Path) -> None:
    command, *flags = words
    ran = run(command, season, *flags, "--role", "zzzz", "--lang", "es", today=TODAY)
    roles = ran.err.rstrip().split("Funciones: ")[1].split(", ")
    assert "cuadrilla" in roles
    assert not {"crew", "anyone"} & {*roles}
    assert roles == sorted({*roles})


def test_the_line_for_a_login_is_in_the_season_s_language(season: Path) -> None:
    _spanish(season)
    line = _week(season, "--brief")
    assert "hoy" in line
    assert "esta semana" in line
    assert len(line.splitlines()) == 1
    wrong = run("week", season, "--brief", "--lang", "sp", today=TODAY)
    assert (wrong.status, wrong.out.startswith('calendar-tui: --lang "sp"')) == (0, True)


def test_what_a_person_wrote_stays_as_it_was_written(season: Path) -> None:
    own = (
        '[[task]]\nid = "own1"\ndate = 2026-11-11\nwhat = "Mend the fence"\nwho = "Ana"\nnote = "two posts"\n'
    )
    season.write_text(season.read_text() + own)
    line = next(line for line in _week(season, "--lang", "es").splitlines() if "own1" in line)
    assert "Mend the fence (Ana); nota: two posts" in line


def test_another_language_is_one_file_in_one_s_own_folder(
    season: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    folder = tmp_path / "calendar-tui" / "languages"
    folder.mkdir(parents=True)
    (folder / "pt.po").write_text(CATALOGUE, encoding="utf-8")
    shown = _week(season, "--lang", "pt")
    assert "Na semana que vem: " in shown
    assert "Week of Mon 9 Nov 2026" in shown  # what has no text yet


@pytest.mark.parametrize(
    ("text", "status", "told"),
    [
        (
            'msgid "Next week: {tasks}"\nmsgstr "Próxima: {tarefas}"\n',
            0,
            "qq.po:1: the names in brackets differ",
        ),
        ('msgid "a"\nmsgstr "b\n', 2, "qq.po:2: "),
        (b"\xff", 2, "qq.po:1: these characters are not UTF-8"),
    ],
)
def test_what_is_wrong_in_a_file_of_a_language_is_told_with_its_line(
    season: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, text: str | bytes, status: int, told: str
) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    folder = tmp_path / "calendar-tui" / "languages"
    folder.mkdir(parents=True)
    (folder / "qq.po").write_bytes(text if isinstance(text, bytes) else text.encode())
    ran = run("week", season, "--lang", "qq", today=TODAY)
    assert (ran.status, told in ran.err) == (status, True), ran.said


def test_a_code_that_is_none_is_told_where_the_season_has_it(season: Path) -> None:
    season.write_text(season.read_text().replace("[season]\n", '[season]\nlanguage = "Spanish"\n', 1))
    ran = run("check", season, today=TODAY)
    assert "write the code of a language, such as es or pt-BR" in ran.said


def test_a_sheet_takes_a_role_in_either_language(season: Path, tmp_path: Path) -> None:
    _spanish(season)
    pages = [tmp_path / f"{role}.html" for role in ("cuadrilla", "crew")]
    for page in pages:
        ran = run("export", season, "--sheet", page, "--role", page.stem, today=TODAY)
        assert ran.status == 0, ran.said
    assert pages[0].read_text(encoding="utf-8") == pages[1].read_text(encoding="utf-8")

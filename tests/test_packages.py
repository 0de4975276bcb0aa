"""What people install: the wheel, the archive of sources that it is built from too, and what both say of themselves."""

from __future__ import annotations

import re
import subprocess
import sys
import tarfile
import tomllib
import zipfile
from email.message import Message
from email.parser import Parser
from pathlib import Path

import pytest

from calendar_tui import __version__

ROOT = Path(__file__).parent.parent
PYPROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
PROJECT = PYPROJECT["project"]
CACHES = ("__pycache__", ".pyc", ".venv", ".egg-info", ".hypothesis", "_cache/", ".lock", ".history.jsonl")

pytestmark = pytest.mark.needs("hatchling")


def _built(kind: str, tree: Path, folder: Path) -> Path:
    """The file that the build backend makes of a tree, by the hook of PEP 517."""
    code = f"import sys; from hatchling.build import build_{kind} as build; print(build(sys.argv[1]))"
    ran = subprocess.run(
        [sys.executable, "-c", code, str(folder)],
        cwd=tree,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert ran.returncode == 0, ran.stderr
    return folder / ran.stdout.split()[-1]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> zipfile.ZipFile:
    return zipfile.ZipFile(_built("wheel", ROOT, tmp_path_factory.mktemp("wheel")))


@pytest.fixture(scope="module")
def unpacked(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The archive of sources, unpacked."""
    folder = tmp_path_factory.mktemp("sdist")
    with tarfile.open(_built("sdist", ROOT, folder)) as archive:
        archive.extractall(folder, filter="data")
    return folder / f"calendar_tui-{__version__}"


@pytest.fixture(scope="module")
def metadata(wheel: zipfile.ZipFile) -> Message:
    return Parser().parsestr(wheel.read(f"calendar_tui-{__version__}.dist-info/METADATA").decode())


def _files(*folders: str) -> dict[str, bytes]:
    """Every file of these folders of the tree that is no cache, by its path."""
    return {
        path.relative_to(ROOT).as_posix(): path.read_bytes()
        for folder in folders
        for path in sorted((ROOT / folder).rglob("*"))
        if path.is_file() and not any(word in f"{path}/" for word in CACHES)
    }


# --- the wheel


def test_the_wheel_has_the_package_its_data_and_the_examples_and_nothing_else(wheel: zipfile.ZipFile) -> None:
    due = _files("calendar_tui")
    due |= {f"calendar_tui/starter/{name}": text for name, text in _files("seasons").items()}
    shared = PYPROJECT["tool"]["hatch"]["build"]["targets"]["wheel"]["shared-data"]
    data = f"calendar_tui-{__version__}.data/data"
    due |= {f"{data}/{there}": (ROOT / file).read_bytes() for file, there in shared.items()}
    has = {name: wheel.read(name) for name in wheel.namelist() if ".dist-info/" not in name}
    assert has.keys() == due.keys()
    assert has == due
    assert {
        "calendar_tui/py.typed",
        "calendar_tui/starter/rules.toml",
        "calendar_tui/starter/seasons/two-rivers.toml",
    } <= has.keys()


def test_the_wheel_is_for_every_system_and_starts_by_its_name(wheel: zipfile.ZipFile) -> None:
    folder = f"calendar_tui-{__version__}.dist-info"
    assert "Tag: py3-none-any" in wheel.read(f"{folder}/WHEEL").decode()
    assert "calendar-tui = calendar_tui.cli:program" in wheel.read(f"{folder}/entry_points.txt").decode()
    assert wheel.read(f"{folder}/licenses/docs/LICENSE.txt").startswith(b"MIT License")


# --- the archive of sources


@pytest.mark.slow
def test_the_archive_has_what_its_tests_need_and_no_caches(unpacked: Path) -> None:
    has = {path.relative_to(unpacked).as_posix() for path in unpacked.rglob("*") if path.is_file()}
    due = {*_files(".ci", "calendar_tui", "docs", "seasons", "tests"), "README.md", "DEVELOPERS.md"}
    assert has == due | {"pyproject.toml", ".gitignore", "PKG-INFO"}
    assert (unpacked / ".ci" / "run").stat().st_mode & 0o111


def test_the_wheel_of_the_archive_is_that_of_the_tree(
    unpacked: Path, wheel: zipfile.ZipFile, tmp_path: Path
) -> None:
    again = zipfile.ZipFile(_built("wheel", unpacked, tmp_path))
    assert {name: again.read(name) for name in again.namelist()} == {
        name: wheel.read(name) for name in wheel.namelist()
    }


# --- what it says of itself


def test_the_version_stands_in_one_place(metadata: Message) -> None:
    assert metadata["Version"] == __version__
    assert PROJECT["dynamic"] == ["version"]
    said = [
        name
        for name, text in (_files("calendar_tui") | _files("seasons")).items()
        if __version__.encode() in text
    ]
    assert said == ["calendar_tui/__init__.py"]


def test_the_changes_begin_with_this_version() -> None:
    page = (ROOT / "docs" / "changelog.md").read_text(encoding="utf-8")
    versions = re.findall(r"^## (\S+)", page, re.MULTILINE)
    assert versions[0] == __version__
    assert len({*versions}) == len(versions)


@pytest.mark.needs("trove_classifiers")
def test_every_classifier_is_one_that_the_index_knows() -> None:
    """The list of the Python Package Index, as its own package trove-classifiers has it."""
    from trove_classifiers import classifiers, deprecated_classifiers

    said = PROJECT["classifiers"]
    assert {*said} <= classifiers - deprecated_classifiers.keys()
    assert said == sorted(said)


def test_the_pythons_named_begin_with_the_oldest_that_is_admitted(metadata: Message) -> None:
    head = "Programming Language :: Python :: 3."
    named = [
        int(text.removeprefix(head)) for text in metadata.get_all("Classifier", []) if text.startswith(head)
    ]
    assert metadata["Requires-Python"] == f">=3.{named[0]}"
    assert named == list(range(named[0], named[-1] + 1))
    assert sys.version_info[1] in named


def test_the_metadata_is_whole(metadata: Message) -> None:
    for name in ("Summary", "Author", "Keywords", "License-Expression", "Description-Content-Type"):
        assert metadata[name], name
    assert str(metadata.get_payload()).startswith("# calendar-tui")
    addresses = dict(text.split(", ") for text in metadata.get_all("Project-URL", []))
    assert addresses.keys() == {"Homepage", "Documentation", "Changelog", "Source", "Issues"}
    assert all(re.match(r"https://[\w.-]+/", address) for address in addresses.values())


def test_users_get_no_library_of_the_tests(metadata: Message) -> None:
    base = [text for text in metadata.get_all("Requires-Dist", []) if "extra ==" not in text]
    assert len(base) == len(PROJECT["dependencies"])

"""What holds for all tests.

Hypothesis tries the same cases on every machine and at every run, without a time limit, so that a check fails for a
reason and not for a slow moment. HYPOTHESIS_PROFILE=explore tries new cases, ten times as many.
"""

import gc
import os
import sys
from collections import defaultdict
from collections.abc import Iterator

import pytest
from hypothesis import settings

from calendar_tui.cli import GARBAGE_AFTER, ONE_THREAD
from calendar_tui.season.units_in_use import show_in

settings.register_profile("same", deadline=None, derandomize=True)
settings.register_profile("explore", deadline=None, max_examples=1000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "same"))

# As the program has them where it is one of its own.
gc.set_threshold(GARBAGE_AFTER)
os.environ.setdefault(ONE_THREAD, "1")

# Tests start the program again and again: it is compiled once, whatever the computer says of keeping what is compiled.
sys.dont_write_bytecode = False
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)


# So many cases of a test without the mark `quick` are in the quick set.
QUICK_CASES = 3


def spread(cases: int, count: int) -> set[int]:
    """The places of so many of the cases, from the first on and evenly apart."""
    return {n * cases // count for n in range(count)}


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Of a test of many cases as many are quick as its mark `quick` says, else QUICK_CASES; the others are slow."""
    cases: dict[str, list[pytest.Item]] = defaultdict(list)
    for item in items:
        if not item.get_closest_marker("slow"):
            cases[item.nodeid.partition("[")[0]].append(item)
    for of_one in cases.values():
        mark = of_one[0].get_closest_marker("quick")
        quick = spread(len(of_one), mark.args[0] if mark else QUICK_CASES)
        for n, item in enumerate(of_one):
            if n not in quick:
                item.add_marker("slow")


def pytest_collection_finish() -> None:
    """What was collected stays to the end: it need not be looked through for garbage again and again."""
    gc.freeze()


def pytest_runtest_setup(item: pytest.Item) -> None:
    """Skip a test whose library is not installed: one that only tests or extras bring, named by its mark `needs`.

    What is shown is in the file's units: a test before it may have begun a season in others, which are those of the process.
    """
    show_in()
    for mark in item.iter_markers("needs"):
        for library in mark.args:
            pytest.importorskip(library)


@pytest.fixture(autouse=True, scope="session")
def _own_folders(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """The folders of one's own settings and state are nobody's, for the programs that tests start too."""
    with pytest.MonkeyPatch.context() as patch:
        for name in ("XDG_CONFIG_HOME", "XDG_STATE_HOME"):
            patch.setenv(name, str(tmp_path_factory.mktemp(name.lower())))
        yield


@pytest.fixture(autouse=True, scope="session")
def _english() -> Iterator[None]:
    """Whatever language the computer speaks; its letters stay."""
    with pytest.MonkeyPatch.context() as patch:
        if whole := os.environ.get("LC_ALL"):
            patch.setenv("LC_CTYPE", whole)
            patch.delenv("LC_ALL")
        patch.setenv("LC_MESSAGES", "C")
        yield


@pytest.fixture(autouse=True, scope="session")
def _no_wait_for_a_disk() -> Iterator[None]:
    """Files of tests need not outlive a power cut. What fails at that moment is tried by tests that put a failure there."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(os, "fsync", os.fstat)
        yield

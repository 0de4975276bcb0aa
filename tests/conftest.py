"""What holds for all tests.

Hypothesis tries the same cases on every machine and at every run, without a time limit, so that a check fails for a
reason and not for a slow moment. HYPOTHESIS_PROFILE=explore tries new cases, ten times as many.
"""

import os
from collections.abc import Iterator

import pytest
from hypothesis import settings

settings.register_profile("same", deadline=None, derandomize=True)
settings.register_profile("explore", deadline=None, max_examples=1000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "same"))


def pytest_runtest_setup(item: pytest.Item) -> None:
    """Skip a test whose library is not installed: one that only tests or extras bring, named by its mark `needs`."""
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

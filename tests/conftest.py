"""What holds for all tests.

Hypothesis tries the same cases on every machine and at every run, without a time limit, so that a check fails for a
reason and not for a slow moment. HYPOTHESIS_PROFILE=explore tries new cases, ten times as many.
"""

import os

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

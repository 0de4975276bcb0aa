"""What holds for the tests of the full screen."""

from collections.abc import Iterator

import pytest
from textual import _wait

# How long Textual's pilot sleeps before it looks whether the app rests, in seconds. Of itself it sleeps ten times as long,
# after every key, which was most of what these tests took.
SLEEP_S = 1 / 500


@pytest.fixture(autouse=True, scope="session")
def _short_sleeps() -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(_wait, "SLEEP_GRANULARITY", SLEEP_S)
        patch.setattr(_wait, "SLEEP_IDLE", SLEEP_S / 20)
        yield

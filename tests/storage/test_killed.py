"""Saves killed at any moment: no file is harmed, no save that was told is lost, nothing stays locked."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[2]


@pytest.mark.skipif(not hasattr(os, "fork"), reason="this system kills no process without its leave")
def test_killed_over_500_saves_nothing_is_lost(tmp_path):
    ran = subprocess.run(
        [sys.executable, "-m", "tests.storage.killing", tmp_path],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert ran.returncode == 0, ran.stderr
    figures = json.loads(ran.stdout)
    assert figures["kills"] == 500
    # That the kills fell where it matters: a new text under way, and one that was noted and never took its place.
    assert figures["saves"] > 200, figures
    assert figures["left over"] > 40, figures
    assert figures["never"] > 5, figures

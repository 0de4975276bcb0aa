"""Data files that other libraries carry, for checks against them; a test that needs one is skipped where it is not installed."""

from __future__ import annotations

import importlib.util
from pathlib import Path

import pytest


def packaged(library: str, *parts: str) -> Path:
    """A data file inside an installed library, without importing the library."""
    spec = importlib.util.find_spec(library)
    if spec is None or not spec.submodule_search_locations:
        pytest.skip(f"{library} is not installed")
    return Path(spec.submodule_search_locations[0], *parts)

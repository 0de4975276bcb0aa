"""Folders for the trials of saving."""

import os
import tempfile
from pathlib import Path

import pytest


@pytest.fixture
def memory_folder(tmp_path):
    """A new folder in memory where the system has one, so that what fails by design need not wait for a disk."""
    shared = Path("/dev/shm")
    if not (shared.is_dir() and os.access(shared, os.W_OK)):
        yield tmp_path
        return
    with tempfile.TemporaryDirectory(dir=shared) as folder:
        yield Path(folder)

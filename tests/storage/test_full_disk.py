"""Disks that are really full, and files that may grow no further: a sentence, and the old file as it was."""

import resource
import shutil
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from calendar_tui.storage.history.undo import read_history, undo_last
from calendar_tui.storage.problems import SeasonFileError
from tests.storage.small_farm import WHEN, farm, left, save, tick

ROOT = Path(__file__).parents[2]
PAGE = 4096
TASKS = 300


def tried(path, n, words):
    """A save of task n in a place too small for it or not; whether there was room. Old or new stands."""
    old, entries = path.read_bytes(), len(read_history(path).entries)
    try:
        saved = save(path, tick(f"T{n}"))
    except SeasonFileError as error:
        said = str(error)
        assert said.startswith(str(path.parent)), said
        assert words in said, said
        assert "\n" not in said, said
        assert "not saved" in said or "cannot be saved" in said, said
        assert path.read_bytes() == old, said
        assert len(read_history(path).entries) == entries, said
        assert ".farm.toml.new" not in left(path.parent), said
        return False
    assert path.read_bytes() == saved.text.encode() != old
    assert len(read_history(path).entries) == entries + 1
    return True


def on_a_full_disk(folder):
    """Leave 0, 1, 2, ... pages of room on a small disk, and save."""
    path = folder / "farm.toml"
    path.write_text(farm(TASKS))
    filler = folder / "filler"
    outcomes = []
    for pages in range(12):
        fill(filler)
        with filler.open("r+b") as stream:
            stream.truncate(max(0, filler.stat().st_size - pages * PAGE))
        outcomes.append(tried(path, pages, "the disk is full"))
        filler.unlink()
        assert save(path, tick(f"T{pages}", "skipped")).n
    assert undo_last(path, who="ana", when=WHEN).exact
    return outcomes


def fill(filler):
    with filler.open("wb", buffering=0) as stream:
        try:
            while stream.write(b"x" * PAGE):
                pass
        except OSError:
            return


def under_a_limit(folder):
    """Let files grow to one length after another, and save."""
    path = folder / "farm.toml"
    path.write_text(farm(TASKS))
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    hard = resource.getrlimit(resource.RLIMIT_FSIZE)[1]
    size = path.stat().st_size
    outcomes = []
    for n, limit in enumerate([0, 10, 100, 500, PAGE, size // 2, size - 1, 2 * size, 3 * size]):
        resource.setrlimit(resource.RLIMIT_FSIZE, (limit, hard))
        outcomes.append(tried(path, n, "it would be larger than files may be here"))
        resource.setrlimit(resource.RLIMIT_FSIZE, (hard, hard))
        assert save(path, tick(f"T{n}", "skipped")).n
    return outcomes


def in_a_process(name, folder, *before):
    code = f"from pathlib import Path; from tests.storage import test_full_disk as t; print(t.{name}(Path({str(folder)!r})))"
    command = [*before, sys.executable, "-c", code]
    return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=120, check=False)


def test_a_file_that_may_grow_no_further_leaves_the_old_one(memory_folder):
    ran = in_a_process("under_a_limit", memory_folder)
    assert ran.returncode == 0, ran.stderr
    assert ran.stdout == "[False, False, False, False, False, False, False, True, True]\n"


def own_disks():
    """Why no disk can be made for a test, or ""."""
    if not shutil.which("unshare"):
        return "no command unshare, which gives a process disks of its own"
    made = subprocess.run(["unshare", "-rm", "true"], capture_output=True, text=True, check=False)
    return (
        "" if made.returncode == 0 else f"a process may have no disks of its own here: {made.stderr.strip()}"
    )


def test_a_full_disk_leaves_the_old_file(tmp_path):
    if why := own_disks():
        pytest.skip(why)
    mount = 'mount -t tmpfs -o size=256k tmpfs "$0" && exec "$@"'
    ran = in_a_process("on_a_full_disk", tmp_path, "unshare", "-rm", "sh", "-c", mount, str(tmp_path))
    assert ran.returncode == 0, ran.stderr
    outcomes = ran.stdout.strip("[]\n").split(", ")
    assert outcomes == sorted(outcomes)  # with less room it does not go, with more it does
    assert {"False", "True"} == set(outcomes)

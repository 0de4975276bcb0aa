"""A file layer under Python's own functions that counts what is asked of a folder, and fails at one of it."""

import fcntl
import io
import os
from contextlib import ExitStack
from unittest.mock import patch

ON_FILES = {
    os: [
        "stat",
        "lstat",
        "open",
        "close",
        "read",
        "write",
        "lseek",
        "ftruncate",
        "truncate",
        "fstat",
        "fsync",
        "replace",
        "unlink",
        "chmod",
        "chown",
    ],
    fcntl: ["flock"],
    io: ["open"],
}
# What a full disk refuses; the rest of a disk that is full works as before.
TAKES_ROOM = {"os.write", "os.fsync", "stream.write", "stream.flush", "os.open", "os.replace", "io.open"}


class Layer:
    """Fails operation number `at`, from 1, with the error `number`; with `stays`, all that follow as well, where
    `number` is of that kind. Afterwards `done` names the operations in their order.
    """

    def __init__(self, folder, at=0, number=0, *, stays=False, kinds=None):
        self.folder, self.at, self.number, self.stays, self.kinds = str(folder), at, number, stays, kinds
        self.done = []
        self.failed = []
        self._ours = set()
        self._patches = ExitStack()

    def __enter__(self):
        for module, names in ON_FILES.items():
            for name in names:
                layered = self._layered(module.__name__, name, getattr(module, name))
                self._patches.enter_context(patch.object(module, name, layered))
        return self

    def __exit__(self, *_exc):
        self._patches.close()

    def _layered(self, module, name, real):
        def call(*args, **rest):
            if not self.concerns(args[0] if args else None):
                return real(*args, **rest)
            if name == "close":
                self._ours.discard(args[0])
                real(*args, **rest)
                return self.step("os.close", args[0])
            half = (lambda: real(args[0], args[1][: len(args[1]) // 2])) if name == "write" else None
            self.step(f"{module}.{name}", args[0], half)
            got = real(*args, **rest)
            if name == "open":
                self._ours.add(got if module == "os" else got.fileno())
            return Stream(self, got) if module == "io" else got

        return call

    def concerns(self, target):
        if isinstance(target, int):
            return target in self._ours
        return isinstance(target, str | os.PathLike) and os.fspath(target).startswith(self.folder)

    def step(self, name, target, half=None):
        """One operation: passes, or fails, a writing one after half of its work."""
        self.done.append(name)
        here = len(self.done) == self.at or (self.stays and 0 < self.at < len(self.done))
        if here and (self.kinds is None or name in self.kinds or len(self.done) == self.at):
            if half is not None:
                half()
            self.failed.append(name)
            raise OSError(
                self.number, os.strerror(self.number), None if isinstance(target, int) else str(target)
            )


class Stream:
    """An opened file whose reads and writes are operations of the layer."""

    def __init__(self, layer, real):
        self._layer, self._real = layer, real

    def __enter__(self):
        return self

    def __exit__(self, *_exc):
        self.close()

    def __iter__(self):
        return iter(self._real)

    def __getattr__(self, name):
        return getattr(self._real, name)

    def close(self):
        if self._real.closed:
            return
        handle = self._real.fileno()
        self._layer._ours.discard(handle)
        self._real.close()
        self._layer.step("stream.close", handle)

    def read(self, *args):
        self._layer.step("stream.read", 0)
        return self._real.read(*args)

    def write(self, content):
        def half():
            self._real.write(content[: len(content) // 2])
            self._real.flush()

        self._layer.step("stream.write", 0, half)
        return self._real.write(content)

    def flush(self):
        self._layer.step("stream.flush", 0)
        return self._real.flush()

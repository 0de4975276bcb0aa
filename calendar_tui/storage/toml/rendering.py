"""Values and records as TOML text. Single values and keys are written by tomli_w; how they stand together is ours."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import tomli_w

from calendar_tui.storage.problems import StorageError


def key_text(parts: tuple[Any, ...]) -> str:
    """A key, dotted where it has several parts, quoted where it must be."""
    return ".".join(_statement(str(part), 0)[: -len(" = 0")] for part in parts)


def toml_value(value: Any) -> str:
    """A value on one line. Raises StorageError for a value that TOML cannot hold."""
    if isinstance(value, Mapping):
        inner = ", ".join(f"{key_text((key,))} = {toml_value(v)}" for key, v in value.items())
        return f"{{ {inner} }}" if inner else "{}"
    if isinstance(value, list | tuple):
        return f"[{', '.join(map(toml_value, value))}]"
    return _statement("k", value)[len("k = ") :]


def entry_text(parts: tuple[Any, ...], value: Any) -> str:
    """A key and its value on one line."""
    return f"{key_text(parts)} = {toml_value(value)}"


def record_lines(header: str, record: Mapping[str, Any]) -> list[str]:
    """The lines of a table or record: its header, then one line for each key."""
    return [header, *(entry_text((key,), value) for key, value in record.items())]


def _statement(key: str, value: Any) -> str:
    try:
        text = tomli_w.dumps({key: value}).removesuffix("\n")
        text.encode()
    except (TypeError, ValueError) as error:
        raise StorageError(f"{value!r} cannot be kept in a season file: {error}") from error
    return text

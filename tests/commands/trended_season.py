"""A season file with results of A1, made of the farm of the planning tests."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

import tomli_w

from tests.planning.trended_farm import trended_data


def trended_season(
    folder: Path, *pairs: Iterable[tuple[dict[str, Any], dict[str, Any]]], **more: Any
) -> Path:
    """The file, in the form of now: what comes in hundreds in its last table."""
    data = trended_data(*pairs, **more)
    records = {"sample": data.pop("sample"), "result": data.pop("result")}
    path = folder / "season.toml"
    path.write_text(tomli_w.dumps(data | {"format": 3, "records": records}), encoding="utf-8")
    return path

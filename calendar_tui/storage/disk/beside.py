"""What lies beside a season file."""

from __future__ import annotations

from pathlib import Path


def history_path(season: Path) -> Path:
    """two-rivers.toml has its history in two-rivers.history.jsonl, and two-rivers.txt in two-rivers.txt.history.jsonl."""
    return season.with_name(f"{season.name.removesuffix('.toml')}.history.jsonl")

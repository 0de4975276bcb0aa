"""The season of the other commands' tests with A1 in flower since the end of February, about to be cut."""

from pathlib import Path

from small_season import PLAIN, run


def cut_season(folder: Path, more: str = "") -> Path:
    """A season file of which the saved tasks agree with the plan. more: further tables."""
    text = PLAIN.replace(
        "recorded = { seeding = 2026-10-05 }",
        "recorded = { seeding = 2026-10-05, transplant = 2026-10-30, lights_off = 2027-02-10, flowering = 2027-02-24 }",
    )
    path = folder / "season.toml"
    path.write_text(text + more)
    ran = run("tasks", path, "--yes", today="2027-04-20")
    assert ran.status == 0, ran.said
    return path

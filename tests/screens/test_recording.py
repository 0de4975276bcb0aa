"""The recording of the docs shows what the program shows: made anew, each of its frames has the same letters."""

from __future__ import annotations

import re

from tests.recording import FILE, FRAMES, made, words_of


def test_the_recording_is_what_the_program_shows() -> None:
    kept = FILE.read_text(encoding="utf-8")
    assert words_of(made()) == words_of(kept), "python -m tests.recording writes it anew"
    assert len(words_of(kept)) == len(FRAMES)


def test_each_frame_of_the_recording_says_which_key_brought_it() -> None:
    for frame in FRAMES[1:]:
        key = frame.keys[0]
        named = {"escape": "Esc"}.get(key, key.capitalize() if len(key) > 1 else key)
        assert frame.words.startswith(f"{named}: "), frame
        assert re.sub(r"\s", "", frame.words) in re.sub(
            r"\s", "", "".join(words_of(FILE.read_text(encoding="utf-8")))
        )

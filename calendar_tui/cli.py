"""The command calendar-tui: what runs, and its exit status."""

from __future__ import annotations

import gc
import io
import os
import signal
import sys
from collections.abc import Sequence

from calendar_tui.commands.output import kept_going, lost_text
from calendar_tui.season.refusal import Refusal

# LOST: EX_IOERR of sysexits.h, 4.3BSD.
REFUSED, LOST, STOPPED = 2, 74, 130

# Before the words of a command, whose last is begun: asked by the scripts that complete commands, and in no help.
CANDIDATES = "--candidates"
# After so many new objects Python looks for garbage, by itself after 700. Hardly anything that a command reads is garbage
# before it ends, and all of it would be looked through over and over.
GARBAGE_AFTER = 50_000
# Matrices of trials are small: more threads than one of numpy's library wait for each other longer than they work.
ONE_THREAD = "OPENBLAS_NUM_THREADS"


def program() -> int:
    """`main`, as a program of its own."""
    gc.set_threshold(GARBAGE_AFTER)
    os.environ.setdefault(ONE_THREAD, "1")
    status = main()
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # one more Ctrl+C leaves the exit status as it is
    gc.freeze()  # what is left goes back to the system with the process, and need not be looked through before
    return status


def main(argv: Sequence[str] | None = None) -> int:
    """Run a command; gives the exit status.

    0 done; 1 problems found by check or left by merge; 2 refused; 74 its output could not be written; 130 stopped by Ctrl+C.
    """
    words = list(sys.argv[1:] if argv is None else argv)
    _show_what_can_be_shown()
    with kept_going() as output:
        status = _run(words)
    if text := lost_text(output):
        _tell(text)
        return LOST
    return status


def _run(words: Sequence[str]) -> int:
    from calendar_tui.commands.parsing import command_of, parser_of, with_values, words_typed
    from calendar_tui.commands.table import COMMANDS
    from calendar_tui.season.units_in_use import show_in

    show_in()
    try:
        if words[:1] == [CANDIDATES]:
            return _candidates(words[1:])
        name, others = command_of(words, COMMANDS)
        args = parser_of(name, COMMANDS).parse_intermixed_args(
            with_values(others, COMMANDS[name].all_flags())
        )
        args.words = words_typed(args.words)
        args.commands = tuple(n for n in COMMANDS if n)
        return COMMANDS[name].run(args)
    except SystemExit as left:  # help that was asked for, or words that are not understood
        return int(left.code or 0)
    except Refusal as refused:
        return _refused(refused)
    except KeyboardInterrupt:
        print("\nStopped.", file=sys.stderr)
        return STOPPED


def _candidates(words: Sequence[str]) -> int:
    """Tell the shell that completes a command what may come next."""
    from calendar_tui.commands.candidates import print_candidates

    return print_candidates(words)


def _refused(why: Exception) -> int:
    _tell(str(why))
    return REFUSED


def _tell(text: str) -> None:
    from calendar_tui.season.readers import plain

    print(plain(text), file=sys.stderr)


def _show_what_can_be_shown() -> None:
    """A letter that the terminal's encoding lacks is written as its code, and is no reason to stop."""
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(errors="backslashreplace")

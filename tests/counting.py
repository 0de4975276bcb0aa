"""How much work a piece of code does, counted in lines of Python run: the same on every machine, with no clock."""

import sys


def lines_run(work):
    """The number of Python lines that `work()` runs, inside list comprehensions and called functions too."""
    count = 0

    def trace(frame, event, arg):
        nonlocal count
        count += event == "line"
        return trace

    before = sys.gettrace()
    sys.settrace(trace)
    try:
        work()
    finally:
        sys.settrace(before)
    return count

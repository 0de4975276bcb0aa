"""The comparisons that a trial names, such as "amber against brook and cedar", as coefficients of the levels that have values."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from calendar_tui.season.contrasts import sides_of

Coefficients = tuple[float, ...]


def contrasts_of(
    named: Mapping[str, Sequence[str]],
    levels: Mapping[str, Sequence[str]],
    there: Mapping[str, Sequence[str]],
) -> tuple[dict[str, tuple[Coefficients, ...]], tuple[str, ...]]:
    """By factor the coefficients in the order of the levels that are there, and sentences about those that cannot be worked out.

    named: by factor, as a trial has them; levels: those of the trial; there: those that any plot has a value of, in order.
    """
    coefficients: dict[str, list[Coefficients]] = {}
    remarks: list[str] = []
    for factor, texts in named.items():
        for text in texts:
            first, second = sides_of(text, levels.get(factor, ()))
            lacking = [level for level in (*first, *second) if level not in there.get(factor, ())]
            if lacking:
                remarks.append(
                    f"{factor}: {text} is not worked out; no plot with a value has {', '.join(lacking)}."
                )
            else:
                coefficients.setdefault(factor, []).append(tuple(_weights(there[factor], first, second)))
    return {factor: tuple(rows) for factor, rows in coefficients.items()}, tuple(remarks)


def _weights(levels: Sequence[str], first: Sequence[str], second: Sequence[str]) -> Iterator[float]:
    for level in levels:
        yield 1 / len(first) if level in first else -1 / len(second) if level in second else 0.0

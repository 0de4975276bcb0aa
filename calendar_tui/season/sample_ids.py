"""Ids of sample bags: short, and safe against slips of the pen.

The alphabet is digits and capital letters without I, L, O and U, which are read as 1, 1 and 0 where they are written. The
last sign is a check: Damm's method over the field of 32 signs, x -> 2x modulo x^5 + x^2 + 1 (37). It catches every single wrong
sign and every two neighbours that changed places (H. M. Damm, thesis, Marburg 2004, as articles quote it; both are tested).
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator
from hashlib import blake2b

from calendar_tui.season.readers import Unreadable, shown

ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
# Signs before the check. Two people who each make 100 bags out of reach of one another have one id in common in about
# 3 seasons of 10,000 (100 x 100 / 32^5); with four signs in one of 100.
SIGNS = 5
_LONGEST = 15  # with its check the most that a small square code holds at its second highest level of safety
_GROUP = 3
_FIELD, _POLYNOMIAL = len(ALPHABET), 37
_VALUES = {sign: value for value, sign in enumerate(ALPHABET)}
_MEANT = str.maketrans("ILO", "110")
_BETWEEN = re.compile(r"[\s\-–_]+")
# What a spreadsheet takes for a number, a power of ten or a date, and writes anew: 012345, 12E456, SEP123, 12MAR4.
_MONTH = "(?:JAN|FEB|MAR|APR|MAY|JUN|JUL|AUG|SEP|OCT|NOV|DEC)"
_MISTAKEN = re.compile(rf"\d*E?\d*|{_MONTH}\d*|\d+{_MONTH}\d*")


def check_sign(body: str) -> str:
    """The sign that follows a body of signs of the alphabet. Raises KeyError for another sign."""
    state = 0
    for sign in body:
        state = (state ^ _VALUES[sign]) * 2
        if state >= _FIELD:
            state ^= _POLYNOMIAL
    return ALPHABET[state]


def is_sound(name: str) -> bool:
    """Whether a name of signs of the alphabet, of two or more, ends in its check."""
    return len(name) > 1 and set(name) <= _VALUES.keys() and check_sign(name[:-1]) == name[-1]


def plain_id(typed: str) -> str:
    """What is typed as it is meant: capitals, without blanks and dashes, I and L as 1, O as 0. It may still be wrong."""
    return _BETWEEN.sub("", typed).upper().translate(_MEANT)


def read_sample_id(typed: str, known: Collection[str] = ()) -> str:
    """The id that is typed. known: those in use, of which the nearest are named. Raises Unreadable with what would be right."""
    name = plain_id(typed)
    strange = sorted(set(name) - _VALUES.keys())
    if name in known or (not strange and is_sound(name)):
        return name
    why = (
        f"has {shown(strange[0])}, which no sample id has"
        if strange
        else "is too short for a sample id"
        if len(name) < 2
        else "is no sample id, for its last sign does not fit the others"
    )
    near = nearest_ids(name, known)
    meant = f"; near it in this season: {', '.join(map(grouped, near))}" if near else ""
    raise Unreadable(f"is {shown(typed)} and {why}{meant or '; look at the label again'}")


def grouped(name: str) -> str:
    """An id as it is printed and read aloud: "K7Q-2RY". Read back by `plain_id`."""
    return "-".join(name[at : at + _GROUP] for at in range(0, len(name), _GROUP))


def nearest_ids(typed: str, known: Iterable[str]) -> tuple[str, ...]:
    """The known ids that one slip leads to what is typed: one sign wrong, or two neighbours changed places; in order."""
    name = plain_id(typed)
    return tuple(sorted(one for one in known if _is_one_slip(name, one)))


def sound_ids_near(typed: str, meant: Iterable[str] = (), taken: Collection[str] = ()) -> tuple[str, ...]:
    """Sound ids from which one slip leads to what is typed: those that are named elsewhere, else that whose check alone differs.

    meant: names that somebody wrote, sound or not; taken: what other bags have. None for what has too few or strange signs.
    """
    name = plain_id(typed)
    written = [one for one in map(plain_id, meant) if is_sound(one) and one not in taken]
    if near := tuple(dict.fromkeys(one for one in written if one == name or _is_one_slip(name, one))):
        return near
    if is_sound(name):
        return (name,) if name not in taken else ()
    if len(name) < 2 or not set(name) <= _VALUES.keys():
        return ()
    mended = name[:-1] + check_sign(name[:-1])
    return (mended,) if mended not in taken else ()


def _is_one_slip(name: str, other: str) -> bool:
    if len(name) != len(other):
        return False
    apart = [at for at, (a, b) in enumerate(zip(name, other, strict=True)) if a != b]
    if len(apart) == 2 and apart[1] == apart[0] + 1:
        return name[apart[0]] == other[apart[1]] and name[apart[1]] == other[apart[0]]
    return len(apart) == 1


def next_sample_id(about: Iterable[str], taken: Collection[str], signs: int = SIGNS) -> str:
    """An id for a bag that is not among those taken.

    about: what tells the bag from every other: season, cohort, place, position, date, its number that day, and who takes it or
    on which machine. The same bag has the same id in two copies of a season; two people out of reach of one another get different
    ones as long as who they are is among it. signs: before the check. Raises ValueError for a length that no label takes.
    """
    if not 1 <= signs <= _LONGEST:
        raise ValueError(f"an id of {signs} signs; it must be from 1 to {_LONGEST}, and {SIGNS} are usual")
    used = frozenset(taken)
    for name in _candidates("|".join(about), signs):
        if name not in used:
            return name
    raise ValueError(f"all ids of {signs} signs are taken; make them longer")


def _candidates(about: str, signs: int) -> Iterator[str]:
    """Ids in turn, first from what the bag is and then by counting on from there, so that none is left out."""
    digest = blake2b(about.encode(), digest_size=16).digest()
    space = _FIELD**signs
    first = int.from_bytes(digest, "big") % space
    for step in range(space):
        body = _in_signs((first + step) % space, signs)
        name = body + check_sign(body)
        if not _MISTAKEN.fullmatch(name):
            yield name


def _in_signs(number: int, signs: int) -> str:
    body = ""
    for _ in range(signs):
        number, value = divmod(number, _FIELD)
        body = ALPHABET[value] + body
    return body

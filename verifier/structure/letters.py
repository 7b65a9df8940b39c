"""Stand-in numbers for letters that stay letters: generic, positive, the same for a name always."""

import zlib
from collections.abc import Iterable

ROUNDS = 3
"""How many different sets of stand-ins a decision is tried with."""


def stand_ins(names: Iterable[str], angles: Iterable[str], turn: int = 0) -> dict[str, float]:
    """Return a number for each letter: 1.6 to 5.6, or 21 to 69 degrees for those in `angles`.

    `turn` picks one of several sets, for decisions that must not hang on one of them; in the
    second set the order of any two letters is the other way round.
    """
    degrees = frozenset(angles)
    taken: dict[str, float] = {}
    for name in names:
        salt = 0
        while True:
            share = zlib.crc32(f"{turn // 2}/{salt}/{name}".encode()) / 2**32
            share = 1 - share if turn % 2 else share
            number = round(21 + 48 * share if name in degrees else 1.6 + 4 * share, 7)
            if number not in taken.values():
                break
            salt += 1
        taken[name] = number
    return taken

"""The signs that the handwriting reader knows, and how they become plain notation.

The network has two output streams over the same columns of a line: the *upper* stream reads the
line itself and the tops of stacked fractions, the *lower* stream reads what stands under a
fraction bar. Both run strictly from left to right, so neither has to reorder anything. A token is
a sign and a level; number 0 of each stream is the blank of CTC.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

ROOT_END = "⟧"
STRUCK = "░"
CIRCLED_T = "Ⓣ"
CIRCLED_C = "Ⓒ"
SPACE = " "

DIGITS = "0123456789"
UPPER = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
LOWER = "abcdefghijklmnopqrstuvwxyz"
GREEK = "Σθαβφγδλμπσω" + "Δ"
SCRIPT_SIGNS = DIGITS + UPPER + LOWER + GREEK + "+-=()/.,'*°"
OTHER = '×·÷≈≠<>≤≥[]{}|:;!?%"@&±→←↑↓↗↘↖↙⇒∴∵✓↺↻½√∠⊥' + ROOT_END + CIRCLED_T + CIRCLED_C + STRUCK
SIGNS = SCRIPT_SIGNS + OTHER + SPACE

MAIN, SUB, SUP, TOP, TOP_SUB, TOP_SUP = range(6)
UPPER_LEVELS = 6
LOWER_LEVELS = 3


@dataclass(frozen=True)
class Token:
    """A sign at a level: main, sub, sup (0 to 2), and on a fraction's top the same plus 3."""

    sign: str
    level: int


def _allowed(level: int) -> str:
    match level:
        case 0:
            return SIGNS
        case 3:
            return "".join(s for s in SIGNS if s not in STRUCK + CIRCLED_T + CIRCLED_C + "∴∵✓")
        case _:
            return SCRIPT_SIGNS


@lru_cache(maxsize=2)
def tokens(stream: int) -> tuple[Token | None, ...]:
    """Return the tokens of stream 0 (upper) or 1 (lower) by number; number 0 is the blank."""
    levels = range(UPPER_LEVELS if stream == 0 else LOWER_LEVELS)
    found: list[Token | None] = [None]
    for level in levels:
        allowed = _allowed(level if stream == 0 or level else TOP)
        found.extend(Token(sign, level) for sign in allowed)
    return tuple(found)


@lru_cache(maxsize=2)
def numbers(stream: int) -> dict[tuple[str, int], int]:
    """Return the number of each (sign, level) of a stream."""
    return {(t.sign, t.level): i for i, t in enumerate(tokens(stream)) if t is not None}


END, PARTING, LONGEST = 0, 1, 96


def spoken(upper: Sequence[int], lower: Sequence[int]) -> list[int]:
    """Return a line's tokens as one row of numbers: upper stream, parting, lower stream, end."""
    behind = len(tokens(0))
    return [*(n + 1 for n in upper), PARTING, *(n + behind for n in lower), END]

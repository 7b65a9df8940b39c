"""What a printed glyph was read as, and the text that a line of such choices gives."""

import statistics
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from verifier.reading.segment import Box4

_Put = Callable[[str, "Box4 | None", int], None]
_COLUMNS = "   "
_FAR = 4.0
"""From how many heights of its usual glyphs on a gap parts the columns of a line."""
_SUPERSCRIPT = {"2": "²", "3": "³", "−1": "⁻¹", "-1": "⁻¹"}


@dataclass(frozen=True)
class Choice:
    """What a glyph was read as: the text it gives, its box, and what else it may be.

    `others` are other glyphs with their probabilities; `sure` is the probability of `char`.
    `script` is 0 on the line, 1 dropped, 2 raised; `space` whether a space stands before
    it; `held` is the probability that this ink is one glyph at all.
    """

    char: str
    box: Box4
    sure: float
    script: int = 0
    space: bool = False
    others: tuple[tuple[str, float], ...] = field(default=())
    held: float = 1.0


def text_of(chosen: list[Choice]) -> tuple[str, list[Box4 | None], list[int]]:
    """Write choices as text that `check` takes.

    Returns the text, a box or None for each character of it, and for each character the number
    of the choice that it comes from (-1 for spaces and braces).
    """
    text, boxes, owners = "", [], []

    def put(chars: str, box: Box4 | None, owner: int) -> None:
        nonlocal text
        text += chars
        boxes.extend([box] * len(chars))
        owners.extend([owner] * len(chars))

    i = 0
    while i < len(chosen):
        one = chosen[i]
        if one.space and text:
            put(_COLUMNS if _next_column(chosen, i) else " ", None, -1)
        if one.script == 0:
            put(one.char, one.box, i)
            i += 1
            continue
        end = i + 1
        while end < len(chosen) and chosen[end].script == one.script and not chosen[end].space:
            end += 1
        if one.script == 2 and one.char in "−-" and end == i + 1 and _raised_one(chosen[end:]):
            end += 1
        _put_script(chosen, i, end, put)
        i = end
    return text, boxes, owners


def _next_column(chosen: list[Choice], at: int) -> bool:
    """Tell whether an equation begins in a column of its own, behind another on the same line."""
    x, _, width, _ = chosen[at - 1].box
    height = statistics.median(one.box[3] for one in chosen)
    apart = chosen[at].box[0] - x - width > _FAR * height
    return apart and all("=" in {one.char for one in part} for part in (chosen[:at], chosen[at:]))


def _raised_one(after: list[Choice]) -> bool:
    return bool(after) and after[0].script == 2 and after[0].char == "1"


def _put_script(chosen: list[Choice], start: int, end: int, put: _Put) -> None:
    run = chosen[start:end]
    plain = "".join(one.char for one in run)
    if run[0].script == 2 and plain in _SUPERSCRIPT:
        for k, (char, one) in enumerate(zip(_SUPERSCRIPT[plain], run, strict=True)):
            put(char, one.box, start + k)
        return
    put("_" if run[0].script == 1 else "^", None, -1)
    brace = len(run) > 1
    if brace:
        put("{", None, -1)
    for k, one in enumerate(run):
        put(one.char, one.box, start + k)
    if brace:
        put("}", None, -1)


def swapped(choice: Choice, char: str | None) -> Choice:
    """Return a choice read as another glyph; an empty one is no glyph at all."""
    return choice if char is None else replace(choice, char=char)

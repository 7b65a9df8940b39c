"""Crossed-out writing is told as such: its text stands between ~~ and ~~ and is not judged."""

from collections.abc import Sequence

from verifier.reading.lines import Box

MARK = "~~"
_WHOLE = 0.7  # a line of which this much is struck is struck whole


def mark(
    text: str, boxes: Sequence[Box | None], ranges: Sequence[tuple[int, int]]
) -> tuple[str, list[Box | None]]:
    """Put marks around the characters whose boxes lie in crossed-out column ranges.

    `boxes` has one box (or None) in the line's pixels for each character of `text`; the same is
    returned for the marked text.
    """
    hit = [box is not None and _inside(box, ranges) for box in boxes]
    known = sum(box is not None for box in boxes)
    if not ranges or not any(hit) or len(boxes) != len(text):
        return text, list(boxes)
    seen = [box for box in boxes if box is not None]
    across = max(box[0] + box[2] for box in seen) - min(box[0] for box in seen)
    through = sum(right - left for left, right in ranges)
    whole = sum(hit) >= _WHOLE * known or through >= _WHOLE * across
    hit = [True] * len(text) if whole else _without_holes(hit, boxes)
    out, placed, inside = "", list[Box | None](), False
    for char, box, struck in zip(text, boxes, hit, strict=True):
        if struck != inside:
            out += MARK
            placed += [None, None]
            inside = struck
        out += char
        placed.append(box)
    if inside:
        out += MARK
        placed += [None, None]
    return out, placed


def _inside(box: Box, ranges: Sequence[tuple[int, int]]) -> bool:
    middle = box[0] + box[2] / 2
    return any(left <= middle <= right for left, right in ranges)


def _without_holes(hit: list[bool], boxes: Sequence[Box | None]) -> list[bool]:
    """Count what has no box of its own (spaces, braces) with its neighbours."""
    out = list(hit)
    for i, box in enumerate(boxes):
        if box is None and 0 < i < len(hit) - 1:
            after = next((hit[k] for k in range(i + 1, len(hit)) if boxes[k] is not None), False)
            out[i] = out[i - 1] and after
    return out

"""The call to the handwriting recogniser: line pictures in, lines of text with their doubt out."""

from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor

import cv2

from verifier.notation.tree import Names
from verifier.reading import decimal_sign, hand
from verifier.reading.lines import ReadLine
from verifier.reading.page import PageLine

_READERS = 2
NBest = list[hand.Way]
Known = dict[tuple[int, int], hand.Looked | None]


def read(
    lines: Sequence[PageLine], names: Names, number: int, known: Known | None = None
) -> list[ReadLine | None]:
    """Read lines by hand; None in the place of a line that holds nothing to read.

    `known` keeps what was seen of lines of this page, by their origin, from call to call.
    """
    known = {} if known is None else known
    at_once = min(_READERS, cv2.getNumThreads())
    # The longest lines first, so that all readers end at about the same time.
    order = sorted(
        (line for line in lines if line.origin not in known), key=lambda one: -one.pixels.shape[1]
    )
    with ThreadPoolExecutor(at_once) as readers:
        seen = readers.map(lambda line: hand.look(line.pixels, names), order)
        known.update(zip((line.origin for line in order), seen, strict=True))
    every = hand.told([known[line.origin] for line in lines])
    return decimal_sign.agreed(
        [_line(line, ways, number) for line, ways in zip(lines, every, strict=True)]
    )


def confidence(lines: Sequence[PageLine], names: Names) -> float:
    """Return how surely lines are read as they stand, 0 to 1: low for a page on its head."""
    if not lines:
        return 0.0
    return hand.clarity([line.pixels for line in lines])


def _line(line: PageLine, ways: NBest, number: int) -> ReadLine | None:
    ways = [way for way in ways if way[0].strip()]
    if not ways:
        return None
    text, sure, boxes = ways[0]
    if len(boxes) != len(text):
        boxes = (None,) * len(text)
    places = tuple(None if box is None else line.to_photo(box) for box in boxes)
    others = tuple((other, chance) for other, chance, _ in ways[1:] if other != text)
    return ReadLine(text, number, line.box, float(sure), others, places, "hand")

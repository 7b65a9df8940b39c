"""The call to the handwriting recogniser: line pictures in, lines of text with their doubt out."""

from collections.abc import Sequence

from verifier.notation.tree import Names
from verifier.reading import hand
from verifier.reading.lines import ReadLine
from verifier.reading.page import PageLine

NBest = list[hand.Way]


def read(lines: Sequence[PageLine], names: Names, number: int) -> list[ReadLine | None]:
    """Read lines by hand; None in the place of a line that holds nothing to read."""
    found: list[NBest] = hand.read_lines([line.pixels for line in lines], names)
    return [_line(line, ways, number) for line, ways in zip(lines, found, strict=True)]


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

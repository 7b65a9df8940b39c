"""A drawing as plain marks on a page: strokes, discs and labels. Writers make files of it.

Page coordinates are in points, x to the right and y DOWN, like the pictures of the other rooms.
"""

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

Point = tuple[float, float]
Anchor = Literal["start", "middle", "end"]


@dataclass(frozen=True)
class Style:
    """How a mark is drawn: widths in points, colours as `#rrggbb`, '' for none."""

    ink: str
    width: float = 1.0
    fill: str = ""
    dash: bool = False
    size: float = 13.0
    bold: bool = False


INK, STEEL, LOAD, REACTION, QUIET, PAPER, BODY, ARM = (
    "#111111", "#111111", "#9c1c1c", "#124a8c", "#555555", "#ffffff", "#e4e7ea", "#7a4a00",
)  # fmt: skip

STYLES = {
    "member": Style(STEEL, 2.6),
    "cable": Style(STEEL, 1.3),
    "body edge": Style(STEEL, 9.0),
    "body": Style(BODY, 6.4),
    "hinge": Style(INK, 1.5, PAPER),
    "point": Style(INK, 1.0, INK),
    "support": Style(INK, 1.4, PAPER),
    "ground": Style(INK, 1.6),
    "hatch": Style(INK, 0.8),
    "load": Style(LOAD, 1.7),
    "load head": Style(LOAD, 0.6, LOAD),
    "spread": Style(LOAD, 1.0),
    "spread area": Style("", 0.0, "#f6e3e0"),
    "reaction": Style(REACTION, 1.7),
    "reaction head": Style(REACTION, 0.6, REACTION),
    "marked": Style("#ffe08a", 13.0),
    "arm": Style(ARM, 1.3),
    "arm head": Style(ARM, 0.4, ARM),
    "arm name": Style(ARM, size=13.0, bold=True),
    "dimension": Style(QUIET, 0.8),
    "dimension head": Style(QUIET, 0.4, QUIET),
    "reference": Style(QUIET, 0.8, dash=True),
    "title": Style(INK, size=15.0, bold=True),
    "name": Style(INK, size=14.0, bold=True),
    "load name": Style(LOAD, size=13.0),
    "reaction name": Style(REACTION, size=13.0),
    "dimension name": Style(QUIET, size=12.0),
    "note": Style(QUIET, size=12.0),
}
"""Every way of drawing, each colour named once; colour only repeats what shape and place say."""


@dataclass(frozen=True)
class Stroke:
    """A line through points; a filled outline where its style has a fill."""

    points: tuple[Point, ...]
    style: str
    closed: bool = False


@dataclass(frozen=True)
class Disc:
    """A circle."""

    centre: Point
    radius: float
    style: str


@dataclass(frozen=True)
class Label:
    """One line of text; `at` is where its baseline begins, ends or has its middle.

    What follows an underscore in `text` is set as a subscript.
    """

    at: Point
    text: str
    style: str
    anchor: Anchor = "middle"


Mark = Stroke | Disc | Label


@dataclass(frozen=True)
class Scene:
    """A whole drawing, `width` by `height` points, the first mark lowest."""

    width: float
    height: float
    title: str
    tells: str
    marks: tuple[Mark, ...]


Box = tuple[float, float, float, float]
"""Left, top, right and bottom."""


def clean(text: str) -> str:
    """Return text without control characters, direction overrides and half characters."""
    return "".join(c for c in text if unicodedata.category(c) not in ("Cc", "Cf", "Cs", "Cn", "Co"))


def pieces(text: str) -> list[tuple[str, bool]]:
    """Split a label into plain and subscript text.

    >>> pieces("A_x = 4 kN")
    [('A', False), ('x', True), (' = 4 kN', False)]
    """
    found: list[tuple[str, bool]] = []
    head, *rest = clean(text).split("_")
    found.append((head, False))
    for part in rest:
        end = next((i for i, c in enumerate(part) if not (c.isalnum() or c in "'′,")), len(part))
        found += [(part[:end], True), (part[end:], False)]
    return [(part, low) for part, low in found if part]


def text_width(text: str, size: float) -> float:
    """Return about how wide a label is."""
    wide = {"m": 1.6, "M": 1.45, "W": 1.6, "w": 1.35, "i": 0.5, "l": 0.5, ".": 0.55, " ": 0.55}
    return sum(
        wide.get(character, 1.08) * 0.58 * size * (0.75 if low else 1.0)
        for part, low in pieces(text)
        for character in part
    )


def label_box(label: Label) -> Box:
    """Return the box about a label."""
    size = STYLES[label.style].size
    width = text_width(label.text, size)
    left = label.at[0] - {"start": 0.0, "middle": width / 2, "end": width}[label.anchor]
    drop = 0.34 if "_" in label.text else 0.22
    return (left, label.at[1] - 0.78 * size, left + width, label.at[1] + drop * size)


def bounds(marks: Iterable[Mark]) -> Box:
    """Return the box about marks, or a single point where there are none."""
    boxes = [_box(mark) for mark in marks] or [(0.0, 0.0, 0.0, 0.0)]
    return (
        min(box[0] for box in boxes),
        min(box[1] for box in boxes),
        max(box[2] for box in boxes),
        max(box[3] for box in boxes),
    )


def on_page(marks: Iterable[Mark], title: str, tells: str, margin: float = 18.0) -> Scene:
    """Return the marks moved so that they fill a page with an even margin."""
    marks = tuple(marks)
    left, top, right, bottom = bounds(marks)
    across, down = margin - left, margin - top
    moved = tuple(_moved(mark, across, down) for mark in marks)
    return Scene(right - left + 2 * margin, bottom - top + 2 * margin, title, tells, moved)


def _box(mark: Mark) -> Box:
    match mark:
        case Label():
            return label_box(mark)
        case Disc():
            (x, y), r = mark.centre, mark.radius
            return (x - r, y - r, x + r, y + r)
    half = STYLES[mark.style].width / 2
    xs, ys = [p[0] for p in mark.points], [p[1] for p in mark.points]
    return (min(xs) - half, min(ys) - half, max(xs) + half, max(ys) + half)


def _moved(mark: Mark, across: float, down: float) -> Mark:
    match mark:
        case Label():
            return replace(mark, at=(mark.at[0] + across, mark.at[1] + down))
        case Disc():
            return replace(mark, centre=(mark.centre[0] + across, mark.centre[1] + down))
    return replace(mark, points=tuple((x + across, y + down) for x, y in mark.points))

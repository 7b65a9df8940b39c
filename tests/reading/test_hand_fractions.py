"""A fraction within a fraction is cut apart, its parts read by themselves and put together."""

import cv2
import numpy as np

from verifier.reading.hand_fractions import Fraction, Run, cut, read


def drawn(*signs, bars=()):
    """Return a picture with signs `(text, x, foot)` and bars `(x0, x1, y)`."""
    picture = np.full((170, 420), 235, np.uint8)
    for text, x, foot in signs:
        cv2.putText(picture, text, (x, foot), cv2.FONT_HERSHEY_SIMPLEX, 1.0, 30, 2, cv2.LINE_AA)
    for x0, x1, y in bars:
        cv2.line(picture, (x0, y + 1), (x1, y - 1), 30, 2, cv2.LINE_AA)
    return picture


NESTED = drawn(
    ("F =", 10, 110), ("3", 170, 40), ("5", 170, 80), ("27", 160, 135), ("+ 8", 260, 110),
    bars=[(160, 200, 48), (140, 230, 96)],
)  # fmt: skip


def shape(row):
    return [
        "." if isinstance(part, Run) else (shape(part.top), shape(part.low)) for part in row
    ]  # fmt: skip


def test_a_fraction_in_another_is_cut_apart():
    found = cut(NESTED)
    assert found is not None
    assert shape(found.row) == [".", (["."], ["."]), "."]
    nest = found.row[1]
    assert isinstance(nest, Fraction)
    inner = nest.top[0].ink.any(axis=1)
    assert 10 < np.flatnonzero(inner)[0] < 25
    assert 70 < np.flatnonzero(inner)[-1] < 95


def test_a_fraction_that_holds_none_stays_whole():
    assert cut(
        drawn(("F =", 10, 110), ("35", 150, 80), ("27", 150, 135), bars=[(140, 210, 96)])
    ) is (None)


def test_plus_minus_and_equals_are_no_bars():
    assert cut(drawn(("2 + 7 = 9 - 8", 10, 110))) is None
    assert cut(drawn(("7 + 2", 150, 80), ("9 = 4", 150, 135), bars=[(140, 260, 96)])) is None


def test_nothing_to_cut():
    assert cut(np.full((60, 300), 240, np.uint8)) is None
    assert cut(np.full((4, 4), 240, np.uint8)) is None


def test_the_parts_are_put_together_with_their_places():
    asked = []

    def reader(picture, tall):
        asked.append((picture.shape, tall))
        text = ["F=", "(3)/(5)", "27", "+8"][len(asked) - 1]
        return [(text, 0.9, tuple((1, 2, 3, 4) for _ in text)), ("?", 0.05, (None,))]

    ways = read(cut(NESTED), reader)
    text, chance, boxes = ways[0]
    assert text == "F= ((3)/(5))/(27)+8"
    assert len(boxes) == len(text)
    assert abs(chance - 0.9**4) < 1e-9
    assert all(len(way[2]) == len(way[0]) for way in ways)
    assert [way[1] for way in ways] == sorted((way[1] for way in ways), reverse=True)


def test_a_bar_that_is_read_as_none_was_none():
    assert read(cut(NESTED), lambda picture, tall: [("3+5", 0.9, (None,) * 3)]) == []

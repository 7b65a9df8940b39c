"""Stacked fractions and roots as a printer sets them: found, and read on the line."""

from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageDraw
from printed import font

from verifier.reading import ink, read_picture, stacked

_LETTER = 26.0
_LINE = [(40, 100, 20, 26), (70, 100, 20, 26)]
_BAR = (130, 112, 70, 3)
_ABOVE = [(136, 72, 20, 26), (166, 72, 20, 26)]
_BELOW = [(150, 128, 20, 26)]


def _found(*blocks: tuple[int, int, int, int]) -> list[list[int]]:
    """Return how many blobs each part of what is found holds, for a page of blocks."""
    paper = np.full((300, 600), 255, np.uint8)
    for x, y, w, h in blocks:
        paper[y : y + h, x : x + w] = 0
    blobs = ink.find_blobs(paper, 128)
    nests = stacked.find(blobs, np.ones(len(blobs), bool), _LETTER)
    return [[len(part) for part in nest.parts] for nest in nests]


def test_a_fraction_holds_what_stands_above_and_below_its_bar() -> None:
    assert _found(*_LINE, _BAR, *_ABOVE, *_BELOW) == [[2, 1]]


def test_an_index_before_a_fraction_is_no_part_of_it() -> None:
    index = (104, 118, 14, 20)
    assert _found(*_LINE, index, _BAR, *_ABOVE, *_BELOW) == [[2, 1]]


def test_a_fraction_within_another_goes_with_it() -> None:
    inner = [(145, 58, 32, 3), (150, 20, 20, 26), (150, 72, 20, 26)]
    assert _found(*_LINE, _BAR, *inner, *_BELOW) == [[3, 1]]


@pytest.mark.parametrize(
    "blocks",
    [
        [_BAR, *_ABOVE],
        [_BAR, *_BELOW],
        [_BAR, *((x, 72, 20, 26) for x in range(80, 260, 30)), *_BELOW],
        [_BAR, (150, 40, 20, 26), (150, 160, 20, 26)],
        [_BAR, (130, 122, 70, 3)],
    ],
    ids=["a line underlined", "a bar over a line", "a line that goes on", "a minus", "equals"],
)
def test_other_bars_are_no_fractions(blocks: list[tuple[int, int, int, int]]) -> None:
    assert not _found(*_LINE, *blocks)


def _page(size: int = 60) -> Image.Image:
    """Print `B = (42 + 49.5)/8 = 11.44 kN` and `L = √(16 + 36) = 7.21 m` as they are set."""
    picture = Image.new("L", (1500, 700), 250)
    draw = ImageDraw.Draw(picture)
    face = font("DejaVuSerif.ttf", size)

    def put(x: int, y: int, text: str) -> int:
        draw.text((x, y), text, 20, face, anchor="ls")
        return x + round(face.getlength(text))

    x = put(150, 150, "ΣM = 0:  B · 8 − 14 · 3 − 9 · 5.5 = 0")
    x = put(150, 330, "B = ")
    end = put(x + 12, 296, "42 + 49.5") + 12
    put((x + end) // 2 - 20, 388, "8")
    draw.line([(x, 310), (end, 310)], 20, 4)
    put(end, 330, " = 11.44 kN")
    x = put(150, 550, "L = ")
    end = put(x + 46, 550, "16 + 36") + 8
    hook = [(x, 530), (x + 10, 524), (x + 24, 560), (x + 40, 490), (end, 490)]
    draw.line(hook, 20, 5, joint="curve")
    put(end, 550, " = 7.21 m")
    return picture


def test_fractions_and_roots_are_read_on_the_line(tmp_path: Path) -> None:
    file = tmp_path / "page.png"
    _page().save(file)
    lines = [line.text for line in read_picture(file, kind="print").lines]
    assert lines == [
        "ΣM = 0: B · 8 − 14 · 3 − 9 · 5.5 = 0",
        "B = (42 + 49.5)/8 = 11.44 kN",
        "L = √(16 + 36) = 7.21 m",
    ]

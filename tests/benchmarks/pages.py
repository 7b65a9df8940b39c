"""Whole pages for the benchmark: a working printed, or written in one hand; then photographed."""

from __future__ import annotations

import re
import unicodedata
from random import Random

import cv2
import numpy as np
from camera import draw_shot, photograph, tidy
from people import DATASETS, PAPERS, People
from printed import Style, compose, font

from verifier.reading.training.library import Library

WIDTH, HEIGHT = 2480, 3508
_MOST_LINES = 30
_LEAST_POINTS = 8.5  # nobody prints a working smaller
_LEAST_SHRINK = 0.6  # nobody writes smaller than this to get a line in
_BY_HAND = {
    "−": "-", "–": "-", "⟲": "↺", "⟳": "↻", "↶": "↺", "↷": "↻", "*": "×", "∑": "Σ", "’": "'",
    "ϕ": "φ", "∙": "·", " ✓": "", "œ": "oe",
}  # fmt: skip
_RAISED = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻", "0123456789-")


def printed_page(lines: list[str], seed: int, fonts: list[str], hardness: float = 1.0) -> bytes:
    """Return a photograph (JPEG) of a page printed in one of the fonts.

    Raises `ValueError` where the page cannot hold the lines.
    """
    rng = Random(seed)
    name = fonts[seed % len(fonts)]
    longest = max(font(name, 100).getlength(line) for line in lines) / 100  # in type sizes
    points = min(WIDTH * 0.85 / longest / 300 * 72, rng.choice([11, 11, 12, 12, 13]))
    if points < _LEAST_POINTS:
        raise ValueError("a line longer than the page is wide")
    style = Style(
        font=name, points=points,
        leading=rng.choice([1.35, 1.5, 1.7]), typeset=rng.random() < 0.5,
        ink=rng.choice([10, 30, 60]),
    )  # fmt: skip
    printed = compose(lines, style)
    if any(x + w > 0.98 * WIDTH for x, _, w, _ in printed.boxes):
        raise ValueError("a line that runs off the page")
    return photograph(printed.pixels, draw_shot(seed, hardness)).jpeg()


def markup(line: str) -> str:
    """Return a typed line in the composer's markup."""
    for typed, written in _BY_HAND.items():
        line = line.replace(typed, written)
    line = "".join(c for c in unicodedata.normalize("NFD", line) if not unicodedata.combining(c))
    line = re.sub("[⁰¹²³⁴⁵⁶⁷⁸⁹⁻]+", lambda m: f"^{{{m.group().translate(_RAISED)}}}", line)
    line = re.sub(r"\^(-?\w)", r"^{\1}", line)
    line = re.sub(r"_([A-Za-z0-9]+)", r"_{\1}", line)
    line = re.sub(r" ([=+≈-]) ", r"\1", line)
    return " ".join(line.split())


def handwritten_page(
    library: Library, lines: list[str], seed: int, hardness: float = 1.0, half: int | None = None
) -> tuple[bytes, str]:
    """Return a photograph (JPEG) of a page in one unseen hand, and in words which hand and paper.

    `half` 0 takes the hands on which doubt is fitted, 1 the others, None all.

    Raises `ValueError` where the page cannot hold the lines, `KeyError` for a sign that no unseen
    hand has.
    """
    rng = Random(seed)
    dataset, paper = DATASETS[seed % 3], PAPERS[seed // 3 % 3]
    people = People(library, dataset, paper, seed, half)
    people.size = rng.uniform(46, 64)  # a capital's height: 4 to 5½ mm at 300 dots an inch
    if len(lines) > _MOST_LINES:
        raise ValueError("more lines than the page holds")
    sheet = _paper(people)
    step = min(HEIGHT * 0.88 / len(lines), people.size * rng.uniform(2.4, 3.2))
    left = rng.uniform(110, 240)
    for row, line in enumerate(lines):
        if not line.strip():
            continue
        strokes = people.write(markup(line))
        wide = max(float(s[:, 0].max()) for s in strokes) * people.size
        shrink = min(1.0, (WIDTH - left - 120) / wide)
        if shrink < _LEAST_SHRINK:
            raise ValueError("a line longer than the page is wide")
        strokes = [s * np.float32(shrink) for s in strokes]
        y = HEIGHT * 0.05 + (row + 0.6) * step + rng.gauss(0, 0.06) * people.size
        ink = people.ink(strokes, (HEIGHT, WIDTH), left + rng.uniform(-15, 25), y)
        sheet = (sheet * (1 - rng.uniform(0.72, 0.85) * ink)).astype(np.uint8)
    shot = tidy(draw_shot(seed, hardness), quarter=0)
    return photograph(sheet, shot).jpeg(), f"{dataset}, {paper}"


def _paper(people: People) -> np.ndarray:
    """Return an empty page (H, W), blank, ruled or squared."""
    sheet = np.full((HEIGHT, WIDTH), 243, np.uint8)
    step = 94 if people.paper == "ruled" else 59  # 8 mm and 5 mm
    if people.paper != "blank":
        for y in np.arange(150, HEIGHT, step):
            cv2.line(sheet, (0, int(y)), (WIDTH, int(y)), 208, 3, cv2.LINE_AA)
    if people.paper == "squared":
        for x in np.arange(40, WIDTH, step):
            cv2.line(sheet, (int(x), 0), (int(x), HEIGHT), 208, 3, cv2.LINE_AA)
    return sheet

"""Tesseract, asked once a page: the lines stacked up, its letters put back in place."""

import html
import os
import re
from dataclasses import dataclass, replace
from itertools import pairwise

import cv2
import numpy as np
import pytesseract
from PIL import Image

from verifier.errors import UsageError
from verifier.reading.ink import Pixels
from verifier.reading.segment import Box4

# One thread is several times faster than two for a page of lines: the threads wait for each other.
os.environ.setdefault("OMP_THREAD_LIMIT", "1")

_GAP = 16  # white rows above and below each line
_MARGIN = 24
_SECONDS = 60
_OPTIONS = "--oem 1 --psm 6 --dpi 200 -c hocr_char_boxes=1"
_MOST_ROWS = 14_000  # Tesseract takes pictures up to 32,767 pixels; memory is bounded well below

_WORD = re.compile(r"class='ocrx_word'[^>]*?x_wconf (\d+)[^>]*>")
_CHAR = re.compile(
    r"class='ocrx_cinfo' title='x_bboxes (\d+) (\d+) (\d+) (\d+); x_conf ([\d.]+)'>([^<]*)<"
)


@dataclass(frozen=True)
class Letter:
    """One character as Tesseract read it, its box in its line's pixels.

    `sure` is its own confidence and `word` that of its word, both 0 to 1; `after_space` says
    whether a word begins here.
    """

    char: str
    box: Box4
    sure: float
    word: float
    after_space: bool


def read_lines(lines: list[Pixels], languages: str = "eng") -> list[list[Letter]]:
    """Read line pictures `(H, W)` uint8, dark on light; one list of letters for each.

    Raises `UsageError` where Tesseract is not installed or gives up.
    """
    found: list[list[Letter]] = []
    batch: list[Pixels] = []
    rows = 0
    for line in lines:
        tall = line.shape[0] + 2 * _GAP
        if batch and rows + tall > _MOST_ROWS:
            found += _read_stack(batch, languages)
            batch, rows = [], 0
        batch.append(line)
        rows += tall
    return found + (_read_stack(batch, languages) if batch else [])


def _read_stack(lines: list[Pixels], languages: str) -> list[list[Letter]]:
    width = max(line.shape[1] for line in lines) + 2 * _MARGIN
    tops, parts, top = [], [], 0
    for line in lines:
        spare = width - _MARGIN - line.shape[1]
        parts.append(
            cv2.copyMakeBorder(line, _GAP, _GAP, _MARGIN, spare, cv2.BORDER_CONSTANT, value=(255,))
        )
        tops.append(top + _GAP)
        top += line.shape[0] + 2 * _GAP
    text = _ask(np.vstack(parts), languages)
    return _sorted_out(text, lines, tops)


def _ask(stack: Pixels, languages: str) -> str:
    try:
        answer = pytesseract.image_to_pdf_or_hocr(
            Image.fromarray(stack), lang=languages, config=_OPTIONS, extension="hocr",
            timeout=_SECONDS,
        )  # fmt: skip
    except pytesseract.TesseractNotFoundError as error:
        raise UsageError("tesseract is not installed", "install tesseract-ocr") from error
    except (pytesseract.TesseractError, RuntimeError) as error:
        raise UsageError(f"tesseract gave up ({str(error)[:80]})") from error
    return answer.decode("utf-8", "replace") if isinstance(answer, bytes) else str(answer)


def _sorted_out(text: str, lines: list[Pixels], tops: list[int]) -> list[list[Letter]]:
    found: list[list[list[Letter]]] = [[] for _ in lines]
    starts = np.array(tops)
    words = list(_WORD.finditer(text))
    for i, word in enumerate(words):
        end = words[i + 1].start() if i + 1 < len(words) else len(text)
        letters = _letters(text, word.end(), end, int(word.group(1)) / 100)
        if not letters:
            continue
        middle = letters[0].box[1] + letters[0].box[3] / 2
        line = max(0, int(np.searchsorted(starts - _GAP, middle, side="right")) - 1)
        found[line].append([_moved(letter, tops[line]) for letter in letters])
    return [
        [letter for word in sorted(words, key=lambda word: word[0].box[0]) for letter in word]
        for words in found
    ]


def _letters(text: str, start: int, end: int, sure: float) -> list[Letter]:
    """Read one word; its boxes can come out of order, its letters do not."""
    chars: list[tuple[str, float]] = []
    boxes: list[Box4] = []
    for match in _CHAR.finditer(text, start, end):
        x0, y0, x1, y1 = (int(match.group(k)) for k in range(1, 5))
        for char in html.unescape(match.group(6)):
            chars.append((char, min(1.0, float(match.group(5)) / 100)))
            boxes.append((x0, y0, x1 - x0, y1 - y0))
    boxes.sort()
    if all(char.isalnum() for char, _ in chars):
        boxes = _apart(boxes)
    return [
        Letter(char, box, own, sure, k == 0)
        for k, ((char, own), box) in enumerate(zip(chars, boxes, strict=True))
    ]


def _apart(boxes: list[Box4]) -> list[Box4]:
    """Part two boxes that lie over each other, as those of letters that touch, in halves."""
    over = [
        min(x0 + w0, x1 + w1) - x1 > 0.5 * min(w0, w1)
        for (x0, _, w0, _), (x1, _, w1, _) in pairwise(boxes)
    ]
    found = list(boxes)
    for i, lies_over in enumerate(over):
        if lies_over and sum(over[max(0, i - 1) : i + 2]) == 1:
            (x0, y0, w0, h0), (x1, y1, w1, h1) = boxes[i : i + 2]
            right = max(x0 + w0, x1 + w1)
            middle = (x0 + right) // 2
            found[i : i + 2] = (x0, y0, middle - x0, h0), (middle, y1, right - middle, h1)
    return found


def _moved(letter: Letter, top: int) -> Letter:
    x, y, w, h = letter.box
    return replace(letter, box=(x - _MARGIN, y - top, w, h))

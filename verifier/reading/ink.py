"""From a flat grey page to its ink: light evened out, ruling taken away, blobs found."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]
Pixels = NDArray[np.uint8]
Mask = NDArray[np.bool_]

MOST_BLOBS = 20_000
_FAINT_BAR = 160  # a bar as thin as a hair is printed grey …
_FINE = 900  # long side of a picture in which strokes still show
_RUN = 16  # … but it is as long as this, in pixels


@dataclass(frozen=True)
class Blobs:
    """The connected pieces of ink of a page.

    `boxes` is `(N, 4)` of x, y, width, height; `area` `(N,)` in pixels; `labels` `(H, W)` holds
    the number of the blob at each pixel plus one, zero where there is paper.
    """

    boxes: Ints
    area: Ints
    labels: Ints

    @property
    def centres(self) -> Floats:
        """The middle of each blob's box `(N, 2)`."""
        return self.boxes[:, :2] + self.boxes[:, 2:] / 2

    def __len__(self) -> int:
        return len(self.boxes)


def even(grey: Pixels) -> Pixels:
    """Even out light and shadow: paper near 255, ink near its own darkness on even paper."""
    if _is_light_on_dark(grey):
        grey = cv2.bitwise_not(grey)
    height, width = grey.shape
    part = max(1.0, max(height, width) / 450)
    small_size = (max(8, round(width / part)), max(8, round(height / part)))
    small = cv2.resize(grey, small_size, interpolation=cv2.INTER_AREA)
    paper = cv2.morphologyEx(small, cv2.MORPH_CLOSE, np.ones((15, 15), np.uint8))
    paper = cv2.medianBlur(paper, 7)
    paper = cv2.GaussianBlur(paper, (0, 0), 2)
    wide = cv2.resize(paper, (width, height), interpolation=cv2.INTER_LINEAR)
    evened = cv2.divide(grey, np.maximum(wide, 1), scale=245)
    return np.asarray(evened, np.uint8)


def _is_light_on_dark(grey: Pixels) -> bool:
    small = cv2.resize(grey, (64, 64), interpolation=cv2.INTER_AREA)
    middle = float(np.median(small))
    if not (middle < 110 and float(grey.max()) - middle > 1.5 * (middle - float(grey.min()))):
        return False
    # Of a page that lies half in the shade that may be said as well: its strokes tell.
    part = max(1.0, max(grey.shape) / _FINE)
    size = (max(8, round(grey.shape[1] / part)), max(8, round(grey.shape[0] / part)))
    fine = cv2.resize(grey, size, interpolation=cv2.INTER_AREA)
    near = np.ones((9, 9), np.uint8)
    light, dark = (
        float(cv2.morphologyEx(fine, way, near).mean())
        for way in (cv2.MORPH_TOPHAT, cv2.MORPH_BLACKHAT)
    )
    return light > dark


def threshold(evened: Pixels) -> int:
    """Return the level that parts ink from paper on an evened page."""
    shown = evened[evened < 225]
    if shown.size < 50:
        return 150
    level, _ = cv2.threshold(shown.reshape(-1, 1), 0, 255, cv2.THRESH_OTSU)
    return int(np.clip(level + 12, 110, 205))


def without_ruling(evened: Pixels) -> Pixels:
    """Take away the ruling and squares of the paper, leaving the strokes that cross them."""
    dark = cv2.bitwise_not(evened)
    faint = (dark > 28).astype(np.uint8)
    rules = _rules(faint, dark)
    rules |= _rules(_turn(faint), _turn(dark)).T
    if not rules.any():
        return evened
    cleaned = evened.copy()
    cleaned[rules] = 255
    return cleaned


def _rules(faint: Pixels, dark: Pixels) -> Mask:
    """Find rules that run across, on a page of ink `dark` and where it is at all, `faint`."""
    height, width = faint.shape
    run = max(25, width // 45)
    # A slightly sloping rule breaks into steps: let it be found as long runs, then join these.
    thick = cv2.dilate(faint, np.ones((3, 1), np.uint8))
    runs = cv2.morphologyEx(thick, cv2.MORPH_OPEN, np.ones((1, run), np.uint8))
    joined = cv2.morphologyEx(runs, cv2.MORPH_CLOSE, np.ones((3, run), np.uint8))
    del thick
    half = cv2.resize(joined, ((width + 1) // 2, (height + 1) // 2), interpolation=cv2.INTER_AREA)
    del joined
    count, labels, stats, _ = cv2.connectedComponentsWithStats(half, connectivity=8)
    slim = stats[:, cv2.CC_STAT_HEIGHT] < max(0.0175 * width, 7)
    full = stats[:, cv2.CC_STAT_AREA] < 7 * stats[:, cv2.CC_STAT_WIDTH]
    rule = (stats[:, cv2.CC_STAT_WIDTH] > 0.15 * width) & slim & full
    rule[0] = False
    if count < 2 or not rule.any():
        return np.zeros((height, width), bool)
    shown = cv2.resize(
        rule[labels].astype(np.uint8), (width, height), None, 0, 0, cv2.INTER_NEAREST
    )
    mask = (cv2.dilate(shown, np.ones((3, 3), np.uint8)) > 0) & (runs > 0)
    level = float(np.median(dark[mask & (dark > 28)])) if mask.any() else 0.0
    # What is much darker than the rule itself is a stroke; so is what goes on above and below.
    stroke = dark > max(level * 1.6, level + 45)
    ink = ((dark > 28) & ~mask).astype(np.uint8)
    reach = np.ones((5, 1), np.uint8)
    above = cv2.dilate(ink, reach, anchor=(0, 4))
    below = cv2.dilate(ink, reach, anchor=(0, 0))
    crossing = (above > 0) & (below > 0) & (dark > 60)
    return np.asarray(mask & ~stroke & ~crossing)


def _turn(picture: Pixels) -> Pixels:
    return np.ascontiguousarray(picture.T)


def find_blobs(evened: Pixels, level: int) -> Blobs:
    """Find the connected pieces of ink, specks left out and faint bars taken in."""
    inked = (evened < level).astype(np.uint8)
    if level < _FAINT_BAR:
        faint = (evened < _FAINT_BAR).astype(np.uint8)
        inked |= cv2.morphologyEx(faint, cv2.MORPH_OPEN, np.ones((1, _RUN), np.uint8))
    _, labels, stats, _ = cv2.connectedComponentsWithStats(inked, connectivity=8)
    keep = stats[:, cv2.CC_STAT_AREA] >= 4
    keep[0] = False
    order = np.cumsum(keep) * keep
    kept = stats[keep]
    names = order.astype(np.int32)
    for row in labels:  # in place: a page's labels are its largest array
        row[:] = names[row]
    return Blobs(kept[:, :4].astype(np.int32), kept[:, 4].astype(np.int32), labels)


def letter_height(blobs: Blobs) -> float:
    """Return the usual height of a letter in pixels, 0 where there is nothing like writing."""
    boxes = blobs.boxes
    tall, wide = boxes[:, 3].astype(float), boxes[:, 2].astype(float)
    most = blobs.labels.shape[0] / 8
    like = (tall >= 6) & (tall < most) & (wide < 4 * tall) & (tall < 6 * wide)
    if np.count_nonzero(like) < 3:
        return 0.0
    heights = np.sort(tall[like])
    rough = float(np.median(heights))
    near = heights[(heights > 0.5 * rough) & (heights < 2.5 * rough)]
    return float(np.median(near)) if near.size else rough

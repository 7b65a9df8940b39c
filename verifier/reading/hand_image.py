"""A cut-out line of a page → the picture that the network takes, and the way back.

The network wants lines 80 rows high with capitals about 25 high, paper at 0 and ink about 1. The
page's cutter may leave any margins, so size and place are taken from the ink itself.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

HEIGHT = 80
CAPITAL = 25.0
WIDEST = 1536
STEP = 32
MARGIN = 12
Gray = NDArray[np.uint8]


@dataclass(frozen=True)
class Prepared:
    """`picture` (80, W) for the network; a point (x, y) of it lies at (x, y) / scale + origin."""

    picture: NDArray[np.float32]
    scale: float
    origin: tuple[float, float]
    ink: NDArray[np.bool_]


def prepare(image: NDArray[np.uint8], tall: float = 0.0) -> Prepared | None:
    """Return the network's picture of a line (H, W) or (H, W, 3), or None where there is no ink.

    `tall` is a capital's height where it is known, else the ink is measured.
    """
    gray = gray_of(image)
    if min(gray.shape) < 4 or gray.shape[0] > 200 * gray.shape[1]:
        return None
    if gray.shape[0] > 400:
        return _scaled_back(gray, 400 / gray.shape[0], tall)
    ink = ink_of(gray)
    if not ink.any():
        return None
    size, (x0, y0, x1, y1) = _measure(ink)
    size = tall or size
    scale = min(CAPITAL / size, (HEIGHT - 8) / (y1 - y0), (WIDEST - 2 * MARGIN) / (x1 - x0))
    scale = min(max(scale, 0.05), 6.0)
    width = -(-int((x1 - x0) * scale + 2 * MARGIN) // STEP) * STEP
    origin = (x0 - MARGIN / scale, (y0 + y1) / 2 - HEIGHT / 2 / scale)
    return Prepared(_resampled(gray, scale, origin, width), scale, origin, ink)


def _scaled_back(gray: Gray, factor: float, tall: float) -> Prepared | None:
    size = (max(4, round(gray.shape[1] * factor)), 400)
    small = prepare(cv2.resize(gray, size, interpolation=cv2.INTER_AREA), factor * tall)
    if small is None:
        return None
    x, y = small.origin
    ink = cv2.resize(small.ink.astype(np.uint8), gray.shape[::-1]) > 0
    return Prepared(small.picture, small.scale * factor, (x / factor, y / factor), ink)


def gray_of(image: NDArray[np.uint8]) -> Gray:
    """Return a picture (H, W) or (H, W, 3) in shades of grey."""
    if image.ndim == 3:
        return np.asarray(cv2.cvtColor(image[:, :, :3], cv2.COLOR_BGR2GRAY), np.uint8)
    return np.ascontiguousarray(image, np.uint8)


def paper_of(gray: Gray) -> Gray:
    """Return the paper of a line (H, W) as it would be without ink."""
    height, width = gray.shape
    small = cv2.resize(
        gray, (max(1, width // 4), max(1, height // 4)), interpolation=cv2.INTER_AREA
    )
    soft = cv2.medianBlur(small, min(63, max(3, (height // 8) * 2 + 1)))
    wide = cv2.resize(soft, (width, height), interpolation=cv2.INTER_LINEAR)
    return np.asarray(np.maximum(wide, int(np.median(gray)) // 2), np.uint8)


def ink_of(gray: Gray) -> NDArray[np.bool_]:
    """Return where ink is: darker than its own surroundings by half of the line's contrast."""
    dark = np.clip(1 - gray.astype(np.float32) / np.maximum(paper_of(gray), 1), 0, 1)
    strong = float(np.quantile(dark, 0.985))
    return np.asarray(dark > max(0.12, 0.45 * strong))


def _measure(ink: NDArray[np.bool_]) -> tuple[float, tuple[int, int, int, int]]:
    """Return the height of a capital and the box (x0, y0, x1, y1) of what belongs to the line."""
    height = ink.shape[0]
    _, _, stats, _ = cv2.connectedComponentsWithStats(ink.astype(np.uint8), connectivity=8)
    parts = stats[1:]
    parts = parts[parts[:, cv2.CC_STAT_AREA] >= max(4, (height / 40) ** 2)]
    if len(parts) == 0:
        parts = stats[1:]
    x, y, w, h = (parts[:, k] for k in range(4))
    cut = ((y == 0) | (y + h == height)) & (h < 0.3 * height)
    long = (w > 12 * h) & (w > 0.5 * ink.shape[1])
    own = ~(cut | long)
    if not own.any():
        own = np.ones(len(parts), bool)
    x, y, w, h = x[own], y[own], w[own], h[own]
    tall = np.sort(h[h >= 0.35 * np.quantile(h, 0.9)])
    size = float(np.quantile(tall, 0.6)) if len(tall) else float(h.max())
    box = int(x.min()), int(y.min()), int((x + w).max()), int((y + h).max())
    return max(size, 3.0), box


def _resampled(
    gray: Gray, scale: float, origin: tuple[float, float], width: int
) -> NDArray[np.float32]:
    paper = int(np.median(gray))
    soft = cv2.GaussianBlur(gray, (0, 0), 0.35 / scale) if scale < 0.7 else gray
    turn = np.array([[scale, 0, -origin[0] * scale], [0, scale, -origin[1] * scale]], np.float32)
    out = cv2.warpAffine(
        soft, turn, (width, HEIGHT), flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT,
        borderValue=paper,
    )  # fmt: skip
    return normalised(out.astype(np.float32) / 255)


def normalised(gray: NDArray[np.float32]) -> NDArray[np.float32]:
    """Return a line (80, W) of 0 to 1 with paper at 0 and the darkest ink about 1."""
    sample = gray[::3, ::3]
    paper, dark = float(np.median(sample)), float(np.quantile(sample, 0.02))
    even = np.clip((paper - gray) / max(paper - dark, 0.06), -0.5, 1.5)
    return np.asarray(even, np.float32)

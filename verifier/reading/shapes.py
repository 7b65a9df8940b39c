"""A small network that tells one printed glyph from its picture and its place on the line.

It is there for what Tesseract cannot know (Σ, θ, °, ×, ·, −, arrows, turning arrows, scripts) and
as a second opinion on all the rest. Two convolutions and two dense layers, 0.4 million numbers,
trained by `shapes_training.py` on the fonts named there; it runs on numpy alone.
"""

import functools
from dataclasses import dataclass
from importlib import resources

import cv2
import numpy as np
from numpy.typing import NDArray

from verifier.reading.ink import Pixels

Array = NDArray[np.float32]

SIDE = 24
_INNER = 20
FEATURES = 6

GLYPHS: tuple[str, ...] = (
    *"0123456789",
    *"ABCDEFGHIJKLMNOPQRSTUVWXYZ",
    *"abcdefghijklmnopqrstuvwxyz",
    *"αβγδεηθλμπρστφωΔΣΦΩ",
    *"+−-_=×·÷/()[]{},.:;'\"%&°√∴∵⇒→←↑↓↺↻≈≤≥<>✓|@*^~!?½#±",
    *"éèàüöäçñóß",
    "",  # no glyph: a part of one, or several
)
SCRIPTS = ("", "_", "^")  # on the line, dropped, raised
SCRIPTABLE = frozenset(GLYPHS[:62]) | frozenset("αβγδθλμφω−-+'")
JUNK = len(GLYPHS) - 1
INDEX = {glyph: i for i, glyph in enumerate(GLYPHS)}


@dataclass(frozen=True)
class Metrics:
    """A line's measures in pixels.

    `base` is the row that letters stand on at the left, `slope` how much it falls a column,
    `cap` the height of a capital.
    """

    base: float
    cap: float
    slope: float = 0.0

    def base_at(self, x: float) -> float:
        """Return the row on which letters stand at a column."""
        return self.base + self.slope * x


def crop(dark: Array, box: tuple[int, int, int, int]) -> Array:
    """Fit the ink `dark` `(H, W)` 0…1 inside a box (x, y, width, height) into `(SIDE, SIDE)`."""
    x, y, w, h = box
    part = dark[y : y + h, x : x + w]
    scale = _INNER / max(w, h, 1)
    size = (max(1, round(w * scale)), max(1, round(h * scale)))
    shown = cv2.resize(part, size, interpolation=cv2.INTER_AREA if scale < 1 else cv2.INTER_LINEAR)
    out = np.zeros((SIDE, SIDE), np.float32)
    left, top = (SIDE - size[0]) // 2, (SIDE - size[1]) // 2
    out[top : top + size[1], left : left + size[0]] = shown
    return out


def place(box: tuple[int, int, int, int], metrics: Metrics | None) -> Array:
    """Tell a box's size and place on the line in numbers `(FEATURES,)`; shape alone for None."""
    x, y, w, h = box
    shape = float(np.clip(np.log(w / max(h, 1)), -2.5, 2.5))
    if metrics is None:
        return np.array([shape, 0, 0, 0, 0, 0], np.float32)
    tall, wide = h / metrics.cap, w / metrics.cap
    base = metrics.base_at(x + w / 2)
    foot, head = (base - y - h) / metrics.cap, (base - y) / metrics.cap
    found = np.clip([tall - 0.8, wide - 0.6, foot * 2, (head - 0.8) * 1.5], -2.5, 2.5)
    return np.array([shape, *found, 1], np.float32)


@dataclass(frozen=True)
class Weights:
    """The network's numbers, as float32."""

    conv1: Array
    bias1: Array
    conv2: Array
    bias2: Array
    dense: Array
    bias3: Array
    out: Array
    bias4: Array
    warmth: float = 1.0


@functools.cache
def weights() -> Weights:
    """Load the trained network that ships with the package."""
    with resources.files("verifier.reading").joinpath("shapes.npz").open("rb") as file:
        stored = np.load(file, allow_pickle=False)
        found = {name: stored[name].astype(np.float32) for name in stored.files}
    warmth = float(found.pop("warmth", np.float32(1)))
    return Weights(**found, warmth=warmth)


def tell(crops: Array, places: Array) -> tuple[Array, Array]:
    """Return log-probabilities of glyphs `(N, G)` and of scripts `(N, 3)`.

    `crops` is `(N, SIDE, SIDE)` 0…1, `places` `(N, FEATURES)`.
    """
    if not len(crops):
        return np.zeros((0, len(GLYPHS)), np.float32), np.zeros((0, 3), np.float32)
    w = weights()
    parts = [
        _forward(w, crops[i : i + 512], places[i : i + 512]) for i in range(0, len(crops), 512)
    ]
    out = np.concatenate(parts) / w.warmth
    count = len(GLYPHS)
    return _log_softmax(out[:, :count]), _log_softmax(out[:, count:])


def _forward(w: Weights, crops: Array, places: Array) -> Array:
    hidden = _conv(crops[..., None], w.conv1, w.bias1)
    hidden = _conv(hidden, w.conv2, w.bias2)
    flat = np.concatenate([hidden.reshape(len(crops), -1), places], axis=1)
    dense = np.maximum(flat @ w.dense + w.bias3, 0)
    return np.asarray(dense @ w.out + w.bias4, np.float32)


def _conv(x: Array, kernel: Array, bias: Array) -> Array:
    """Convolve `(N, H, W, C)` with `(k, k, C, D)` at stride 2, padded as 'SAME', and rectify."""
    size, _, channels, depth = kernel.shape
    spare = size - 2
    before = spare // 2
    x = np.pad(x, ((0, 0), (before, spare - before), (before, spare - before), (0, 0)))
    windows = np.lib.stride_tricks.sliding_window_view(x, (size, size), axis=(1, 2))[:, ::2, ::2]
    rows = windows.transpose(0, 1, 2, 4, 5, 3).reshape(-1, size * size * channels)
    out = rows @ kernel.reshape(-1, depth) + bias
    n, high, wide = windows.shape[:3]
    return np.asarray(np.maximum(out, 0).reshape(n, high, wide, depth), np.float32)


def _log_softmax(x: Array) -> Array:
    top = x - x.max(axis=1, keepdims=True)
    return np.asarray(top - np.log(np.exp(top).sum(axis=1, keepdims=True)), np.float32)


def to_dark(grey: Pixels, level: int) -> Array:
    """Turn an evened line `(H, W)` uint8 into ink 0…1, scaled so that its strokes are near 1."""
    ink = grey[grey < level]
    full = float(np.percentile(ink, 25)) if ink.size else 0.0
    paper = 238.0
    return np.asarray(np.clip((paper - grey) / max(paper - full, 40.0), 0, 1), np.float32)

"""From the photograph to the flat page: where its edges are, and how its lines run.

A flat page is drawn by one resampling. Its map goes from the page to the photograph, so that any
box found on the page can be told in pixels of the page as photographed.
"""

from dataclasses import dataclass, field
from itertools import combinations

import cv2
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Pixels = NDArray[np.uint8]

_SMALL = 640  # long side of the picture in which the page is sought
_MOST_CORNERS = 12
_BAND = 512  # rows of the flat page that are drawn at a time
_MOST_LEAN = np.radians(4.5)


@dataclass(frozen=True)
class FlatMap:
    """A map from points of the flat page to the photograph.

    `matrix` is the perspective from page to photograph; `lift` holds the coefficients of how far
    down the curl moves a point, a polynomial in x and y of the page, each scaled to -1 … 1.
    """

    matrix: Floats
    size: tuple[int, int]
    lift: Floats = field(default_factory=lambda: np.zeros(0))

    def lifted(self, x: Floats, y: Floats) -> Floats:
        """Return how far down (pixels of the page) the curl moves the points."""
        if not self.lift.size:
            return np.zeros(np.broadcast(x, y).shape)
        width, height = self.size
        return basis(2 * x / width - 1, 2 * y / height - 1) @ self.lift

    def to_photo(self, points: Floats) -> Floats:
        """Map points `(N, 2)` of the page to the photograph."""
        points = np.asarray(points, float).reshape(-1, 2)
        y = points[:, 1] + self.lifted(points[:, 0], points[:, 1])
        hom = np.c_[points[:, 0], y, np.ones(len(points))] @ self.matrix.T
        return np.asarray(hom[:, :2] / hom[:, 2:])

    def scaled(self, factor: float) -> "FlatMap":
        """Return the same map for a page drawn `factor` times as large."""
        size = (max(1, round(self.size[0] * factor)), max(1, round(self.size[1] * factor)))
        shrink = np.diag([self.size[0] / size[0], self.size[1] / size[1], 1.0])
        return FlatMap(self.matrix @ shrink, size, self.lift * factor)


def basis(u: Floats, v: Floats) -> Floats:
    """Return the polynomial terms `(…, 9)` in which curl is told; none moves a whole line."""
    u, v = np.broadcast_arrays(u, v)
    terms = [u, u**2, u**3, u**4, v * u, v * u**2, v * u**3, v**2 * u, v**2 * u**2]
    return np.stack(terms, axis=-1)


def draw(photo: Pixels, flat: FlatMap) -> Pixels:
    """Draw the flat page `(H, W)` from a photograph `(H, W)`."""
    width, height = flat.size
    # The map is smooth: work it out on a coarse net and let the resampling fill in.
    step = 16
    xs = np.arange(0, width + step, step, dtype=float)
    ys = np.arange(0, height + step, step, dtype=float)
    grid_x, grid_y = np.meshgrid(xs, ys)
    points = flat.to_photo(np.c_[grid_x.ravel(), grid_y.ravel()])
    coarse = points.reshape(len(ys), len(xs), 2).astype(np.float32)
    drawn = np.empty((height, width), np.uint8)
    for top in range(0, height, _BAND):  # the map of a whole page takes eight times its memory
        rows = min(_BAND, height - top)
        shift = np.array([[1 / step, 0, 0], [0, 1 / step, top / step]], np.float32)
        maps = cv2.warpAffine(
            coarse, shift, (width, rows), flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP,
            borderMode=cv2.BORDER_REPLICATE,
        )  # fmt: skip
        drawn[top : top + rows] = cv2.remap(
            photo, maps, None, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
        )
    return drawn


def find_page(photo: Pixels) -> FlatMap:
    """Find the page in a photograph `(H, W, 3)`; the whole picture where no edges show."""
    height, width = photo.shape[:2]
    corners = _corners(photo)
    if corners is None:
        return FlatMap(np.eye(3), (width, height))
    wide = max(_length(corners[0], corners[1]), _length(corners[3], corners[2]))
    tall = max(_length(corners[0], corners[3]), _length(corners[1], corners[2]))
    size = (max(1, round(wide)), max(1, round(tall)))
    flat = np.array([[0, 0], [size[0], 0], [size[0], size[1]], [0, size[1]]], np.float32)
    matrix = cv2.getPerspectiveTransform(flat, corners.astype(np.float32))
    return FlatMap(np.asarray(matrix, float), size)


def turned(flat: FlatMap, quarters: int) -> FlatMap:
    """Return the map of the page turned anticlockwise by quarters of a turn."""
    for _ in range(quarters % 4):
        width, height = flat.size
        # New page (x, y) of size (height, width) shows what was at (width - y, x).
        spin = np.array([[0, -1, width], [1, 0, 0], [0, 0, 1]], float)
        flat = FlatMap(flat.matrix @ spin, (height, width))
    return flat


def _length(a: Floats, b: Floats) -> float:
    return float(np.hypot(*(a - b)))


def _corners(photo: Pixels) -> Floats | None:
    scale = _SMALL / max(photo.shape[:2])
    small = cv2.resize(photo, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
    if min(small.shape[:2]) < 48:
        return None
    bare = cv2.morphologyEx(small, cv2.MORPH_CLOSE, np.ones((11, 11), np.uint8))
    bare = cv2.medianBlur(bare, 5)
    # A shadow at the rim looks like a table at first; then only what is darker still is one.
    for darkness in (0.8, 0.55, 0.35):
        mask = _page_mask(bare, darkness)
        if mask is None:
            continue
        corners = _four_corners(mask)
        if corners is None or not _square(corners):
            continue
        if _straight(mask, corners) and _stands_out(bare, corners):
            return np.asarray(corners / scale)
    return None


def _square(corners: Floats) -> bool:
    """Whether a rectangle may look so: its sides may draw together, but not lean one way only.

    A shadow over one corner of the page shows as a side that leans by itself.
    """
    top, right, low, left = np.roll(corners, -1, axis=0) - corners
    across = np.angle(complex(*top)) + np.angle(complex(*-low))
    down = np.angle(complex(*right)) + np.angle(complex(*-left))
    lean = (down - across) / 2 - np.pi / 2
    return bool(abs(np.remainder(lean + np.pi / 2, np.pi) - np.pi / 2) < _MOST_LEAN)


def _straight(mask: Pixels, corners: Floats) -> bool:
    """Whether the outline follows its corners' sides as closely as a curled page does."""
    ideal = np.zeros_like(mask)
    cv2.fillPoly(ideal, [np.round(corners).astype(np.int32)], 255)
    odd = cv2.morphologyEx(cv2.bitwise_xor(mask, ideal), cv2.MORPH_OPEN, np.ones((5, 5), np.uint8))
    return bool(np.count_nonzero(odd) < 0.035 * np.count_nonzero(ideal))


def _page_mask(bare: Pixels, darkness: float) -> Pixels | None:
    height, width = bare.shape[:2]
    slope = cv2.morphologyEx(bare, cv2.MORPH_GRADIENT, np.ones((3, 3), np.uint8)).max(axis=2)
    heart = _heart(bare, slope)
    rim = np.ones((height, width), bool)
    rim[2:-2, 2:-2] = False
    seeds = np.zeros((height, width), np.int32)
    seeds[rim & _unlike(bare, heart, darkness)] = 1
    seeds[heart] = 2
    if np.count_nonzero(seeds == 1) < 0.05 * np.count_nonzero(rim):
        return None
    shown = cv2.cvtColor(cv2.GaussianBlur(slope, (3, 3), 0), cv2.COLOR_GRAY2BGR)
    found = cv2.watershed(shown, seeds)
    mask = np.where(found == 2, 255, 0).astype(np.uint8)
    mask = cv2.morphologyEx(mask, cv2.MORPH_OPEN, np.ones((9, 9), np.uint8))
    part = np.count_nonzero(mask) / mask.size
    return mask if 0.12 < part < 0.985 else None


def _heart(bare: Pixels, slope: Pixels) -> NDArray[np.bool_]:
    """Where the page surely is: the even parts around the middle that are no dark thing."""
    height, width = slope.shape
    bright = bare.min(axis=2)
    middle = np.zeros((height, width), bool)
    middle[height // 4 : -height // 4, width // 4 : -width // 4] = True
    level = 0.45 * np.percentile(bright[middle], 80)
    return np.asarray(middle & (slope <= np.percentile(slope[middle], 80)) & (bright >= level))


def _unlike(bare: Pixels, heart: NDArray[np.bool_], darkness: float) -> NDArray[np.bool_]:
    """Where the picture is no such paper as in the page's heart nearby: darker, or coloured."""
    height, width = heart.shape
    size = (max(8, width // 8), max(8, height // 8))
    known = heart.astype(np.float32)
    shown = cv2.resize(bare * known[..., None], size, interpolation=cv2.INTER_AREA)
    known = cv2.resize(known, size, interpolation=cv2.INTER_AREA)
    reach = max(size) / 5
    weight = cv2.GaussianBlur(known, (0, 0), reach) + 1e-9
    paper = cv2.GaussianBlur(shown, (0, 0), reach) / weight[..., None]
    paper = cv2.resize(paper, (width, height), interpolation=cv2.INTER_LINEAR)
    ratio = bare / np.maximum(paper, 1)
    return np.asarray((ratio.min(axis=2) < darkness) | (np.ptp(ratio, axis=2) > 0.25))


def _four_corners(mask: Pixels) -> Floats | None:
    outlines, _ = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    outline = max(outlines, key=cv2.contourArea)
    hull = cv2.convexHull(outline)
    if cv2.contourArea(outline) < 0.8 * cv2.contourArea(hull):
        return None
    around = cv2.arcLength(hull, True)
    for part in np.arange(0.004, 0.05, 0.002):
        points = cv2.approxPolyDP(hull, float(part) * around, True).reshape(-1, 2).astype(float)
        if len(points) <= _MOST_CORNERS:
            break
    if not 4 <= len(points) <= _MOST_CORNERS:
        return None
    # A curled edge bulges; the true corners are those that span the largest quadrilateral.
    best = max(combinations(range(len(points)), 4), key=lambda four: _area(points[list(four)]))
    if _area(points[list(best)]) < 0.85 * cv2.contourArea(hull):
        return None
    return _in_order(points[list(best)])


def _area(points: Floats) -> float:
    x, y = points[:, 0], points[:, 1]
    return float(abs(np.dot(x, np.roll(y, 1)) - np.dot(y, np.roll(x, 1))) / 2)


def _in_order(points: Floats) -> Floats:
    """Order corners: top left, top right, bottom right, bottom left."""
    centre = points.mean(axis=0)
    around = np.arctan2(points[:, 1] - centre[1], points[:, 0] - centre[0])
    ordered = points[np.argsort(around)]
    first = int(np.argmin(ordered.sum(axis=1)))
    return np.roll(ordered, -first, axis=0)


def _stands_out(bare: Pixels, corners: Floats) -> bool:
    """Whether most of the outline that lies inside the frame is a real edge."""
    grey = bare.max(axis=2).astype(float)
    height, width = grey.shape
    centre = corners.mean(axis=0)
    steps = []
    for start, end in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        for part in np.linspace(0.08, 0.92, 15):
            at = start + (end - start) * part
            inward = (centre - at) / max(1.0, float(np.hypot(*(centre - at))))
            inside, outside = at + 9 * inward, at - 9 * inward
            if not (0 <= outside[0] < width and 0 <= outside[1] < height):
                continue
            here = grey[int(inside[1]), int(inside[0])]
            there = grey[int(outside[1]), int(outside[0])]
            steps.append(here - there)
    return len(steps) >= 8 and float(np.median(np.abs(steps))) > 12

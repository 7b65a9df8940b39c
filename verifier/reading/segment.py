"""A printed line cut into pieces of ink from which its glyphs are put together."""

from dataclasses import dataclass
from itertools import pairwise

import cv2
import numpy as np
from numpy.typing import NDArray

from verifier.reading.shapes import Array

INKED = 0.36  # darkness at which a pixel counts as ink …
FAINT = 0.26  # … and where strokes are so thin that they would break …
_VEIL = 0.2  # … and at which it may still join pieces of one glyph
_HAIRLINE = 0.22  # of a capital: a faint stroke that reaches further out than ink blurs …
_STROKE = 0.35  # … and one that stands by itself
Box4 = tuple[int, int, int, int]
Ints = NDArray[np.int32]


@dataclass(frozen=True)
class Atom:
    """A piece of ink that is a glyph, a part of one, or several that touch.

    Pieces of one `home` are joined by faint ink; it is 0 where that is not known.
    """

    box: Box4
    area: int
    home: int = 0

    @property
    def right(self) -> int:
        """The first column right of it."""
        return self.box[0] + self.box[2]

    @property
    def low(self) -> int:
        """The first row below it."""
        return self.box[1] + self.box[3]

    @property
    def middle(self) -> tuple[float, float]:
        """The middle of its box."""
        return self.box[0] + self.box[2] / 2, self.box[1] + self.box[3] / 2


def atoms(dark: Array, cap: float, level: float = INKED) -> list[Atom]:
    """Return the pieces of ink of a line `(H, W)` 0…1, left to right, parts of one glyph joined."""
    count, labels, stats, _ = cv2.connectedComponentsWithStats((dark > level).astype(np.uint8))
    strong = np.bincount(labels[dark > level + 0.04], minlength=count) > 0
    strong &= stats[:, cv2.CC_STAT_AREA] >= max(4, 0.006 * cap * cap)
    strong[0] = False
    homes = _homes(dark, labels, count)
    if level > FAINT:
        stats, strong = _with_hairlines(dark, labels, stats, strong, cap)
        homes = np.concatenate([homes, np.zeros(len(stats) - count, np.int32)])
    found = [
        Atom((int(x), int(y), int(w), int(h)), int(area), int(home))
        for (x, y, w, h, area), home in zip(stats[strong], homes[strong], strict=True)
        if max(w, h) >= 0.08 * cap
    ]
    found = _three_dots(sorted(found, key=lambda atom: atom.box[0]), cap)
    found = _stacked(found, cap)
    return sorted(found, key=lambda atom: (atom.box[0], atom.box[1]))


def _homes(dark: Array, labels: Ints, count: int) -> Ints:
    """Return for each piece `(count,)` the number of the faintest ink of which it is a part."""
    _, around = cv2.connectedComponents((dark > _VEIL).astype(np.uint8))
    home = np.zeros(count, np.int32)
    home[labels[labels > 0]] = around[labels > 0]
    return home


def _with_hairlines(
    dark: Array, labels: Ints, stats: Ints, strong: NDArray[np.bool_], cap: float
) -> tuple[Ints, NDArray[np.bool_]]:
    """Give pieces that stand alone their faint strokes, as the arms of a slim plus have.

    Faint strokes that stand by themselves, as the bars of a slim = do, are pieces too. Returns
    the pieces, and which of them are kept.
    """
    count, faint, around, _ = cv2.connectedComponentsWithStats((dark > FAINT).astype(np.uint8))
    home = np.zeros(len(stats), np.int32)
    home[labels[labels > 0]] = faint[labels > 0]
    inside = np.bincount(home[strong], minlength=count)
    wider = (around[home, 2:4] - stats[:, 2:4]).max(axis=1) > _HAIRLINE * cap
    alone = strong & (inside[home] == 1) & wider
    lone = (inside == 0) & (around[:, 2:4].max(axis=1) > _STROKE * cap)
    lone[0] = False
    pieces = np.concatenate([np.where(alone[:, None], around[home], stats), around[lone]])
    return pieces, np.concatenate([strong, lone[lone]])


def union(parts: list[Atom]) -> Atom:
    """Return the piece that holds all of these."""
    x, y = min(part.box[0] for part in parts), min(part.box[1] for part in parts)
    right, low = max(part.right for part in parts), max(part.low for part in parts)
    home = parts[0].home if len({part.home for part in parts}) == 1 else 0
    return Atom((x, y, right - x, low - y), sum(part.area for part in parts), home)


def _three_dots(found: list[Atom], cap: float) -> list[Atom]:
    """Join the dots of ∴ and ∵: two level with each other, the third between and apart."""
    for i in range(len(found) - 2):
        trio = found[i : i + 3]
        if any(max(part.box[2:]) > 0.3 * cap for part in trio):
            continue
        (x0, y0), (x1, y1), (x2, y2) = (part.middle for part in trio)
        lone = abs(y1 - (y0 + y2) / 2)
        between = abs(x1 - (x0 + x2) / 2) < 0.3 * (x2 - x0) < 0.33 * cap
        if abs(y0 - y2) < 0.12 * cap and 0.25 * cap < lone < 1.0 * cap and between:
            return _three_dots([*found[:i], union(trio), *found[i + 3 :]], cap)
    return found


def _stacked(found: list[Atom], cap: float) -> list[Atom]:
    """Join what stands over each other: i j = : ; ÷ ≤ ≥ ≈ ! ? and accents, and three dots."""
    merged = True
    while merged:
        merged = False
        for i, one in enumerate(found):
            j = next(
                (k for k in range(i + 1, min(i + 6, len(found))) if _one_glyph(one, found[k], cap)),
                None,
            )
            if j is not None:
                joined = union([one, found[j]])
                found = [*found[:i], joined, *found[i + 1 : j], *found[j + 1 :]]
                found.sort(key=lambda atom: atom.box[0])
                merged = True
                break
    return found


def _one_glyph(one: Atom, other: Atom, cap: float) -> bool:
    x0, x1 = max(one.box[0], other.box[0]), min(one.right, other.right)
    overlap = (x1 - x0) / min(one.box[2], other.box[2])
    both = union([one, other])
    if overlap < 0.5 or both.box[3] > 1.45 * cap or both.box[2] > 1.4 * cap:
        return False
    small, large = sorted((one, other), key=lambda atom: atom.box[2] * atom.box[3])
    if max(one.box[3], other.box[3]) > 0.55 * cap:
        # A dot or an accent over or under a letter, not a script under a slanted one.
        if small.box[3] > 0.36 * cap or small.box[2] > 0.75 * cap:
            return _inside(small, large)
        clear = max(one.box[1], other.box[1]) - min(one.low, other.low)
        return clear < 0.35 * cap
    return True


def _inside(small: Atom, large: Atom) -> bool:
    x, y = small.middle
    return large.box[0] < x < large.right and large.box[1] < y < large.low


def split(dark: Array, atom: Atom, cap: float) -> list[Atom]:
    """Cut a wide piece at its thin places, so that letters that touch can be told apart."""
    x, y, w, h = atom.box
    if w < 0.6 * cap or h < 0.4 * cap:
        return [atom]
    part = dark[y : y + h, x : x + w]
    thin = part.sum(axis=0)
    reach = max(2, int(0.16 * cap))
    cuts: list[int] = []
    for column in np.argsort(thin[reach : w - reach], kind="stable") + reach:
        if thin[column] > 0.4 * cap or len(cuts) >= 3:
            break
        if all(abs(int(column) - cut) >= reach for cut in cuts):
            cuts.append(int(column))
    if not cuts:
        return [atom]
    edges = [0, *sorted(cuts), w]
    pieces = []
    for left, right in pairwise(edges):
        piece = _tight(part[:, left:right], x + left, y, atom.home)
        if piece is not None:
            pieces.append(piece)
    return pieces or [atom]


def _tight(part: Array, x: int, y: int, home: int) -> Atom | None:
    rows, columns = np.nonzero(part > (INKED if (part > INKED).any() else FAINT))
    if not len(rows):
        return None
    left, top = int(columns.min()), int(rows.min())
    width, height = int(columns.max()) - left + 1, int(rows.max()) - top + 1
    return Atom((x + left, y + top, width, height), len(rows), home)

"""Lines of writing on a flat page: which blobs belong together, in the order of reading."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from verifier.reading import stacked
from verifier.reading.ink import Blobs, Floats, Ints
from verifier.reading.stacked import Nest

Bools = NDArray[np.bool_]

# How far from a line's middle a small row still is a part of it, in letter heights …
_PART = 0.75
_SCRIPT = 1.1  # … and an index
_HUNG = 1.6  # … and one that hangs below the foot of the letter before it
_LEVEL = 1.0  # how far from level are rows that run into each other and yet are one line


@dataclass(frozen=True)
class Row:
    """The blobs `(N,)` of one line, left to right, and its middle and height.

    `middle` holds the coefficients of y over x (highest first), `height` the letter height.
    `nests` are the fractions and roots on it; what they hold is among its blobs.
    """

    blobs: Ints
    middle: Floats
    height: float
    box: tuple[float, float, float, float] = field(default=(0, 0, 0, 0))
    nests: tuple[Nest, ...] = ()

    def at(self, x: Floats | float) -> Floats:
        """Return the y of the row's middle at x."""
        return np.asarray(np.polyval(self.middle, x))

    @property
    def level(self) -> Ints:
        """The blobs that stand on the line itself, not in a fraction or a root."""
        parts = [part for nest in self.nests for part in nest.parts]
        return np.setdiff1d(self.blobs, np.concatenate(parts)) if parts else self.blobs


def cut_rows(blobs: Blobs, height: float) -> list[Row]:
    """Cut a page into its lines in reading order; sketches and specks are left out."""
    if height <= 0 or not len(blobs):
        return []
    kept = _writing(blobs, height)
    nests = stacked.find(blobs, kept, height)
    for part in (part for nest in nests for part in nest.parts):
        kept[part] = False
    core = kept & _is_core(blobs, height)
    core[[nest.mark for nest in nests]] = True
    groups = _smear(blobs, core, height)
    groups = _link(blobs, groups, height)
    rows = [_row(blobs, group, height) for group in groups]
    rows = _absorb(blobs, rows, height)
    loose = kept & ~core
    for _ in range(3):  # what stands beside what was just given has its line too
        rows = _share_out(blobs, rows, loose, height)
        for row in rows:
            loose[row.blobs] = False
    rows = [_with_nests(blobs, row, nests) for row in rows]
    rows = [row for row in rows if _is_writing(blobs, row, height)]
    return [_with_nests(blobs, row, nests) for row in _in_order(blobs, rows, height)]


def row_of(blobs: Blobs, group: Ints, height: float) -> Row:
    """Return the row of a part of a fraction or root, its letters at most as tall as `height`."""
    tall = blobs.boxes[group, 3]
    tall = tall[tall > 0.4 * height]
    height = min(height, float(np.median(tall))) if tall.size else height
    kept = np.zeros(len(blobs), bool)
    kept[group] = True
    nests = stacked.find(blobs, kept, height)
    for part in (part for nest in nests for part in nest.parts):
        kept[part] = False
    level = np.flatnonzero(kept).astype(np.int32)
    return _with_nests(blobs, _row(blobs, level, height), nests)


def _with_nests(blobs: Blobs, row: Row, nests: Sequence[Nest]) -> Row:
    """Give a row the fractions and roots whose marks stand on it."""
    own = tuple(nest for nest in nests if nest.mark in row.blobs)
    if not own:
        return row
    more = np.setdiff1d(np.concatenate([p for nest in own for p in nest.parts]), row.blobs)
    return replace(_grown(blobs, row, more) if more.size else row, nests=own)


def _writing(blobs: Blobs, height: float) -> Bools:
    """Leave out sketches: large blobs, and what stands inside them or clings to them."""
    boxes = blobs.boxes
    tall, wide = boxes[:, 3], boxes[:, 2]
    large = (tall > 3.6 * height) | ((wide > 14 * height) & (tall > 1.6 * height))
    frames = large & (tall < 5 * height) & (blobs.area < 0.12 * tall * wide)
    kept = ~large
    high, across = blobs.labels.shape
    for x, y, w, h in boxes[large & ~frames]:
        if w < 2.2 * height or h < 2.2 * height:
            continue  # a lone long stroke has no inside
        if w > 0.6 * across and h > 0.6 * high:
            continue  # the table around a sheet is no sketch
        inside = (
            (boxes[:, 0] >= x - 0.8 * height) & (boxes[:, 0] + wide <= x + w + 0.8 * height)
            & (boxes[:, 1] >= y - 0.8 * height) & (boxes[:, 1] + tall <= y + h + 0.8 * height)
        )  # fmt: skip
        kept &= ~inside
    return np.asarray(kept)


def _is_core(blobs: Blobs, height: float) -> Bools:
    tall, wide = blobs.boxes[:, 3], blobs.boxes[:, 2]
    return np.asarray((tall > 0.5 * height) & (tall < 3.2 * height) & (wide < 30 * height))


def _smear(blobs: Blobs, core: Bools, height: float) -> list[Ints]:
    """Group letters that stand side by side: each one's waist, drawn out to both sides, touches."""
    scale = 8 / height
    page = blobs.labels.shape
    canvas = np.zeros((int(page[0] * scale) + 2, int(page[1] * scale) + 2), np.uint8)
    index = np.flatnonzero(core)
    for x, y, w, h in blobs.boxes[index]:
        waist = min(0.3 * h, 0.34 * height)
        left, right = (x - 0.7 * height) * scale, (x + w + 0.7 * height) * scale
        top, low = (y + h / 2 - waist) * scale, (y + h / 2 + waist) * scale
        cv2.rectangle(canvas, (int(left), int(top)), (int(right), int(low)), 1, -1)
    _, labels = cv2.connectedComponents(canvas, connectivity=4)
    centres = (blobs.centres[index] * scale).astype(int)
    own = labels[np.clip(centres[:, 1], 0, labels.shape[0] - 1),
                 np.clip(centres[:, 0], 0, labels.shape[1] - 1)]  # fmt: skip
    return [index[own == label].astype(np.int32) for label in np.unique(own)]


def _link(blobs: Blobs, groups: list[Ints], height: float) -> list[Ints]:
    """Join groups that follow each other on one line, over gaps of a few letters."""
    groups = sorted(groups, key=lambda group: -len(group))
    merged = True
    while merged:
        merged = False
        rows = [_row(blobs, group, height) for group in groups]
        order = sorted(range(len(rows)), key=lambda i: rows[i].box[0])
        taken: set[int] = set()
        joined: list[Ints] = []
        for i in order:
            if i in taken:
                continue
            group, row = groups[i], rows[i]
            for j in order:
                if j == i or j in taken or not _follows(blobs, row, rows[j], height):
                    continue
                group = np.concatenate([group, groups[j]])
                row = _row(blobs, group, height)
                taken.add(j)
                merged = True
            taken.add(i)
            joined.append(group)
        groups = joined
    return groups


def _follows(blobs: Blobs, row: Row, other: Row, height: float) -> bool:
    gap = other.box[0] - row.box[2]
    if gap >= 5 * height:
        return False
    if gap <= -1.5 * height:
        return _interlaced(blobs, row, other, height)
    meet = (row.box[2] + other.box[0]) / 2
    return bool(abs(row.at(meet) - other.at(meet)) < 0.55 * height)


def _interlaced(blobs: Blobs, row: Row, other: Row, height: float) -> bool:
    """Whether rows run into each other without a letter of one above a letter of the other.

    So does one line whose long tails, of q and g, were grouped by themselves.
    """
    left, right = other.box[0], min(row.box[2], other.box[2])
    ends = np.array([left, right])
    if np.abs(row.at(ends) - other.at(ends)).max() > _LEVEL * height:
        return False
    mine, yours = blobs.boxes[row.blobs], blobs.boxes[other.blobs]
    mine = mine[(mine[:, 0] + mine[:, 2] > left) & (mine[:, 0] < right)]
    yours = yours[(yours[:, 0] < right) & (yours[:, 0] + yours[:, 2] > left)]
    start = np.maximum(mine[:, None, 0], yours[None, :, 0])
    end = np.minimum((mine[:, 0] + mine[:, 2])[:, None], (yours[:, 0] + yours[:, 2])[None, :])
    return bool((end - start < 0.3 * height).all())


def _row(blobs: Blobs, group: Ints, height: float) -> Row:
    group = group[np.argsort(blobs.boxes[group, 0], kind="stable")]
    boxes = blobs.boxes[group].astype(float)
    x, y = boxes[:, 0] + boxes[:, 2] / 2, boxes[:, 1] + boxes[:, 3] / 2
    span = float(np.ptp(x)) if len(x) else 0.0
    weight = np.clip(boxes[:, 3] / height, 0.3, 1.5)
    if len(group) >= 5 and span > 8 * height:
        degree = 2 if len(group) >= 14 and span > 25 * height else 1
        middle = _steady_fit(x, y, weight, degree, height)
    else:
        middle = np.array([float(np.average(y, weights=weight))])
    box = (
        float(boxes[:, 0].min()), float(boxes[:, 1].min()),
        float((boxes[:, 0] + boxes[:, 2]).max()), float((boxes[:, 1] + boxes[:, 3]).max()),
    )  # fmt: skip
    return Row(group, middle, height, box)


def _steady_fit(x: Floats, y: Floats, weight: Floats, degree: int, height: float) -> Floats:
    good = np.ones(len(x), bool)
    centre, reach = float(x.mean()), float(max(np.ptp(x) / 2, 1.0))
    u = (x - centre) / reach
    fit = np.polyfit(u, y, degree, w=weight)
    for _ in range(3):
        off = np.abs(y - np.polyval(fit, u))
        good = off < max(0.3 * height, 2 * float(np.median(off)))
        if np.count_nonzero(good) <= degree + 2:
            break
        fit = np.polyfit(u[good], y[good], degree, w=weight[good])
    # Back from u to x, so that rows can be compared.
    shift = np.poly1d([1 / reach, -centre / reach])
    return np.asarray(np.poly1d(fit)(shift).coeffs, float)


def _absorb(blobs: Blobs, rows: list[Row], height: float) -> list[Row]:
    """Give small rows that are a script or a part of a fraction to the row that they belong to."""
    rows = sorted(rows, key=lambda row: -len(row.blobs))
    kept: list[Row] = []
    for row in rows:
        homes = [(_away(row, big, height), i) for i, big in enumerate(kept)]
        off, home = min(homes, default=(np.inf, 0))
        reach = _SCRIPT if _is_script(row, height) else _PART
        if off < _HUNG * height and _hangs(blobs, row, kept[home], height):
            reach = _HUNG
        elif off < _SCRIPT * height and _flanks(blobs, row, kept[home]):
            reach = _SCRIPT
        if off < reach * height:
            kept[home] = _grown(blobs, kept[home], row.blobs)
        else:
            kept.append(row)
    return kept


def _is_script(row: Row, height: float) -> bool:
    """Whether a row is so small that it can be an index dropped below a line."""
    return len(row.blobs) <= 3 and row.box[3] - row.box[1] < 1.15 * height


def _hangs(blobs: Blobs, row: Row, big: Row, height: float) -> bool:
    """Whether a few letters begin above the foot of the letter on a line that they stand behind."""
    if len(row.blobs) > 3 or row.box[2] - row.box[0] > 2.5 * height:
        return False
    x, y, w, h = blobs.boxes[big.blobs].T
    before = np.abs(row.box[0] - x - w) < 0.6 * height
    tall = before & (h > 0.6 * height)
    return bool((tall & (y < row.box[1]) & (row.box[1] < y + h + 0.1 * height)).any())


def _flanks(blobs: Blobs, row: Row, big: Row) -> bool:
    """Whether a few letters stand beside the end of a line, as low ones: y_O before an =."""
    x, y, w, h = blobs.boxes[big.blobs].T
    gaps = np.maximum(x - row.box[2], row.box[0] - x - w)
    if len(row.blobs) > 3 or gaps.min() < 0:
        return False
    next_to = int(gaps.argmin())
    both = min(row.box[3], y[next_to] + h[next_to]) - max(row.box[1], y[next_to])
    return bool(both > 0.3 * min(row.box[3] - row.box[1], h[next_to]))


def _away(row: Row, big: Row, height: float) -> float:
    """Return how far a small row's middle is from a larger one's; endless where it cannot join."""
    x = (row.box[0] + row.box[2]) / 2
    spare = 2.5 * height
    beside = big.box[0] - spare < row.box[2] and row.box[0] < big.box[2] + spare
    if not beside or len(row.blobs) > 0.5 * len(big.blobs):
        return np.inf
    return abs(float(row.at(x)) - float(big.at(x)))


def _grown(blobs: Blobs, row: Row, more: Ints) -> Row:
    group = np.concatenate([row.blobs, more])
    group = group[np.argsort(blobs.boxes[group, 0], kind="stable")]
    boxes = blobs.boxes[group].astype(float)
    box = (
        float(boxes[:, 0].min()), float(boxes[:, 1].min()),
        float((boxes[:, 0] + boxes[:, 2]).max()), float((boxes[:, 1] + boxes[:, 3]).max()),
    )  # fmt: skip
    return Row(group.astype(np.int32), row.middle, row.height, box)


def _share_out(blobs: Blobs, rows: list[Row], small: Bools, height: float) -> list[Row]:
    """Give dots, minus signs, bars and small scripts to the nearest line."""
    loose = np.flatnonzero(small)
    if not rows or not loose.size:
        return rows
    centres = blobs.centres[loose]
    off = np.full((len(rows), len(loose)), np.inf)
    for i, row in enumerate(rows):
        near = (centres[:, 0] > row.box[0] - 3 * height) & (centres[:, 0] < row.box[2] + 3 * height)
        away = np.abs(centres[:, 1] - row.at(centres[:, 0]))
        off[i, near] = away[near]
    best = off.argmin(axis=0)
    close = off.min(axis=0) < 1.15 * height
    grown = []
    for i, row in enumerate(rows):
        more = loose[(best == i) & close]
        grown.append(_grown(blobs, row, more.astype(np.int32)) if more.size else row)
    return grown


def _is_writing(blobs: Blobs, row: Row, height: float) -> bool:
    boxes = blobs.boxes[row.blobs]
    if len(row.blobs) == 1 and blobs.area[row.blobs[0]] < 0.15 * height**2:
        return False
    return bool(boxes[:, 3].max() > 0.6 * height)


def _in_order(blobs: Blobs, rows: list[Row], height: float) -> list[Row]:
    """Order rows as they are read: down each column, columns from left to right."""
    return _cut_block(blobs, rows, height, 0)


def _cut_block(blobs: Blobs, rows: list[Row], height: float, depth: int) -> list[Row]:
    if len(rows) < 2 or depth > 12:
        return rows
    sides = _gutter(rows, height)
    if sides is not None:
        left, right = sides
        return _cut_block(blobs, left, height, depth + 1) + _cut_block(
            blobs, right, height, depth + 1
        )
    blocks = _bands(rows)
    if len(blocks) == 1:
        return _side_by_side(blobs, blocks[0], height)
    # Bands that share a gutter are columns of one block: look for it over as many as have it.
    ordered: list[Row] = []
    i = 0
    while i < len(blocks):
        j = _reach(blocks, i, height)
        together = [row for block in blocks[i:j] for row in block]
        if j - i > 1:
            ordered += _cut_block(blobs, together, height, depth + 1)
        else:
            ordered += _side_by_side(blobs, together, height)
        i = j
    return ordered


def _reach(blocks: list[list[Row]], start: int, height: float) -> int:
    """Return the end of the longest run of bands from `start` that one gutter parts in two."""
    if len(blocks[start]) < 2:
        return start + 1
    for end in range(len(blocks), start + 1, -1):
        if end - start == len(blocks) and start == 0:
            continue
        together = [row for block in blocks[start:end] for row in block]
        if _gutter(together, height) is not None:
            return end
    return start + 1


def _gutter(rows: list[Row], height: float) -> tuple[list[Row], list[Row]] | None:
    edges = sorted((row.box[0], row.box[2]) for row in rows)
    reach = edges[0][1]
    for left, right in edges[1:]:
        if left - reach > 1.5 * height:
            at = (left + reach) / 2
            before = [row for row in rows if row.box[2] < at]
            after = [row for row in rows if row.box[0] > at]
            if min(len(before), len(after)) >= 3 and _abreast(before, after):
                return before, after
        reach = max(reach, right)
    return None


def _abreast(before: list[Row], after: list[Row]) -> bool:
    top = max(min(row.box[1] for row in side) for side in (before, after))
    low = min(max(row.box[3] for row in side) for side in (before, after))
    return low > top


def _bands(rows: list[Row]) -> list[list[Row]]:
    """Group rows that stand beside each other; bands from top to bottom."""
    bands: list[list[Row]] = []
    for row in sorted(rows, key=lambda row: (row.box[1] + row.box[3]) / 2):
        for other in bands[-1] if bands else []:
            # Two halves of a line may share a stroke of the sign between them, as of =.
            spare = 0.9 * row.height
            apart = row.box[0] > other.box[2] - spare or row.box[2] < other.box[0] + spare
            left, right = sorted((row, other), key=lambda part: part.box[0])
            off = float(left.at(left.box[2])) - float(right.at(right.box[0]))
            if apart and abs(off) < 0.8 * row.height:
                bands[-1].append(row)
                break
        else:
            bands.append([row])
    return bands


def _side_by_side(blobs: Blobs, rows: list[Row], height: float) -> list[Row]:
    """Join rows of one band that are one line with a wide gap; a far one is a margin note."""
    rows = sorted(rows, key=lambda row: row.box[0])
    joined = [rows[0]]
    for row in rows[1:]:
        if row.box[0] - joined[-1].box[2] < 14 * height:
            group = np.concatenate([joined[-1].blobs, row.blobs])
            joined[-1] = _row(blobs, group, height)
        else:
            joined.append(row)
    return joined

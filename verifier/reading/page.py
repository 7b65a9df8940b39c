"""A photograph or scan → flat pages, each cut into upright lines that know where they came from."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np

from verifier.reading import cut, flatten, ink, picture
from verifier.reading.ink import Blobs, Floats, Ints, Pixels
from verifier.reading.lines import Box

_FIRST_SIDE = 1700  # long side of the page on which the lay of the lines is studied
_LETTER = 26.0  # letter height, in pixels, at which a page is read
_CALM = 0.1  # what a point of the page without writing counts for against a letter's foot
_MOST_LIFT = 0.06  # of the page's long side: more than paper bends
_LARGEST = 14_000_000  # pixels of a flat page


@dataclass(frozen=True)
class PageLine:
    """One line of a page: `pixels` `(H, W)` uint8, dark ink on white, its baseline level.

    `origin` is the place of its top left on the flat page; column x of the line is shifted down
    by `drop[x]` `(W,)` there. `letter` is the usual letter height in pixels, `baseline` the row
    of `pixels` on which letters stand, `struck` the column ranges that are crossed out. `nests`
    are its fractions and roots; `bare` is the line without them, None where there are none.
    """

    pixels: Pixels
    flat: flatten.FlatMap
    origin: tuple[int, int]
    drop: Floats
    letter: float
    baseline: float
    struck: tuple[tuple[int, int], ...] = ()
    bare: Pixels | None = None
    nests: tuple["Nest", ...] = ()

    def to_photo(self, box: tuple[float, float, float, float]) -> Box:
        """Map a box (x, y, width, height) of `pixels` to the upright photograph."""
        x, y, w, h = box
        xs = np.array([x, x + w, x + w, x], float)
        ys = np.array([y, y, y + h, y + h], float)
        column = np.clip(xs.astype(int), 0, len(self.drop) - 1)
        points = np.c_[xs + self.origin[0], ys + self.origin[1] + self.drop[column]]
        found = self.flat.to_photo(points)
        left, top = found.min(axis=0)
        right, low = found.max(axis=0)
        return (round(left), round(top), max(1, round(right - left)), max(1, round(low - top)))

    @property
    def box(self) -> Box:
        """The line's box in the upright photograph."""
        return self.to_photo((0, 0, self.pixels.shape[1], self.pixels.shape[0]))


@dataclass(frozen=True)
class Nest:
    """A fraction or root of a line: its mark's box in the line's pixels, what it holds."""

    box: Box
    parts: tuple[PageLine, ...]


@dataclass(frozen=True)
class Page:
    """A flat page: `number` from 1, `grey` `(H, W)` evened ink on white, and its lines."""

    number: int
    grey: Pixels
    flat: flatten.FlatMap
    letter: float
    lines: tuple[PageLine, ...]
    photo_size: tuple[int, int]


def pages(path: str | Path) -> Iterator[Page]:
    """Yield the pages of a picture or PDF, each flattened and cut into lines.

    Raises `FileError` where the file is no picture that can be read.
    """
    for number, photo in enumerate(picture.pages(path), 1):
        yield lay_out(photo, number)


def lay_out(photo: Pixels, number: int = 1, turn: int | None = None) -> Page:
    """Flatten a photograph `(H, W, 3)` and cut it into lines.

    `turn` is how often the page is turned anticlockwise by 90°; found from the lines where None
    (upside down cannot be told from the lines alone: see `turned`).
    """
    grey = cv2.cvtColor(photo, cv2.COLOR_RGB2GRAY)
    flat = flatten.find_page(photo)
    first = _first_look(grey, flat)
    quarters = (1 if _runs_down(first) else 0) if turn is None else turn
    if quarters:
        flat = flatten.turned(flat, quarters)
        first = _first_look(grey, flat)
    return _finish(grey, flat, first, number)


def turned(photo: Pixels, page: Page) -> Page:
    """Lay the same page out again, turned by 180°."""
    grey = cv2.cvtColor(photo, cv2.COLOR_RGB2GRAY)
    bare = flatten.FlatMap(page.flat.matrix, page.flat.size)
    flat = flatten.turned(bare, 2)
    return _finish(grey, flat, _first_look(grey, flat), page.number)


@dataclass(frozen=True)
class _Look:
    blobs: Blobs
    letter: float
    factor: float


def _first_look(grey: Pixels, flat: flatten.FlatMap) -> _Look:
    factor = min(1.0, _FIRST_SIDE / max(flat.size))
    evened = _bared(flatten.draw(grey, flat.scaled(factor)))
    blobs = ink.find_blobs(evened, ink.threshold(evened))
    return _Look(blobs, ink.letter_height(blobs), factor)


def _bared(drawn: Pixels) -> Pixels:
    evened = ink.without_ruling(ink.even(drawn))
    rim = max(2, min(evened.shape) // 120)  # the page's own edge and what shows beside it
    evened[:rim], evened[-rim:], evened[:, :rim], evened[:, -rim:] = 255, 255, 255, 255
    return evened


def _is_edge(row: cut.Row, blobs: Blobs, evened: Pixels) -> bool:
    """Whether a row is what shows beside the page: most of its ink runs off the page's edge."""
    height, width = evened.shape
    rim = max(2, min(height, width) // 120) + 3
    x, y, w, h = blobs.boxes[row.blobs].T
    off = (x <= rim) | (y <= rim) | (x + w >= width - rim) | (y + h >= height - rim)
    area = blobs.area[row.blobs]
    return bool(off.any() and (len(row.blobs) <= 5 or area[off].sum() > 0.5 * area.sum()))


def _runs_down(look: _Look) -> bool:
    """Whether letters follow each other down the picture rather than across it."""
    boxes = look.blobs.boxes
    if look.letter <= 0 or len(boxes) > ink.MOST_BLOBS:
        return False
    size = np.maximum(boxes[:, 2], boxes[:, 3])
    boxes = boxes[(size > 0.5 * look.letter) & (size < 3 * look.letter)][:3000]
    if len(boxes) < 6:
        return False
    across, down = _gaps(boxes, look.letter), _gaps(boxes[:, [1, 0, 3, 2]], look.letter)
    return bool(down > 1.3 * across)


def _gaps(boxes: ink.Ints, letter: float) -> float:
    """Count the letters that have a close neighbour to their right at the same height."""
    x, y, w, h = boxes.T.astype(float)
    gap = x[None, :] - (x + w)[:, None]
    level = np.abs((y + h / 2)[None, :] - (y + h / 2)[:, None])
    close = (gap > -0.2 * letter) & (gap < 0.45 * letter) & (level < 0.6 * letter)
    np.fill_diagonal(close, False)
    return float(np.count_nonzero(close.any(axis=1)))


def _finish(grey: Pixels, flat: flatten.FlatMap, first: _Look, number: int) -> Page:
    height, width = grey.shape
    if first.letter <= 0 or len(first.blobs) > ink.MOST_BLOBS:
        blank = np.full((8, 8), 255, np.uint8)
        return Page(number, blank, flat, 0.0, (), (width, height))
    rows = cut.cut_rows(first.blobs, first.letter)
    flat = _with_lift(flat, first, rows)
    factor = min(1.6, _LETTER / first.letter * first.factor)
    factor = min(factor, (_LARGEST / (flat.size[0] * flat.size[1])) ** 0.5)
    flat = flat.scaled(factor)
    evened = _bared(flatten.draw(grey, flat))
    level = ink.threshold(evened)
    blobs = ink.find_blobs(evened, level)
    letter = ink.letter_height(blobs)
    rows = cut.cut_rows(blobs, letter) if len(blobs) <= ink.MOST_BLOBS else []
    rows = [row for row in rows if not _is_edge(row, blobs, evened)]
    lines = tuple(_line(evened, blobs, row, flat, level) for row in rows)
    return Page(number, evened, flat, letter, lines, (width, height))


def _with_lift(flat: flatten.FlatMap, look: _Look, rows: list[cut.Row]) -> flatten.FlatMap:
    """Fit the curl: how far the lines' feet leave the level, as one smooth field."""
    size = flat.scaled(look.factor).size
    points: list[Floats] = []
    owners: list[Ints] = []
    for row in rows:
        feet = _feet(look.blobs, row)
        if len(feet) >= 8 and np.ptp(feet[:, 0]) > 8 * look.letter:
            owners.append(np.full(len(feet), len(points), np.int32))
            points.append(feet)
    if not points:
        return flat
    feet, owner = np.concatenate(points), np.concatenate(owners)
    level = np.array([float(part[:, 1].mean()) for part in points])[owner]
    terms = flatten.basis(2 * feet[:, 0] / size[0] - 1, 2 * level / size[1] - 1)
    design = np.zeros((len(feet), len(points) + terms.shape[1]))
    design[np.arange(len(feet)), owner] = 1
    design[:, len(points) :] = terms
    good = np.ones(len(feet), bool)
    damp = np.diag([1e-6] * len(points) + [0.3, 0.3, 1, 2, 0.6, 1, 2, 2, 3])
    damp[len(points) :, len(points) :] += _calm()
    for _ in range(4):
        held = design[good]
        answer = np.linalg.solve(held.T @ held + damp, held.T @ feet[good, 1])
        off = np.abs(feet[:, 1] - design @ answer)
        good = off < max(0.12 * look.letter, 1.5 * float(np.median(off)))
    lift = answer[len(points) :] / look.factor
    reach = flatten.FlatMap(flat.matrix, flat.size, lift).lifted(*_net(flat.size))
    if np.abs(reach).max() > _MOST_LIFT * max(flat.size):
        return flat  # no paper bends so: a few short lines do not tell the curl
    return flatten.FlatMap(flat.matrix, flat.size, lift)


def _net(size: tuple[int, int]) -> tuple[Floats, Floats]:
    """Return points all over a page of this size: their x and y, each `(N,)`."""
    xs, ys = np.meshgrid(np.linspace(0, size[0], 9), np.linspace(0, size[1], 9))
    return xs.ravel(), ys.ravel()


def _calm() -> Floats:
    """Return what holds the curl back where no line tells of it `(T, T)`."""
    xs, ys = _net((2, 2))
    terms = flatten.basis(xs - 1, ys - 1)
    return np.asarray(_CALM**2 * (terms.T @ terms))


def _feet(blobs: Blobs, row: cut.Row) -> Floats:
    """Return where the letters of a row stand: `(N, 2)`, descenders and marks left out."""
    boxes = blobs.boxes[row.level].astype(float)
    boxes = boxes[boxes[:, 3] > 0.6 * row.height]
    feet = np.c_[boxes[:, 0] + boxes[:, 2] / 2, boxes[:, 1] + boxes[:, 3]]
    if len(feet) < 8:
        return np.asarray(feet)
    fit = np.polyfit(feet[:, 0], feet[:, 1], 1)
    for _ in range(3):
        off = feet[:, 1] - np.polyval(fit, feet[:, 0])
        good = np.abs(off - np.median(off)) < 0.3 * row.height
        if np.count_nonzero(good) < 6:
            break
        fit = np.polyfit(feet[good, 0], feet[good, 1], 1)
    off = feet[:, 1] - np.polyval(fit, feet[:, 0])
    return np.asarray(feet[np.abs(off) < 0.35 * row.height])


def _line(
    evened: Pixels, blobs: Blobs, row: cut.Row, flat: flatten.FlatMap, level: int
) -> PageLine:
    height, width = evened.shape
    pad = max(4, round(0.35 * row.height))
    left, right = max(0, int(row.box[0]) - pad), min(width, int(row.box[2]) + pad)
    feet = _feet(blobs, row)
    xs = np.arange(left, right)
    slope = _foot_line(feet, xs, row)
    middle = float(slope[len(slope) // 2])
    drop = slope - middle
    boxes = blobs.boxes[row.blobs].astype(float)
    sag = np.interp(boxes[:, 0] + boxes[:, 2] / 2, xs, drop)
    top = max(0, int((boxes[:, 1] - sag).min()) - pad)
    low = min(height, int((boxes[:, 1] + boxes[:, 3] - sag).max()) + pad)
    bounds = left, right, top, low
    pixels = _straight(evened, blobs, row.blobs, bounds, drop)
    bare, nests = _without_nests(pixels, blobs, row, left), list[Nest]()
    for nest in row.nests:
        rows = (cut.row_of(blobs, part, row.height) for part in nest.parts)
        parts = tuple(_line(evened, blobs, part, flat, level) for part in rows)
        nests.append(Nest(_place(blobs, nest.mark, bounds, drop), parts))
    struck = _struck((pixels if bare is None else bare) < level, row.height)
    return PageLine(
        pixels, flat, (left, top), drop, row.height, middle - top, struck, bare, tuple(nests)
    )


def _without_nests(pixels: Pixels, blobs: Blobs, row: cut.Row, left: int) -> Pixels | None:
    """Return a line, which begins at the page's column `left`, without its fractions and roots."""
    if not row.nests:
        return None
    bare, paper = pixels.copy(), int(np.median(pixels))
    for nest in row.nests:
        x, w = blobs.boxes[np.concatenate([[nest.mark], *nest.parts])][:, [0, 2]].T
        bare[:, max(0, x.min() - left - 2) : (x + w).max() - left + 2] = paper
    return bare


def _place(blobs: Blobs, blob: int, bounds: tuple[int, int, int, int], drop: Floats) -> Box:
    """Return a blob's box in the pixels of a levelled line."""
    x, y, w, h = (int(value) for value in blobs.boxes[blob])
    column = min(max(x + w // 2 - bounds[0], 0), len(drop) - 1)
    return x - bounds[0], y - bounds[2] - round(float(drop[column])), w, h


def _foot_line(feet: Floats, xs: Floats, row: cut.Row) -> Floats:
    if len(feet) >= 8 and np.ptp(feet[:, 0]) > 8 * row.height:
        centre = float(feet[:, 0].mean())
        degree = 2 if len(feet) >= 20 else 1
        fit = np.polyfit(feet[:, 0] - centre, feet[:, 1], degree)
        return np.asarray(np.polyval(fit, xs - centre))
    if len(feet):
        return np.full(len(xs), float(np.median(feet[:, 1])))
    return np.full(len(xs), float(row.at(float(xs.mean()))) + row.height / 2)


def _straight(
    evened: Pixels, blobs: Blobs, kept: Ints, bounds: tuple[int, int, int, int], drop: Floats
) -> Pixels:
    """Lift a line off the page, levelled, with the ink of its neighbours wiped out."""
    left, right, top, low = bounds
    spare = int(np.ceil(np.abs(drop).max())) + 1 if len(drop) else 1
    upper, lower = max(0, top - spare), min(evened.shape[0], low + spare)
    part = evened[upper:lower, left:right].copy()
    labels = blobs.labels[upper:lower, left:right]
    own = np.zeros(len(blobs) + 1, bool)
    own[kept + 1] = True
    own[0] = True
    foreign = (~own[labels]).astype(np.uint8)
    if foreign.any():
        halo = cv2.dilate(foreign, np.ones((5, 5), np.uint8)) > 0
        near = cv2.dilate((own[labels] & (labels > 0)).astype(np.uint8), np.ones((3, 3), np.uint8))
        part[halo & (near == 0)] = 255
        part[foreign > 0] = 255
    ys = np.arange(top, low, dtype=np.float32)[:, None] - upper + drop[None, :].astype(np.float32)
    xs = np.broadcast_to(np.arange(right - left, dtype=np.float32), ys.shape)
    lifted = cv2.remap(
        part, np.ascontiguousarray(xs), ys.astype(np.float32), cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_CONSTANT, borderValue=255,
    )  # fmt: skip
    return np.asarray(lifted, np.uint8)


def _struck(inked: ink.Mask, letter: float) -> tuple[tuple[int, int], ...]:
    """Find column ranges where one long stroke runs through letters."""
    reach = int(2.6 * letter)
    if inked.shape[1] < reach:
        return ()
    thick = cv2.dilate(inked.astype(np.uint8), np.ones((3, 1), np.uint8))
    runs = cv2.morphologyEx(thick, cv2.MORPH_OPEN, np.ones((1, reach), np.uint8))
    count, _, stats, _ = cv2.connectedComponentsWithStats(runs)
    found = []
    for x, y, w, h, _ in stats[1:count]:
        near = max(2, int(0.12 * letter))
        above = inked[max(0, y - near) : max(0, y - 1), x : x + w].any(axis=0)
        below = inked[y + h + 1 : y + h + near, x : x + w].any(axis=0)
        # Letters cross the stroke again and again; a fraction bar stands clear of its figures.
        across = np.count_nonzero(np.diff((above & below).astype(np.int8)) == 1)
        if across >= max(3, 0.5 * w / letter / 1.6):
            found.append((int(x), int(x + w)))
    return tuple(found)

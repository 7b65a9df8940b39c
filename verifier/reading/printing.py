"""Printed lines → glyphs: ink pieces put together so that the whole line is likeliest."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from verifier.reading import arrows, ink, segment, shapes
from verifier.reading.ink import Pixels
from verifier.reading.segment import Atom, Box4
from verifier.reading.shapes import Array, Metrics

_CAPS = frozenset("ABDEFGHIKLMNPRTUVWXYZ0123456789bdhklΣΔΦ")
_SMALL = frozenset("acemnorsuvwxz")
_MOST_PARTS = 4
_EACH = 0.25  # nats that each further glyph costs
_CUT = 1.8  # … and that two glyphs touch
_JOIN = 3.0  # … and that one is broken
_WIDEST = 1.2  # capitals
_FAINTLY = 1.0  # … but that faint ink joins its pieces
_COOL = 1.6
_FEW_LETTERS = 4  # letters that tell where a line stands


@dataclass(frozen=True)
class Glyph:
    """A glyph of a line: its box in the line's pixels, and what it may be.

    `scores` holds log-probabilities of `shapes.GLYPHS` `(G,)`, `scripts` of on the line, dropped
    and raised `(3,)`; `held` is the probability that this ink is one glyph.
    """

    box: Box4
    scores: Array
    scripts: Array
    held: float = 1.0

    @property
    def best(self) -> str:
        """The likeliest glyph; never none, however little the ink looks like one."""
        return shapes.GLYPHS[int(self.scores[: shapes.JUNK].argmax())]


@dataclass(frozen=True)
class GlyphLine:
    """The glyphs of one line, left to right, and the line's measures."""

    glyphs: tuple[Glyph, ...]
    metrics: Metrics
    score: float = 0.0


@dataclass(frozen=True)
class Piece:
    """A run of ink pieces that may be one glyph: `[start, end)` of a line's pieces.

    `cost` is what it costs, in nats, that glyphs cling together or are broken where it begins.
    """

    start: int
    end: int
    glyph: Glyph
    cost: float = 0.0


@dataclass(frozen=True)
class Lattice:
    """All ways in which a line's ink may be put together: `count` pieces, and runs of them.

    `other` is the same line with its faint ink counted in, where strokes may be broken.
    """

    count: int
    pieces: tuple[Piece, ...]
    metrics: Metrics
    other: "Lattice | None" = None

    def best(
        self, weigh: Callable[[Glyph], float] | None = None, without: Box4 | None = None
    ) -> GlyphLine:
        """Choose the cutting whose glyphs are likeliest together.

        `weigh` scores a glyph in nats; no glyph fills the box `without`.
        """
        own = self._path(weigh, without)
        if self.other is None:
            return own
        faint = self.other.best(weigh, without)
        return faint if faint.score > own.score else own

    def _path(self, weigh: Callable[[Glyph], float] | None, without: Box4 | None) -> GlyphLine:
        if not self.count:
            return GlyphLine((), self.metrics)
        pieces = [piece for piece in self.pieces if piece.glyph.box != without]
        pieces.sort(key=lambda piece: piece.end)
        scores = [
            (weigh(piece.glyph) if weigh else float(piece.glyph.scores[: shapes.JUNK].max()))
            - piece.cost - _EACH
            for piece in pieces
        ]  # fmt: skip
        best = np.full(self.count + 1, -np.inf)
        best[0] = 0.0
        came = [-1] * (self.count + 1)
        for i, (piece, own) in enumerate(zip(pieces, scores, strict=True)):
            if best[piece.start] + own > best[piece.end]:
                best[piece.end], came[piece.end] = best[piece.start] + own, i
        if best[self.count] == -np.inf:
            return GlyphLine((), self.metrics, -np.inf)
        chosen: list[int] = []
        at = self.count
        while at > 0:
            chosen.append(came[at])
            at = pieces[came[at]].start
        held = _held(pieces, scores, self.count)
        glyphs = tuple(replace(pieces[i].glyph, held=held[i]) for i in reversed(chosen))
        return GlyphLine(glyphs, self.metrics, float(best[self.count]))


def _held(pieces: list[Piece], scores: list[float], count: int) -> list[float]:
    """Return how likely each piece is a glyph, among all cuttings of the line.

    The scores are too sure of themselves, since their errors hang together; they are cooled.
    """
    cool = [score / _COOL for score in scores]
    ahead, back = np.full(count + 1, -np.inf), np.full(count + 1, -np.inf)
    ahead[0] = back[count] = 0.0
    for piece, own in zip(pieces, cool, strict=True):
        ahead[piece.end] = np.logaddexp(ahead[piece.end], ahead[piece.start] + own)
    for i in sorted(range(len(pieces)), key=lambda i: -pieces[i].start):
        start, end = pieces[i].start, pieces[i].end
        back[start] = np.logaddexp(back[start], back[end] + cool[i])
    return [
        float(np.exp(ahead[piece.start] + own + back[piece.end] - ahead[count]))
        for piece, own in zip(pieces, cool, strict=True)
    ]


@dataclass(frozen=True)
class _Run:
    line: int
    start: int
    end: int
    box: Box4
    cost: float = 0.0


def lattices(lines: Sequence[tuple[Pixels, float, float]]) -> list[Lattice]:
    """Read lines, each a picture `(H, W)` with its letter height and baseline row (estimates)."""
    darks = [shapes.to_dark(pixels, ink.threshold(pixels)) for pixels, _, _ in lines]
    metrics = _measure(darks, lines)
    plain = _lattices(darks, metrics, segment.INKED)
    thin = [i for i, dark in enumerate(darks) if _is_thin(dark)]
    faint = _lattices([darks[i] for i in thin], [metrics[i] for i in thin], segment.FAINT)
    for i, other in zip(thin, faint, strict=True):
        plain[i] = replace(plain[i], other=other)
    return plain


def _is_thin(dark: Array) -> bool:
    """Whether strokes are so thin or blurred that few of their pixels are full."""
    return bool(np.count_nonzero(dark > 0.8) < 0.43 * np.count_nonzero(dark > 0.3))


def _lattices(darks: list[Array], metrics: list[Metrics], level: float) -> list[Lattice]:
    runs: list[_Run] = []
    counts: list[int] = []
    for number, (dark, measure) in enumerate(zip(darks, metrics, strict=True)):
        found = segment.atoms(dark, measure.cap, level)
        groups = [segment.split(dark, atom, measure.cap) for atom in found]
        counts.append(sum(len(group) for group in groups))
        runs += _runs(number, groups, measure.cap)
    scores, scripts = _classify(darks, runs, metrics)
    pieces: list[list[Piece]] = [[] for _ in darks]
    for i, run in enumerate(runs):
        glyph = Glyph(run.box, arrows.pointed(scores[i], darks[run.line], run.box), scripts[i])
        pieces[run.line].append(Piece(run.start, run.end, glyph, run.cost))
    return [Lattice(counts[n], tuple(pieces[n]), metrics[n]) for n in range(len(darks))]


def _classify(
    darks: list[Array], runs: list[_Run], metrics: Sequence[Metrics | None]
) -> tuple[Array, Array]:
    if not runs:
        none = np.zeros((0, shapes.FEATURES), np.float32)
        return shapes.tell(np.zeros((0, shapes.SIDE, shapes.SIDE), np.float32), none)
    crops = np.stack([shapes.crop(darks[run.line], run.box) for run in runs])
    places = np.stack([shapes.place(run.box, metrics[run.line]) for run in runs])
    return shapes.tell(crops, places)


def _measure(darks: list[Array], lines: Sequence[tuple[Pixels, float, float]]) -> list[Metrics]:
    """Find each line's baseline and capital height from the glyphs that shape alone tells."""
    runs: list[_Run] = []
    for number, (dark, (_, letter, _)) in enumerate(zip(darks, lines, strict=True)):
        for i, atom in enumerate(segment.atoms(dark, 1.2 * letter)):
            runs.append(_Run(number, i, i + 1, atom.box))
    scores, _ = _classify(darks, runs, [None] * len(darks))
    found: list[Metrics] = []
    for number, (_, letter, base) in enumerate(lines):
        own = [i for i, run in enumerate(runs) if run.line == number]
        sure = [
            (shapes.GLYPHS[int(scores[i].argmax())], runs[i].box)
            for i in own
            if scores[i].max() > np.log(0.6)
        ]
        found.append(_metrics(sure, letter, base))
    return found


def _metrics(sure: list[tuple[str, Box4]], letter: float, base: float) -> Metrics:
    caps = [box for glyph, box in sure if glyph in _CAPS]
    small = [box for glyph, box in sure if glyph in _SMALL]
    if caps:
        heights = np.array([box[3] for box in caps], float)
        cap = float(np.percentile(heights, 70))
        if len(small) >= 4 * len(caps):  # a line of words: scripts cannot mislead there
            cap = max(cap, float(np.median([box[3] for box in small])) / 0.78)
    elif small:
        cap = float(np.median([box[3] for box in small])) / 0.72
    else:
        cap = 1.25 * letter
    # Figures may hang below the line, as 3 and 4 do in old fashions, and indices do always.
    letters = [box for glyph, box in sure if glyph in _CAPS and not glyph.isdigit()]
    near = _standing([box for box in letters if box[3] > 0.85 * cap], base, cap)
    if len(near) < _FEW_LETTERS:
        near = _standing(caps + small, base, cap)
    if not len(near):
        return Metrics(base, max(cap, 6.0))
    middle = float(np.median(near[:, 1]))
    near = near[np.abs(near[:, 1] - middle) < 0.25 * cap]
    if len(near) < 8 or np.ptp(near[:, 0]) < 6 * cap:
        return Metrics(middle, max(cap, 6.0))
    slope, at_left = np.polyfit(near[:, 0], near[:, 1], 1)
    return Metrics(float(at_left), max(cap, 6.0), float(slope))


def _standing(boxes: list[Box4], base: float, cap: float) -> Array:
    """Return where glyphs of full height stand `(N, 2)`: the middle of each one's foot."""
    return np.array([
        (x + w / 2, y + h) for x, y, w, h in boxes
        if h > 0.62 * cap and abs(y + h - base) < 0.6 * cap
    ])  # fmt: skip


def _runs(line: int, groups: list[list[Atom]], cap: float) -> list[_Run]:
    """List the runs of pieces that may be one glyph; every uncut piece is one of them."""
    flat = [(part, g) for g, group in enumerate(groups) for part in group]
    runs = []
    for start in range(len(flat)):
        for end in range(start + 1, min(start + _MOST_PARTS, len(flat)) + 1):
            parts, owners = [list(column) for column in zip(*flat[start:end], strict=True)]
            if end - start > 1 and not _may_join(parts, owners, cap):
                break
            cut = start > 0 and flat[start - 1][1] == owners[0]
            joins = _FAINTLY if _share_home(parts, cap) else _JOIN
            cost = _CUT * cut + joins * (len(set(owners)) - 1) * (not _all_small(parts, cap))
            runs.append(_Run(line, start, end, segment.union(parts).box, cost))
    at = 0
    for group in groups:
        if len(group) > 1 and not any(
            (run.start, run.end) == (at, at + len(group)) for run in runs
        ):
            runs.append(_Run(line, at, at + len(group), segment.union(group).box))
        at += len(group)
    return runs


def _may_join(parts: list[Atom], groups: list[int], cap: float) -> bool:
    whole = segment.union(parts)
    if whole.box[2] > 1.7 * cap or whole.box[3] > 1.6 * cap:
        return False
    if len(set(groups)) == 1 or _share_home(parts, cap):
        return True
    if _all_small(parts, cap) and whole.box[3] < 0.32 * cap and whole.box[2] > 1.6 * whole.box[3]:
        return False  # dots in a row, no ∴
    # Broken strokes, and glyphs of several pieces side by side: ∴ % " ½.
    gaps = [b.box[0] - a.right for a, b in pairwise(parts)]
    return max(gaps) < (0.45 if _all_small(parts, cap) else 0.14) * cap


def _share_home(parts: list[Atom], cap: float) -> bool:
    """Whether faint ink joins all the pieces, and they are no wider than a letter."""
    one = parts[0].home > 0 and len({part.home for part in parts}) == 1
    return one and segment.union(parts).box[2] < _WIDEST * cap


def _all_small(parts: list[Atom], cap: float) -> bool:
    return all(max(part.box[2], part.box[3]) < 0.35 * cap for part in parts)

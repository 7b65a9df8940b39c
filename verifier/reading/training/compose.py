"""Lines for training: language, layout and ink, drawn on the processor; paper comes later."""

import io
import tarfile
from collections import defaultdict
from dataclasses import dataclass
from pathlib import Path
from random import Random

import cv2
import numpy as np
from numpy.typing import NDArray

from verifier.reading.hand_tokens import SIGNS, UPPER
from verifier.reading.training.forms import Maker, chosen
from verifier.reading.training.invented import Style, style
from verifier.reading.training.language import Speaker
from verifier.reading.training.layout import Pen, Stroke
from verifier.reading.training.library import Hand, Library
from verifier.reading.training.markup import Node, Sign, labels, parse

HEIGHT = 80
CAPITAL = 25.0
WIDEST = 1536
STEP = 64
MOST = 88
SHEETS = 0.25
"""The share of pages whose figures are those of a photographed sheet, the rest another hand's."""
JOINED, CAPITALS = 0.4, 0.12
"""Of the pages in a font the share in a joined-up one; of all, with the capitals of such a one."""


@dataclass
class Composed:
    """One line: `ink` (80, W) of 0 to 255, the token numbers of both streams, the markup."""

    ink: NDArray[np.uint8]
    upper: list[int]
    lower: list[int]
    text: str


class Words:
    """Photographed words: true ink, with its words and writer."""

    def __init__(self, folder: Path, split: str) -> None:
        self.by_writer: dict[str, list[tuple[str, NDArray[np.float32]]]] = defaultdict(list)
        wanted = {}
        with (folder / "words.tsv").open(encoding="utf-8") as lines:
            for line in lines.read().split("\n")[1:]:
                if line and line.split("\t")[3] == split:
                    name, text, writer, _ = line.split("\t")
                    wanted[name] = (text, writer)
        with tarfile.open(folder / "words.tar") as tar:
            for member in tar:
                text, writer = wanted.get(member.name, ("", ""))
                if text and all(c in SIGNS and c != " " for c in text):
                    held = tar.extractfile(member)
                    raw = np.frombuffer(held.read() if held else b"", np.uint8)
                    image = cv2.imdecode(raw, cv2.IMREAD_GRAYSCALE)
                    if image is not None:
                        self.by_writer[writer].append((text, _ink_of(image)))
        self.writers = [w for w, v in self.by_writer.items() if len(v) > 5]


def _ink_of(image: NDArray[np.uint8]) -> NDArray[np.float32]:
    """Return how dark each pixel is against its paper, 0 to 1."""
    wide = cv2.GaussianBlur(cv2.dilate(image, np.ones((9, 9), np.uint8)), (0, 0), 8)
    dark = 1 - image.astype(np.float32) / np.maximum(wide.astype(np.float32), 1)
    top = max(0.15, float(np.quantile(dark, 0.97)))
    return np.clip((dark - 0.06) / (top - 0.06), 0, 1)


class Composer:
    """Composes lines of the writers of one split, without end."""

    def __init__(
        self, library: Library, words: Words | None, split: str, seed: int, kinds: str = "all"
    ) -> None:
        self.library, self.words = library, words
        self.rng = Random(seed)
        self.invents = split == "train"  # what is measured on is written as the collection has it
        hands = [h for h in library.hands if h.split == split]
        self.writers = [h for h in hands if h.kind == "strokes" and len(h.glyphs) >= 30]
        self.some = [h for h in hands if h.kind == "strokes" and len(h.glyphs) < 30]
        self.fonts = [h for h in hands if h.kind == "font"]
        self.joined = [h for h in self.fonts if library.joins(h)]
        self.pool = [h for h in hands if h.kind == "pool"]
        self.sheets = [h for h in hands if h.kind == "sheet"]
        self.kinds = kinds
        self.past: list[list[Stroke]] = []
        self.page = 0
        self.speaker = Speaker(self.rng)
        self.hands: list[Hand] = []
        self.forms: dict[str, Maker] = {}
        self.style = Style()

    def _turn(self) -> None:
        """Begin a new page: another writer with other habits."""
        rng = self.rng
        self.speaker = Speaker(rng)
        roll = rng.random() if self.kinds == "all" else 0.5 if self.kinds == "strokes" else 0.1
        if roll < 0.27:
            joined = self.joined and rng.random() < JOINED
            first = rng.choice(self.joined if joined else self.fonts)
        elif roll < 0.36:
            first = rng.choice(self.some or self.writers)
        else:
            first = rng.choice(self.writers)
        second = rng.choice(
            self.writers if first.kind != "font" or rng.random() < 0.5 else self.fonts
        )
        rest = rng.sample(self.writers, min(6, len(self.writers)))
        self.hands = [first, second, *rest]
        if self.sheets and self.kinds == "all" and rng.random() < SHEETS:
            self.hands = [rng.choice(self.sheets), *self.hands]
        if self.invents and self.joined and rng.random() < CAPITALS:
            lender = rng.choice(self.joined)
            held = {sign: lender.glyphs[sign] for sign in UPPER if lender.glyphs.get(sign)}
            self.hands = [Hand(f"capitals of {lender.name}", "some", "train", held), *self.hands]
        if self.kinds == "all" and rng.random() < 0.12:
            self.hands = []
        self.forms = chosen(rng) if rng.random() < 0.6 else {}
        self.style = style(rng) if self.invents else Style()
        self.page = rng.randint(2, 6)
        rng.shuffle(self.pool)

    def line(self) -> Composed:
        """Return the next line."""
        if self.page <= 0:
            self._turn()
        self.page -= 1
        if self.words is not None and self.kinds == "all" and self.rng.random() < 0.06:
            return self._worded()
        while True:
            text = self.speaker.line()
            row = parse(text)
            upper, lower = labels(row)
            if 0 < len(upper) + len(lower) <= MOST:
                break
        return Composed(self._inked(row), upper, lower, text)

    def _pen(self) -> Pen:
        hands = self.hands
        if not hands:
            hands = self.rng.sample(self.writers, min(14, len(self.writers)))
            return _MixedPen(self.library, hands, self.pool, self.rng, self.forms, self.style)
        return Pen(self.library, hands, self.pool, self.rng, self.forms, self.style)

    def _inked(self, row: list[Node]) -> NDArray[np.uint8]:
        pen = self._pen()
        strokes = pen.write(row)
        self.past = [*self.past[-5:], strokes]
        return draw(strokes, self.past, self.rng, pen.manner.tame)

    def _worded(self) -> Composed:
        """Return a line of photographed words, at times with written signs behind them."""
        rng = self.rng
        assert self.words is not None
        held = self.words.by_writer[rng.choice(self.words.writers)]
        chosen = [rng.choice(held) for _ in range(rng.choice([1, 2, 2, 3, 4]))]
        text = " ".join(t for t, _ in chosen)
        upper = labels([Sign(c) for c in text])[0]
        size = rng.uniform(0.55, 1.15)
        parts: list[NDArray[np.float32]] = []
        for _, ink in chosen:
            k = size * rng.uniform(0.9, 1.1)
            if ink.shape[0] * k > HEIGHT - 4:
                k = (HEIGHT - 4) / ink.shape[0]
            small = cv2.resize(ink, None, fx=k, fy=k, interpolation=cv2.INTER_AREA)
            column = np.zeros((HEIGHT, small.shape[1] + rng.randint(8, 26)), np.float32)
            y = (HEIGHT - small.shape[0]) // 2 + rng.randint(-2, 2)
            y = max(0, min(HEIGHT - small.shape[0], y))
            column[y : y + small.shape[0], : small.shape[1]] = small
            parts.append(column)
        lower: list[int] = []
        whole = np.concatenate([np.zeros((HEIGHT, rng.randint(4, 30)), np.float32), *parts], 1)
        left = (np.clip(whole, 0, 1) * 255).astype(np.uint8)
        if rng.random() < 0.4:
            more = self.speaker.line()
            row = parse(more)
            up, lower = labels(row)
            if len(up) + len(lower) + len(upper) < MOST - 2:
                upper = [*upper, *labels([Sign(" ")])[0], *up]
                text = f"{text} {more}"
                left = np.concatenate([left, self._inked(row)], 1)
            else:
                lower = []
        width = -(-left.shape[1] // STEP) * STEP
        if width > WIDEST:
            left = cv2.resize(left, (WIDEST, HEIGHT), interpolation=cv2.INTER_AREA)
            width = WIDEST
        return Composed(np.pad(left, ((0, 0), (0, width - left.shape[1]))), upper, lower, text)


class _MixedPen(Pen):
    """A pen that takes every sign from another writer."""

    def _strokes(self, sign: str) -> list[Stroke]:
        self.rng.shuffle(self.hands)
        return super()._strokes(sign)


def draw(
    strokes: list[Stroke], past: list[list[Stroke]], rng: Random, tame: bool = False
) -> NDArray[np.uint8]:
    """Return the ink (80, W) of a line, cut from its page as loosely as a page is cut."""
    every = np.concatenate(strokes)
    low, high = every.min(axis=0), every.max(axis=0)
    tall, wide = float(high[1] - low[1]), float(high[0] - low[0])
    size = CAPITAL * float(np.exp(rng.gauss(0, 0.19 if tame else 0.24)))
    size = min(size, 44.0, (HEIGHT - rng.choice([4, 6, 10])) / max(tall, 0.3))
    margins = (rng.randint(2, 40), rng.choice([2, 10, rng.randint(2, 60)]))
    if wide * size + sum(margins) + 2 > WIDEST:
        size = (WIDEST - sum(margins) - 3) / wide
    width = -(-int(wide * size + sum(margins) + 2) // STEP) * STEP
    slack = HEIGHT - tall * size
    y0 = slack * min(0.98, max(0.02, rng.gauss(0.5, 0.16))) - low[1] * size
    x0 = margins[0] - low[0] * size
    canvas = np.zeros((HEIGHT * 2, width * 2), np.uint8)
    width_of_pen = float(np.exp(rng.gauss(np.log(0.088), 0.28 if tame else 0.36)))
    if tall > 2.2:  # who writes a fraction in a fraction has a pen that can
        width_of_pen *= max(0.6, 2.2 / tall)
    thick = max(1, round(2 * size * width_of_pen))
    uneven = rng.random() < 0.4
    blob = rng.uniform(1.1, 2.4)
    base = np.array([x0, y0], np.float32)
    pens = (
        [max(1, thick + rng.choice([-1, 0, 0, 1])) for _ in strokes]
        if uneven and thick > 2
        else [thick] * len(strokes)
    )
    for shift in _nib(size, thick, rng):
        _polylines(canvas, strokes, every * size + base + shift, pens, blob)
    if past and rng.random() < 0.3:
        for side in rng.choice([(-1,), (1,), (-1, 1)]):
            other = past[rng.randrange(len(past))]
            held = np.concatenate(other)
            gap = rng.uniform(-0.25, 0.5) * size
            edge = y0 + (low[1] if side < 0 else high[1]) * size + side * gap
            mine = held[:, 1].max() if side < 0 else held[:, 1].min()
            move = np.array([x0 + rng.uniform(-8, 3) * size, edge - mine * size], np.float32)
            reach = HEIGHT * 0.11
            shown = edge < reach if side < 0 else edge > HEIGHT - reach
            if shown:
                _polylines(canvas, other, held * size + move, [thick] * len(other))
    return cv2.resize(canvas, (width, HEIGHT), interpolation=cv2.INTER_AREA)


def _nib(size: float, thick: int, rng: Random) -> list[NDArray[np.float32]]:
    """Return where a pen's tip draws at once: a broad tip's strokes are wide in one way alone."""
    none = np.zeros(2, np.float32)
    if rng.random() > 0.12:
        return [none]
    angle, reach = rng.uniform(-1.3, 0.4), size * rng.uniform(0.015, 0.05)
    tip = np.array([np.cos(angle), np.sin(angle)], np.float32) * np.float32(reach)
    count = max(1, round(2 * reach / thick))
    return [none, *(tip * (k / count) for k in range(-count, count + 1) if k)]


def _polylines(
    canvas: NDArray[np.uint8],
    strokes: list[Stroke],
    points: Stroke,
    pens: list[int],
    blob: float = 1.4,
) -> None:
    """Draw strokes, whose points lie end to end in `points`, at twice their size."""
    fixed = np.round(points * 32).astype(np.int32)
    starts = np.cumsum([0, *(len(s) for s in strokes)])
    low = np.minimum.reduceat(fixed, starts[:-1], axis=0)
    reach = (np.maximum.reduceat(fixed, starts[:-1], axis=0) - low).max(axis=1).tolist()
    for start, end, wide, pen in zip(starts[:-1], starts[1:], reach, pens, strict=True):
        if wide < 16:
            x, y = fixed[start].tolist()
            cv2.circle(canvas, (x, y), int(pen * blob * 8), 255, -1, cv2.LINE_AA, 4)
        else:
            line = fixed[start:end].reshape(-1, 1, 2)
            cv2.polylines(canvas, [line], False, 255, pen, cv2.LINE_AA, 4)


def papers(folder: Path) -> NDArray[np.uint8]:
    """Return the paper patches (N, 320, 320)."""
    out = []
    with tarfile.open(folder / "paper.tar") as tar:
        for member in tar:
            held = tar.extractfile(member)
            if held is None:
                continue
            raw = np.frombuffer(io.BytesIO(held.read()).read(), np.uint8)
            image = cv2.imdecode(raw, cv2.IMREAD_GRAYSCALE)
            if image is not None:
                out.append(cv2.resize(image, (320, 320)))
    return np.stack(out)

"""Lines of handwritten statics for the benchmark, laid out by other rules than the training's.

Strokes of writers and fonts that training never saw, and of sheets of a collection of which it saw
others; its own sentences, its own layout (each sign is set against the ink of the one before it,
with drifting size and baseline), its own pen, paper and lens. Composed and then photographed by a
camera model, not by people.
"""

from dataclasses import dataclass
from random import Random

import cv2
import numpy as np
from numpy.typing import NDArray

from verifier.reading.training.library import Hand, Library
from verifier.reading.training.markup import Circled, Node, Root, Script, Sign, Stack, parse

Stroke = NDArray[np.float32]
OTHER_SHEETS = "other sheets of a collection"
DATASETS = ("unseen writers", "unseen fonts", OTHER_SHEETS)
PAPERS = ("blank", "ruled", "squared")


@dataclass(frozen=True)
class Line:
    """A picture (H, W) of one line, what stands there in markup, and where it comes from."""

    image: NDArray[np.uint8]
    text: str
    dataset: str
    paper: str


class Sentences:
    """Lines as engineers write them; figures and names at random, right or wrong alike."""

    def __init__(self, rng: Random) -> None:
        self.rng = rng
        self.joints = rng.sample("ABCDEFGHKLPQRST", 5)
        self.index = rng.random() < 0.75
        self.stacked = rng.random() < 0.5
        self.product = rng.choice(["({})", "({})", "×{}", "·{}"])
        self.unit = rng.choice(["kN", "kN", "N", "lb"])

    def n(self) -> str:
        """Return a figure."""
        r = self.rng
        whole = r.choice([r.randint(1, 9), r.randint(1, 30), r.randint(10, 400)])
        return str(whole) if r.random() < 0.5 else f"{whole}.{r.randint(0, 99)}"

    def j(self) -> str:
        """Return a joint."""
        return self.rng.choice(self.joints)

    def name(self) -> str:
        """Return a force's name."""
        r = self.rng
        base, sub = r.choice([
            (self.j(), r.choice("xy")), ("F", self.j() + self.j()), ("R", self.j()),
            ("T", str(r.randint(1, 6))), ("V", self.j()), ("F", self.j() + self.j()),
        ])  # fmt: skip
        return f"{base}_{{{sub}}}" if self.index else base + sub

    def over(self, a: str, b: str) -> str:
        """Return a quotient."""
        nested = "\\f" in a + b
        return f"\\f{{{a}}}{{{b}}}" if self.stacked and not nested else f"({a})/{b}"

    def term(self) -> str:
        """Return a term."""
        r = self.rng
        angle = r.choice(
            [f"{r.randint(10, 80)}°", "θ", "α", f"{r.randint(10, 80)}.{r.randint(1, 9)}°"]
        )
        fn = r.choice(["sin", "cos"])
        times = self.product
        if "·" in times and r.random() < 0.3:
            times = "×{}"
        return r.choice([
            self.n(), self.name(), self.name() + times.format(self.n()),
            self.n() + times.format(self.n()), self.name() + fn + angle, self.n() + fn + angle,
            self.over(str(r.randint(3, 9)), str(r.randint(5, 13))) + self.name(),
        ])  # fmt: skip

    def total(self, count: int) -> str:
        """Return a sum."""
        r = self.rng
        return r.choice(["", "", "-"]) + "".join(
            (r.choice("+-") if i else "") + self.term() for i in range(count)
        )

    def line(self) -> str:
        """Return one line in markup."""
        r = self.rng
        label = r.choice([
            "ΣF_{x}=0:", "ΣF_{y}=0:", f"ΣM_{{{self.j()}}}=0:", f"↺ΣM_{{{self.j()}}}:", "↑:", "→:",
            f"ΣM_{{{self.j()}}}:", f"M({self.j()}):",
        ])  # fmt: skip
        value = f"{self.n()}{self.unit}"
        return r.choice([
            f"{label} {self.total(r.randint(2, 3))}=0",
            f"{self.total(r.randint(2, 4))}=0",
            f"{self.name()}+{self.name()}={self.n()}",
            f"{self.name()}={self.over(self.total(2), self.n())}={value}",
            f"∴{self.name()}={value}",
            f"{self.name()}=-{value}{r.choice(['(T)', '(C)', '→', '↓', '↑', ''])}",
            f"θ=tan^{{-1}}({self.n()}/{self.n()})={self.n()}°",
            f"{self.j()}{self.j()}=\\r{{{r.randint(2, 9)}^{{2}}+{r.randint(2, 9)}^{{2}}}}"
            f"={self.n()}m",
            r.choice([f"Joint {self.j()}", f"Moments about {self.j()}", "Check", "Reactions"]),
            f"{self.name()}={self.n()}-{self.n()}={value}",
        ])  # fmt: skip


class People:
    """One writer on one sheet: writes lines and photographs them.

    Of the unseen hands every other one belongs to `half` 0, on which doubt is fitted, and the
    others to half 1, which the benchmark measures; None takes all. `dealt` samples of a sign come
    like cards: none comes again before all have come.
    """

    def __init__(
        self, library: Library, dataset: str, paper: str, seed: int, half: int | None = None,
        dealt: bool = False,
    ) -> None:  # fmt: skip
        self.library, self.dataset, self.paper = library, dataset, paper
        self.decks: dict[tuple[str, str], list[int]] | None = {} if dealt else None
        self.rng = Random(f"{dataset} {paper} {seed}")
        self.noise = np.random.default_rng(self.rng.getrandbits(32))
        hands = library.hands
        own = [h for h in hands if h.kind == "strokes" and h.split == "val" and len(h.glyphs) > 40]
        fonts = [h for h in hands if h.kind == "font" and h.split == "val"]
        pool = [h for h in hands if h.kind == "pool" and h.split == "val"]
        other = [h for h in hands if h.kind == "photographed"]
        if half is not None:
            own, fonts, other = own[half::2], fonts[half::2], other[half::2]
        first = self.rng.choice(own)
        self.hands = [first, *self.rng.sample(own, len(own)), *pool, *fonts]
        if dataset == "unseen fonts":
            self.hands = [self.rng.choice(fonts), *self.hands]
        elif dataset == OTHER_SHEETS:
            self.hands = [self.rng.choice(other), *self.hands]
        self.sentences = Sentences(self.rng)
        r = self.rng
        self.tilt = r.gauss(0, 0.012)
        self.lean = r.gauss(0.08, 0.12)
        self.space = r.lognormvariate(-2.2, 0.5)
        self.air = r.lognormvariate(-1.6, 0.6)
        self.script = r.uniform(0.45, 0.8)
        self.drop = r.uniform(0.45, 0.85)
        self.lift = r.uniform(0.5, 0.95)
        self.fraction = r.uniform(0.55, 0.95)
        self.small = r.uniform(0.85, 1.12)
        self.figures = r.uniform(0.82, 1.15)
        self.signs = r.uniform(0.7, 1.35)
        self.restless = r.uniform(0.01, 0.05)
        self.pen = r.uniform(0.05, 0.12)
        self.size = r.uniform(26, 70)

    def write(self, text: str) -> list[Stroke]:
        """Return the strokes of a line, baseline 0, in capitals' heights."""
        self.x, self.y, self.grown = 0.0, 0.0, 1.0
        self.last = (-1.0, 0.0)
        out: list[Stroke] = []
        for node, after in _pairs(parse(text)):
            self._node(node, after, out, 1.0, 0.0)
        return [
            np.stack([s[:, 0] - self.lean * s[:, 1], s[:, 1] + self.tilt * s[:, 0]], 1) for s in out
        ]

    def _node(
        self, node: Node, before: Node | None, out: list[Stroke], size: float, base: float
    ) -> None:
        match node:
            case Sign(text=" "):
                self.x += self.rng.uniform(0.35, 0.9)
            case Sign(text=sign):
                wide = sign in "+-=×→" or (isinstance(before, Sign) and before.text in "+-=×→:")
                gap = (self.air if wide else self.space) * self.rng.lognormvariate(0, 0.35)
                self.x += gap * size + self.pen
                self._sign(sign, out, size, base)
            case Script(row=row, up=up):
                top, low = self.last
                tall = max(low - top, 0.5 * size)
                at = (
                    low - self.lift * tall
                    if up
                    else top + self.drop * tall + self.script * size * 0.75
                )
                self.x += 0.4 * self.space
                kept = self.last
                for inner, prior in _pairs(row):
                    self._node(inner, prior, out, size * self.script, at)
                self.last = kept
            case Stack(top=top_row, low=low_row):
                self._stack(top_row, low_row, out, size, base)
            case Root(row=row):
                self._root(row, out, size, base)
            case Circled(text=sign):
                self._node(Sign(sign), None, out, size, base)
            case _:
                raise ValueError(node)

    def _shape(self, sign: str) -> list[Stroke]:
        for hand in self.hands:
            if hand.glyphs.get(sign):
                points, lengths = self.library.glyph(self._sample(hand, sign))
                return list(np.split(points, np.cumsum(lengths)[:-1]))
        raise KeyError(sign)

    def _sample(self, hand: Hand, sign: str) -> int:
        if self.decks is None:
            return self.rng.choice(hand.glyphs[sign])
        deck = self.decks.setdefault((hand.name, sign), [])
        if not deck:
            deck += self.rng.sample(hand.glyphs[sign], len(hand.glyphs[sign]))
        return deck.pop()

    def _sign(self, sign: str, out: list[Stroke], size: float, base: float) -> None:
        r = self.rng
        self.grown += r.gauss(0, self.restless) - 0.15 * (self.grown - 1)
        self.y += r.gauss(0, self.restless) - 0.1 * self.y
        kind = (
            self.figures if sign.isdigit() else self.small if sign.islower()
            else self.signs if sign in "+-=×·→()" else 1.0
        )  # fmt: skip
        k = size * kind * self.grown
        kx = k * r.lognormvariate(0, 0.07)
        turn = r.gauss(0, 0.035)
        shape = self._shape(sign)
        left = min(float(s[:, 0].min()) for s in shape)
        done = []
        for s in shape:
            x, y = (s[:, 0] - left) * kx, s[:, 1] * k
            done.append(
                np.stack([self.x + x - turn * y, base + self.y * size + y + turn * x], 1).astype(
                    np.float32
                )
            )
        out.extend(done)
        every = np.concatenate(done)
        self.x = float(every[:, 0].max())
        if sign not in "+-=.,·×→":
            self.last = (float(every[:, 1].min()), float(every[:, 1].max()))

    def _part(self, row: list[Node], size: float) -> list[Stroke]:
        kept = self.x, self.y
        self.x, self.y = 0.0, 0.0
        part: list[Stroke] = []
        for node, before in _pairs(row):
            self._node(node, before, part, size, 0.0)
        self.x, self.y = kept
        return part

    def _stack(
        self, top: list[Node], low: list[Node], out: list[Stroke], size: float, base: float
    ) -> None:
        r = self.rng
        self.x += self.air * r.uniform(0.5, 1.5)
        parts = [
            self._part(row, size * self.fraction * r.lognormvariate(0, 0.08)) for row in (top, low)
        ]
        reach = [max(float(s[:, 0].max()) for s in p) for p in parts]
        bar = max(reach) * r.uniform(0.92, 1.25) + r.uniform(0.02, 0.25)
        y = base - size * r.uniform(0.28, 0.5)
        out.append(self._stroke((self.x, y), (self.x + bar, y + r.gauss(0, 0.03) * bar)))
        for part, wide, up in zip(parts, reach, (True, False), strict=True):
            gap = size * r.uniform(0.08, 0.3)
            rows = np.concatenate(part)[:, 1]
            dy = y - gap - float(rows.max()) if up else y + gap - float(rows.min())
            dx = self.x + (bar - wide) * r.uniform(0.2, 0.8)
            out.extend(s + np.float32([dx, dy]) for s in part)
        self.x += max(bar, *reach)

    def _root(self, row: list[Node], out: list[Stroke], size: float, base: float) -> None:
        r = self.rng
        self.x += self.air
        inner = self._part(row, size * 0.95)
        rows = np.concatenate(inner)
        top, low, wide = float(rows[:, 1].min()), float(rows[:, 1].max()), float(rows[:, 0].max())
        top -= r.uniform(0.12, 0.3)
        x = self.x
        hook = [(x, base + 0.5 * (top + low)), (x + 0.16, base + low), (x + 0.38, base + top)]
        out.append(np.array(hook, np.float32))
        out.append(self._stroke(hook[-1], (x + 0.48 + wide + r.uniform(-0.05, 0.2), base + top)))
        out.extend(s + np.float32([x + 0.45, base]) for s in inner)
        self.x = x + 0.5 + wide

    def _stroke(self, start: tuple[float, float], end: tuple[float, float]) -> Stroke:
        t = np.linspace(0, 1, 9)
        bend = self.rng.gauss(0, 0.02) * np.sin(3.1 * t) + self.noise.normal(0, 0.004, 9)
        x = start[0] + (end[0] - start[0]) * t
        return np.stack([x, start[1] + (end[1] - start[1]) * t + bend], 1).astype(np.float32)

    def line(self, text: str | None = None) -> Line:
        """Return a photographed line."""
        text = text or self.sentences.line()
        return Line(self.photograph(self.write(text)), text, self.dataset, self.paper)

    def ink(
        self, strokes: list[Stroke], shape: tuple[int, int], x: float, y: float
    ) -> NDArray[np.float32]:
        """Return ink (H, W) of 0 to 1; a quick pen draws thinner."""
        canvas = np.zeros(shape, np.uint8)
        for s in strokes:
            points = s * self.size + np.float32([x, y])
            if len(points) == 1 or float(np.ptp(points, axis=0).max()) < 1.5:
                at = tuple(int(v * 16) for v in points[0])
                cv2.circle(canvas, at, int(self.pen * self.size * 13), 255, -1, cv2.LINE_AA, 4)
                continue
            speed = np.hypot(*np.diff(points, axis=0).T) / self.size
            for a, b, v in zip(points[:-1], points[1:], speed, strict=True):
                thick = max(1, round(self.pen * self.size * (1.15 - min(0.4, v))))
                ends = [tuple(int(c * 16) for c in p) for p in (a, b)]
                cv2.line(canvas, ends[0], ends[1], 255, thick, cv2.LINE_AA, 4)
        return canvas.astype(np.float32) / 255

    def photograph(self, strokes: list[Stroke]) -> NDArray[np.uint8]:
        """Return the line's picture: ink on paper, unevenly lit, a little blurred, compressed."""
        r = self.rng
        every = np.concatenate(strokes)
        low, high = every.min(axis=0), every.max(axis=0)
        pad = [self.size * r.uniform(0.15, 0.6) for _ in range(4)]
        h = int((high[1] - low[1]) * self.size + pad[0] + pad[1])
        w = int((high[0] - low[0]) * self.size + pad[2] + pad[3])
        ink = self.ink(strokes, (h, w), pad[2] - low[0] * self.size, pad[0] - low[1] * self.size)
        if r.random() < 0.35:
            grain = cv2.resize(self.noise.random((h // 2 + 1, w // 2 + 1), np.float32), (w, h))
            ink = ink * (1 - 0.6 * grain)
        paper = np.full((h, w), r.uniform(0.72, 0.97), np.float32)
        step = self.size * r.uniform(0.6, 2.2)
        if self.paper != "blank":
            for y in np.arange(r.uniform(0, step), h, step):
                cv2.line(paper, (0, int(y)), (w, int(y + self.tilt * w)), 0.72, 1, cv2.LINE_AA)
        if self.paper == "squared":
            for x in np.arange(r.uniform(0, step), w, step):
                cv2.line(paper, (int(x), 0), (int(x), h), 0.72, 1, cv2.LINE_AA)
        gray = paper * (1 - ink * r.uniform(0.55, 0.9))
        gray *= np.linspace(r.uniform(0.8, 1), r.uniform(0.8, 1), w, dtype=np.float32)[None]
        gray = cv2.GaussianBlur(gray, (0, 0), r.uniform(0.4, 0.03 * self.size))
        gray += self.noise.normal(0, r.uniform(0.003, 0.025), gray.shape).astype(np.float32)
        image = (np.clip(gray, 0, 1) * 255).astype(np.uint8)
        packed = cv2.imencode(".jpg", image, [cv2.IMWRITE_JPEG_QUALITY, r.randint(55, 92)])[1]
        return np.asarray(cv2.imdecode(packed, cv2.IMREAD_GRAYSCALE), np.uint8)


def _pairs(row: list[Node]) -> list[tuple[Node, Node | None]]:
    return list(zip(row, [None, *row[:-1]], strict=True))


def hand_count(library: Library) -> dict[str, int]:
    """Return how many unseen hands there are of each kind."""
    kinds: dict[str, int] = {}
    for hand in library.hands:
        if hand.split != "train":
            kinds[hand.kind] = kinds.get(hand.kind, 0) + 1
    return kinds


__all__ = [
    "DATASETS",
    "OTHER_SHEETS",
    "PAPERS",
    "Hand",
    "Line",
    "People",
    "Sentences",
    "hand_count",
]

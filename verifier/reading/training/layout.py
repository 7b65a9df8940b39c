"""A tree of markup → pen strokes on a line, laid out as unevenly as people write.

Everything is in capitals' heights. One `Manner` is drawn for each line from very wide ranges:
what people vary (script size and drop, gaps, operator sizes, small letters against capitals, bars
and brackets, wander) is what a reader must not lean on.
"""

from dataclasses import dataclass, field
from random import Random

import numpy as np
from numpy.typing import NDArray

from verifier.reading.hand_tokens import DIGITS, LOWER, UPPER
from verifier.reading.training.fitting import BRACKETS, Fitted, against, reach_of
from verifier.reading.training.forms import Maker
from verifier.reading.training.gestures import Haste, around, ends, haste, hurried, link, tailed
from verifier.reading.training.invented import Style, between, even_strokes, own
from verifier.reading.training.library import Hand, Library
from verifier.reading.training.markup import (
    Accent,
    Circled,
    Mended,
    Node,
    Positive,
    Root,
    Script,
    Sign,
    Stack,
    Struck,
)
from verifier.reading.training.signs import MAKERS, arc, line

Stroke = NDArray[np.float32]
TAME = 0.56
"""The share of lines written as people mostly write."""
AS_SET = 0.6
"""The share of a font's lines whose letters and figures join as the font has them."""
_BINARY = set("+-=×·÷≈≠<>≤≥→⇒∴±*")


@dataclass
class Manner:
    """How one line is laid out."""

    caps: float
    small: float
    digits: float
    operators: float
    marks: float
    sub_size: float
    sub_drop: float
    sup_size: float
    sup_lift: float
    gap: float
    gap_spread: float
    operator_gap: float
    word_gap: float
    stack_size: float
    stack_gap: float
    bar_over: float
    bar_height: float
    size_jitter: float
    turn_jitter: float
    rise_jitter: float
    warp: float
    slant: float
    aspect: float
    wander: float
    wander_length: float
    slope: float
    growth: float
    drawn: float
    grow_brackets: float
    tame: bool = False
    coarse: float = 0.0
    drift: float = 0.0
    crowd: float = 0.0
    tuck: float = 0.0
    diagonal: float = 0.0
    anchored: float = 0.0
    uneven: float = 0.0


def manner(rng: Random) -> Manner:
    """Draw a manner: more than half as people mostly write, the rest as wildly as some do.

    A line in four is drawn from coarse signs.
    """
    made = _tame(rng) if rng.random() < TAME else _wild(rng)
    made.coarse = rng.choice([0.0] * 6 + [1 / 16, 1 / 24])
    made.drift = rng.choice([0.0, rng.uniform(0.0, 0.05)])
    made.crowd = rng.choice([0.0, 0.0, 0.0, rng.uniform(0.1, 0.6)])
    made.tuck = rng.choice([0.0, 0.0, rng.uniform(0.0, 0.35)])
    made.diagonal = rng.choice([0.0, 0.0, 0.0, rng.uniform(0.05, 0.4)])
    made.anchored = rng.choice([0.0, 0.5, 1.0])
    made.uneven = rng.uniform(0.0, 0.1) if made.tame else rng.choice([0.08, rng.uniform(0.1, 0.3)])
    return made


def _tame(rng: Random) -> Manner:
    loose = rng.choice([0.4, 0.6, 0.8])
    sub_size, sup_size = rng.uniform(0.42, 0.84), rng.uniform(0.42, 0.8)
    sub_drop = rng.choice([rng.uniform(-0.02, 0.3), rng.uniform(0.12, 0.4)])
    around = lambda sd: float(np.exp(rng.gauss(0, sd * loose)))  # noqa: E731
    return Manner(
        caps=around(0.1),
        small=around(0.12),
        digits=around(0.15),
        operators=around(0.32),
        marks=around(0.25),
        sub_size=sub_size,
        sub_drop=max(sub_drop, 0.2 - 0.55 * (1 - sub_size)),
        sup_size=sup_size,
        sup_lift=rng.uniform(0.34, 0.95),
        gap=rng.choice([rng.uniform(-0.02, 0.08), rng.uniform(0.03, 0.2), rng.uniform(0.1, 0.35)]),
        gap_spread=rng.uniform(0.02, 0.09) * loose,
        operator_gap=rng.choice([rng.uniform(-0.05, 0.1), rng.uniform(0.0, 0.45)]),
        word_gap=rng.uniform(0.5, 1.4),
        stack_size=rng.uniform(0.5, 0.98),
        stack_gap=rng.uniform(0.04, 0.32),
        bar_over=rng.uniform(-0.08, 0.3),
        bar_height=rng.uniform(0.22, 0.52),
        size_jitter=rng.uniform(0.02, 0.12) * loose,
        turn_jitter=rng.uniform(0, 0.08) * loose,
        rise_jitter=rng.uniform(0, 0.08) * loose,
        warp=rng.uniform(0, 0.045) * loose,
        slant=rng.choice([0.0, rng.uniform(-0.1, 0.35)]),
        aspect=around(0.16),
        wander=rng.choice([0, rng.uniform(0, 0.12)]),
        wander_length=rng.uniform(4, 22),
        slope=rng.gauss(0, 0.012),
        growth=rng.gauss(0, 0.006),
        drawn=rng.choice([0.0, 0.4, 0.8]),
        grow_brackets=rng.choice([0.0, 0.6, 1.0]),
        tame=True,
    )


def _wild(rng: Random) -> Manner:
    wild = rng.choice([0.35, 0.8, 1.0, 1.4])
    sub_size, sup_size = rng.uniform(0.38, 0.92), rng.uniform(0.38, 0.9)
    sub_drop = rng.choice([rng.uniform(0.0, 0.5), rng.uniform(0.1, 0.4), rng.uniform(0.2, 0.7)])
    sup_lift = rng.choice([rng.uniform(0.2, 0.6), rng.uniform(0.35, 0.8), rng.uniform(0.5, 1.0)])
    around = lambda sd: float(np.exp(rng.gauss(0, sd * wild)))  # noqa: E731
    return Manner(
        caps=around(0.13),
        small=around(0.17),
        digits=around(0.15),
        operators=around(0.28),
        marks=around(0.25),
        sub_size=sub_size,
        sub_drop=max(sub_drop, 0.25 - 0.55 * (1 - sub_size)),
        sup_size=sup_size,
        sup_lift=max(sup_lift, 0.25 if sup_size < 0.6 else 0.36),
        gap=rng.choice([rng.uniform(-0.04, 0.08), rng.uniform(0.03, 0.25), rng.uniform(0.1, 0.5)]),
        gap_spread=rng.uniform(0.02, 0.11) * wild,
        operator_gap=rng.choice([rng.uniform(-0.05, 0.1), rng.uniform(0, 0.3),
                                 rng.uniform(0.1, 0.9)]),
        word_gap=rng.uniform(0.45, 1.5),
        stack_size=rng.choice([rng.uniform(0.45, 0.8), rng.uniform(0.6, 1.05)]),
        stack_gap=rng.uniform(0.03, 0.4),
        bar_over=rng.choice([rng.uniform(-0.12, 0.1), rng.uniform(0, 0.3), rng.uniform(0, 0.7)]),
        bar_height=rng.uniform(0.15, 0.6),
        size_jitter=rng.uniform(0.02, 0.16) * wild,
        turn_jitter=rng.uniform(0, 0.09) * wild,
        rise_jitter=rng.uniform(0, 0.09) * wild,
        warp=rng.uniform(0, 0.045) * wild,
        slant=rng.choice([0.0, rng.uniform(-0.1, 0.25), rng.uniform(-0.3, 0.5)]),
        aspect=around(0.16),
        wander=rng.choice([0, rng.uniform(0, 0.1), rng.uniform(0, 0.25)]) * wild,
        wander_length=rng.uniform(4, 22),
        slope=rng.gauss(0, 0.018) * wild,
        growth=rng.gauss(0, 0.012) * wild,
        drawn=rng.choice([0.0, 0.7, 1.0, 1.3]),
        grow_brackets=rng.choice([0.0, 0.6, 1.0, 1.2]),
    )  # fmt: skip


@dataclass
class Inked:
    """Strokes laid down so far, their reach, and what kind of sign came last."""

    strokes: list[Stroke] = field(default_factory=list)
    x: float = 0.0
    top: float = -0.4
    low: float = -0.3

    def put(self, strokes: list[Stroke]) -> None:
        """Add strokes."""
        self.strokes.extend(strokes)
        rows = (strokes[0] if len(strokes) == 1 else np.concatenate(strokes))[:, 1]
        self.top = min(self.top, float(rows.min()))
        self.low = max(self.low, float(rows.max()))

    def reach(self) -> None:
        """Find top and foot anew."""
        top, low = reach_of(self.strokes)
        self.top, self.low = min(-0.4, top), max(-0.3, low)

    def right(self) -> float:
        """Return how far right the ink reaches."""
        return max((float(s[:, 0].max()) for s in self.strokes), default=0.0)


def _parted(points: Stroke, lengths: list[int]) -> list[Stroke]:
    """Cut points laid end to end into strokes of these lengths."""
    if len(lengths) == 1:
        return [points]
    out, at = [], 0
    for n in lengths:
        out.append(points[at : at + n])
        at += n
    return out


def _coarse(points: Stroke, lengths: list[int], cell: float) -> Stroke:
    """Return points as a small picture of a sign would keep them: on its cells, corners cut."""
    held = np.round(points / cell) * cell
    soft = held.copy()
    soft[1:-1] = (held[:-2] + 2 * held[1:-1] + held[2:]) / 4
    ends = np.cumsum([0, *lengths])
    for at in (ends[:-1], ends[1:] - 1):
        soft[at] = held[at]
    return soft.astype(np.float32)


def _plain(node: Node) -> bool:
    return (isinstance(node, Sign) and node.text.isalnum()) or isinstance(node, Script)


class Pen:
    """One hand writing one line."""

    def __init__(
        self,
        library: Library,
        hands: list[Hand],
        pool: list[Hand],
        rng: Random,
        forms: dict[str, Maker] | None = None,
        style: Style | None = None,
    ) -> None:
        self.library, self.hands, self.pool, self.rng = library, hands, pool, rng
        self.forms, self.style = forms or {}, style or Style()
        self.manner = manner(rng)
        self.noise = np.random.default_rng(rng.getrandbits(32))
        self.haste: Haste = haste(rng)
        self.rise, self.swell, self.crowded = 0.0, 1.0, 0.0
        self.mark = 0.0
        self.held = (-1.0, 0.0)
        self.last: Stroke | None = None
        self.tail: Stroke | None = None
        self.as_set = bool(hands) and hands[0].kind == "font" and rng.random() < AS_SET
        self.beside: tuple[float, float] | None = None  # of the sign that was drawn last
        self.edge: float | None = None  # where its font has the next sign begin

    def write(self, row: list[Node]) -> list[Stroke]:
        """Return the strokes of a whole line, wandering and sloping as a hand does."""
        ink = Inked()
        self._row(row, ink, 0.0, 1.0, outer=True)
        m = self.manner
        phase = self.rng.uniform(0, 6.3)
        if not ink.strokes:
            return [np.zeros((1, 2), np.float32)]
        if self.rng.random() < 0.09:
            ink.strokes.extend(around(ink.strokes, self.mark, self.rng))
        every = np.concatenate(ink.strokes)
        x, y = every[:, 0], every[:, 1]
        size = np.maximum(0.5, 1 + m.growth * (x - 5))
        rise = m.wander * np.sin(x * 6.3 / m.wander_length + phase) + m.slope * x
        return _parted(np.stack([x, y * size + rise], 1), [len(s) for s in ink.strokes])

    def _row(
        self, row: list[Node], ink: Inked, base: float, size: float, outer: bool = False
    ) -> None:
        before: Node | None = None
        if not ink.strokes:
            self.edge = None
        fitted = Fitted(ink.strokes, self.rng, self.manner.grow_brackets)
        level, whole = base, size
        leant = self._diagonals(row) if self.manner.diagonal else {}
        for at, node in enumerate(row):
            if outer and self.manner.crowd:
                self.crowded = self.manner.crowd * max(0.0, at / len(row) - 0.6) / 0.4
                whole = size * (1 - 0.3 * self.crowded)
            base, size = level, whole
            if at in leant:
                base, size = level + leant[at] * whole, whole * 0.85
            if before is not None:
                ink.x += self._gap(before, node) * size
            count = len(ink.strokes)
            match node:
                case Sign(text=" "):
                    self.tail = self.edge = None
                case Accent(text=text):
                    self._accent(text, ink, size)
                case Mended(row=inner, above=above):
                    self._mended(inner, above, ink, base, size)
                case Positive(text=text):
                    self._positive(text, ink, base, size)
                case Sign(text=text):
                    if outer and text in "=:":
                        self.mark = ink.x
                    self._sign(text, ink, base, size)
                    if text in BRACKETS and fitted.seen(text, count, size):
                        ink.reach()
                case Script(row=inner, up=up):
                    self._script(inner, up, ink, base, size, before)
                case Stack():
                    self._stack(node, ink, base, size)
                case Root(row=inner):
                    self._root(inner, ink, base, size)
                case Struck(row=inner):
                    self._struck(inner, ink, base, size)
                case Circled(text=text):
                    self._circled(text, ink, base, size)
            if not isinstance(node, Sign | Accent):
                self.edge = None
            if len(ink.strokes) > count and not isinstance(node, Script | Accent):
                self.held = reach_of(ink.strokes[count:])
            before = node

    def _gap(self, left: Node, right: Node) -> float:
        m, rng = self.manner, self.rng
        l = left.text if isinstance(left, Sign) else ""  # noqa: E741
        r = right.text if isinstance(right, Sign) else ""
        if " " in (l, r):
            return m.word_gap * rng.uniform(0.35, 0.8) * (1 - 0.5 * self.crowded)
        if isinstance(right, Accent):
            return 0.0
        gap = (0.03 + rng.gauss(m.gap, m.gap_spread)) * (1 - 0.8 * self.crowded)
        if m.tuck and ((l and l in "TPFVYW7") or (r and r in "/J")):
            if isinstance(right, Script) and not right.up:
                return gap - m.tuck * rng.uniform(0.3, 1.0)
            if r and (r in LOWER or r in ".,/J"):
                return gap - 0.6 * m.tuck * rng.uniform(0.2, 1.0)
        if l in _BINARY or r in _BINARY:
            gap += m.operator_gap * rng.uniform(0.5, 1.3)
        elif (r and r in ".,·:") or (l and l in ".,·:"):
            gap = max(gap * 0.7, rng.uniform(0.0, 0.17))
        elif isinstance(right, Script) or r in "'°":
            gap = gap * 0.6
        elif isinstance(left, Stack) or isinstance(right, Stack):
            gap += rng.uniform(0, 0.25)
        return max(gap, -0.08)

    def _diagonals(self, row: list[Node]) -> dict[int, float]:
        """Return how far signs beside a slash stand above or below the line, by their places."""
        out: dict[int, float] = {}
        for at, node in enumerate(row):
            if isinstance(node, Sign) and node.text == "/":
                rise = self.manner.diagonal * self.rng.uniform(0.5, 1.2)
                for step in (-1, 1):
                    k = at + step
                    while 0 <= k < len(row) and abs(k - at) < 4 and _plain(row[k]):
                        out[k] = step * rise - 0.04
                        k += step
        return out

    def _size(self, sign: str) -> float:
        m = self.manner
        if sign in DIGITS:
            base = m.digits
        elif sign in UPPER:
            base = m.caps
        elif sign in LOWER:
            base = m.small
        elif sign in "+-=×÷<>≈≠±→←⇒":
            base = m.operators
        elif sign in "()[]|/":
            base = (m.operators + 2) / 3
        else:
            base = m.marks
        if m.drift:
            self.swell += self.rng.gauss(0, m.drift) - 0.12 * (self.swell - 1)
            self.rise += self.rng.gauss(0, m.drift) - 0.1 * self.rise
        return base * max(0.5, self.swell) * float(np.exp(self.rng.gauss(0, m.size_jitter)))

    def _strokes(self, sign: str) -> list[Stroke]:
        self.beside = None
        form = self.forms.get(sign)
        if form is not None and self.rng.random() < 0.93:
            return form(self.rng)
        maker = MAKERS.get(sign)
        if maker is not None and self.rng.random() < maker[0] * self.manner.drawn:
            return maker[1](self.rng)
        first = self.style.lender(sign, len(self.hands)) if self.style.strange else 0
        every = [*self.hands[first:], *self.hands[:first], *self.pool]
        for at, hand in enumerate(every):
            if hand.glyphs.get(sign):
                index = self.rng.choice(hand.glyphs[sign])
                mixed = self._toward(sign, index, every[at + 1 :]) if self.style.toward else None
                if mixed is not None:
                    return mixed
                if at == 0 and self.as_set:
                    self.beside = self.library.beside(index)
                points, lengths = self.library.glyph(index)
                return _parted(points, lengths.tolist())
        if maker is not None:
            return maker[1](self.rng)
        return self._built(sign)

    def _toward(self, sign: str, index: int, others: list[Hand]) -> list[Stroke] | None:
        """Return a glyph part of the way to another writer's, where there is anything between."""
        share = self.style.toward * self.rng.uniform(0.7, 1.1)
        for hand in others[:4]:
            if hand.glyphs.get(sign):
                other = self.rng.choice(hand.glyphs[sign])
                mixed = between(self._even(index), self._even(other), share)
                if mixed is not None:
                    return mixed
        return None

    def _even(self, index: int) -> Stroke:
        held = self.library.even.get(index)
        if held is None:
            points, lengths = self.library.glyph(index)
            held = even_strokes(_parted(points, lengths.tolist()))
            self.library.even[index] = held
        return held

    def _built(self, sign: str) -> list[Stroke]:
        if sign == "½":
            small = self.rng.uniform(0.45, 0.65)
            one = [s * small for s in self._strokes("1")]
            two = [s * small for s in self._strokes("2")]
            if self.rng.random() < 0.5:
                bar = line(0, -0.42, 0.45, -0.42, self.rng)
                one = [s + np.array([0.12, -0.5], np.float32) for s in one]
                return [*one, bar, *[s + np.array([0.02, 0.18], np.float32) for s in two]]
            bar = line(0.7, -1.0, 0.2, 0.05, self.rng)
            return [
                *[s + np.array([0, -0.45], np.float32) for s in one],
                bar,
                *[s + np.array([0.5, 0.05], np.float32) for s in two],
            ]
        return [line(0, -0.4, 0.3, -0.4, self.rng)]

    def _bent(self, strokes: list[Stroke], sx: float, sy: float) -> list[Stroke]:
        """Scale, lean, turn and warp one glyph about its own middle."""
        m, rng = self.manner, self.rng
        every = np.concatenate(strokes)
        turn = rng.gauss(0, m.turn_jitter)
        lean = m.slant + rng.gauss(0, 0.04)
        c, s = np.cos(turn), np.sin(turn)
        middle = (every.max(axis=0) + every.min(axis=0)) / 2
        shape = np.array([[c, -s], [s, c]]) @ np.array([[1, -lean], [0, 1]])
        if m.coarse:
            every = _coarse(every, [len(p) for p in strokes], m.coarse)
        out = (every - middle) @ shape.T.astype(np.float32)
        if m.warp:
            f = rng.uniform(2, 6)
            a, b = rng.uniform(0, 6.3), rng.uniform(0, 6.3)
            out = out + m.warp * np.stack([np.sin(f * out[:, 1] + a), np.sin(f * out[:, 0] + b)], 1)
        out = (out + middle + np.array([lean * -middle[1], 0], np.float32)) * np.array(
            [sx, sy], np.float32
        )
        return _parted(out.astype(np.float32), [len(p) for p in strokes])

    def _sign(self, sign: str, ink: Inked, base: float, size: float) -> None:
        scale = self._size(sign) * size
        aspect = self.manner.aspect * float(np.exp(self.rng.gauss(0, 0.07)))
        drawn = own(sign, self._strokes(sign), self.style, self.rng)
        drawn = hurried(sign, drawn, self.haste, self.rng)
        if self.haste.tails and sign.isalpha() and self.beside is None:
            drawn = tailed(sign, drawn, self.haste.tails, self.rng)
        strokes = self._bent(drawn, scale * aspect, scale)
        if self.beside is not None and self.edge is not None and sign.isalnum():
            ink.x = self.edge + self.beside[0] * scale * aspect
        rise = self.rise * size + self.rng.gauss(0, self.manner.rise_jitter) * size
        moved = self._down(strokes, ink, base + rise)
        joins = self.beside is not None and sign.isalnum()
        self.edge = ink.x + self.beside[1] * scale * aspect if joins and self.beside else None
        if self.haste.linking and sign.isalnum() and not joins:
            first, last = ends(sign, moved)
            if self.tail is not None and self.rng.random() < self.haste.linking:
                joint = link(self.tail, first, self.rng, self.haste.reach)
                if joint is not None:
                    ink.put([joint])
            self.tail = last
        else:
            self.tail = None

    def _down(self, strokes: list[Stroke], ink: Inked, base: float) -> list[Stroke]:
        every = strokes[0] if len(strokes) == 1 else np.concatenate(strokes)
        columns = every[:, 0]
        left, right = float(columns.min()), float(columns.max())
        moved = every + np.array([ink.x - left, base], np.float32)
        parts = _parted(moved, [len(s) for s in strokes])
        ink.put(parts)
        ink.x += right - left
        self.last = moved
        return parts

    def _accent(self, text: str, ink: Inked, size: float) -> None:
        """Draw dots or a dash over the letter before."""
        rng = self.rng
        if self.last is None:
            return
        low, high = self.last.min(axis=0), self.last.max(axis=0)
        x = float(low[0] + high[0]) / 2 + rng.gauss(0, 0.06) * size
        y = float(low[1]) - rng.uniform(0.06, 0.25) * size
        w = rng.uniform(0.08, 0.2) * size
        if text == "¨":
            tall = rng.choice([0.0, rng.uniform(0.05, 0.2)]) * size
            ink.put([line(x + k * w, y - tall, x + k * w + 0.004, y, rng) for k in (-1, 1)])
        elif text == "~":
            ink.put([line(x - w, y + 0.03, x + w, y - 0.03, rng, 0.15)])
        else:
            up = -1 if text == "´" else 1
            ink.put([line(x - w / 2, y - up * w * 0.6, x + w / 2, y + up * w * 0.6, rng)])

    def _mended(
        self, row: list[Node], above: list[Node], ink: Inked, base: float, size: float
    ) -> None:
        """Strike a part out and write another over it."""
        start = ink.x
        count = len(ink.strokes)
        self._struck(row, ink, base, size)
        held = np.concatenate(ink.strokes[count:])
        part = Inked()
        self._row(above, part, 0.0, size * self.rng.uniform(0.6, 0.9))
        if not part.strokes:
            return
        dy = float(held[:, 1].min()) - self.rng.uniform(0.03, 0.2) * size - part.low
        dx = start + self.rng.uniform(-0.05, 0.35) * (ink.x - start)
        ink.put([s + np.array([dx, dy], np.float32) for s in part.strokes])
        ink.x = max(ink.x, dx + part.right())

    def _positive(self, text: str, ink: Inked, base: float, size: float) -> None:
        """Write an arrow with a small plus over it, or within its turn."""
        rng = self.rng
        self._sign(text, ink, base, size * (1.25 if text in "↺↻" else 1.0))
        if self.last is None:
            return
        low, high = self.last.min(axis=0), self.last.max(axis=0)
        x, y = float(low[0] + high[0]) / 2, float(low[1] + high[1]) / 2
        arm = rng.uniform(0.1, 0.22) * size
        if text in "→←":
            y = float(low[1]) - rng.uniform(0.1, 0.3) * size - arm / 2
        elif text in "↑↓":
            x = float(high[0]) + rng.uniform(0.1, 0.25) * size + arm / 2
        x += rng.gauss(0, 0.03) * size
        ink.put([line(x - arm, y, x + arm, y, rng), line(x, y - arm, x, y + arm, rng)])
        ink.x = max(ink.x, ink.right())

    def _script(
        self, row: list[Node], up: bool, ink: Inked, base: float, size: float, before: Node | None
    ) -> None:
        m, rng = self.manner, self.rng
        spread = 0.08 + 0.5 * m.uneven
        scale = (m.sup_size if up else m.sub_size) * size * float(np.exp(rng.gauss(0, spread)))
        x = ink.x
        if isinstance(before, Script):
            ink.x = getattr(self, "_script_x", x)
        self._script_x = ink.x
        if (
            before is not None
            and isinstance(before, Sign)
            and before.text == "Σ"
            and rng.random() < 0.4
        ):
            self._limit(row, up, ink, base, size)
            return
        loose = rng.gauss(0, 0.05 + 0.5 * m.uneven * size)
        held = self.held
        if rng.random() < m.anchored and before is not None:
            at = against(held, up, m.sup_lift if up else m.sub_drop, base, size, rng)
            shift = at - base + 0.6 * loose
        else:
            shift = (-m.sup_lift if up else m.sub_drop) * size + loose
        self._row(row, ink, base + shift, scale)
        self.held = held
        ink.x = max(x, ink.x)

    def _limit(self, row: list[Node], up: bool, ink: Inked, base: float, size: float) -> None:
        """Write a sum's limit above or below the sign."""
        apart = Inked()
        self._row(row, apart, 0.0, 0.5 * size)
        dy = base + (-1.35 - apart.low if up else 0.25 - apart.top) * size
        dx = ink.x - 0.4 * size - apart.right() / 2
        ink.put([s + np.array([dx, dy], np.float32) for s in apart.strokes])

    def _stack(self, node: Stack, ink: Inked, base: float, size: float) -> None:
        m, rng = self.manner, self.rng
        scale = size * m.stack_size ** (1.0 if size > 0.9 else rng.uniform(0.3, 1.0))
        top, low = Inked(), Inked()
        for part, inner in ((top, node.top), (low, node.low)):
            self._row(inner, part, 0.0, scale * float(np.exp(rng.gauss(0, m.uneven))))
        wide = max(top.right(), low.right())
        over = m.bar_over * size
        bar = max(0.25 * size, wide + over * rng.uniform(0.5, 2.0))
        y = base - (m.bar_height + rng.gauss(0, m.uneven)) * size
        left = ink.x
        ends = rng.gauss(0, 0.02) * bar
        ink.put([line(left, y - ends, left + bar, y + ends, rng, 0.02)])
        for part, up in ((top, True), (low, False)):
            gap = m.stack_gap * size * rng.uniform(0.6, 1.5)
            dy = y - gap - part.low if up else y + gap - part.top
            slack = bar - part.right()
            dx = left + slack * min(1.1, max(-0.1, rng.gauss(0.5, 0.14)))
            ink.put([s + np.array([dx, dy], np.float32) for s in part.strokes])
        ink.x = max(left + bar, ink.right())

    def _root(self, row: list[Node], ink: Inked, base: float, size: float) -> None:
        rng = self.rng
        inner = Inked()
        self._row(row, inner, 0.0, size * rng.uniform(0.8, 1.0))
        top = inner.top - rng.uniform(0.05, 0.35) * size
        low = max(inner.low, 0.0) + rng.uniform(-0.05, 0.15) * size
        hook = rng.uniform(0.25, 0.6) * size
        left = ink.x
        knee = left + hook * rng.uniform(0.25, 0.5)
        x1 = left + hook
        end = x1 + inner.right() + rng.uniform(-0.1, 0.35) * size
        mid = low - (low - top) * rng.uniform(0.25, 0.55)
        path = np.array(
            [(left, mid + 0.08 * size), (left + 0.08 * size, mid), (knee, low), (x1, top)],
            np.float32,
        )
        bar = line(x1, top, end, top + rng.gauss(0, 0.05) * size, rng, 0.02)
        lift = np.array([0, base], np.float32)
        joined = (
            [np.concatenate([path, bar]) + lift]
            if rng.random() < 0.7
            else [path + lift, bar + lift]
        )
        if rng.random() < 0.15:
            end_tick = np.array(
                [bar[-1], bar[-1] + np.array([0.02, 0.2 * size], np.float32)], np.float32
            )
            joined.append(end_tick + lift)
        ink.put(joined)
        dx = x1 + rng.uniform(0.0, 0.12) * size
        ink.put([s + np.array([dx, base], np.float32) for s in inner.strokes])
        ink.x = max(end, dx + inner.right())

    def _struck(self, row: list[Node], ink: Inked, base: float, size: float) -> None:
        rng = self.rng
        part = Inked()
        self._row(row, part, 0.0, size)
        w, top, low = max(part.right(), 0.2), part.top, part.low
        h = max(low - top, 0.3)
        style = rng.random()
        strokes: list[Stroke] = []
        if style < 0.45:
            for _ in range(rng.randint(1, 3)):
                y = top + h * rng.uniform(0.3, 0.7)
                strokes.append(line(-0.1, y, w + 0.1, y + rng.gauss(0, 0.12), rng))
        elif style < 0.7:
            count = max(4, int(w * rng.uniform(3, 8)))
            t = np.linspace(0, 1, count * 2, dtype=np.float32)
            zig = np.where(np.arange(count * 2) % 2, low, top) + self.noise.normal(
                0, 0.08, count * 2
            )
            strokes.append(np.stack([t * w, zig], 1).astype(np.float32))
        elif style < 0.85:
            strokes.append(line(-0.05, low, w + 0.05, top, rng))
            if rng.random() < 0.7:
                strokes.append(line(-0.05, top, w + 0.05, low, rng))
        else:
            turns = max(2, int(w * rng.uniform(2, 4)))
            t = np.linspace(0, 1, turns * 12, dtype=np.float32)
            a = t * turns * 6.28
            strokes.append(
                np.stack([t * w + 0.25 * np.cos(a), (top + low) / 2 + h * 0.45 * np.sin(a)], 1)
            )
        dx = np.array([ink.x, base], np.float32)
        ink.put([s + dx for s in [*part.strokes, *strokes]])
        ink.x += w

    def _circled(self, text: str, ink: Inked, base: float, size: float) -> None:
        rng = self.rng
        part = Inked()
        self._row([Sign(text)], part, 0.0, size * rng.uniform(0.6, 0.95))
        w, h = part.right(), part.low - part.top
        r = max(w, h) * rng.uniform(0.62, 0.95)
        start = rng.uniform(0, 360)
        ring = arc(w / 2, (part.top + part.low) / 2, r, start, start + rng.uniform(320, 400),
                   rng.uniform(0.8, 1.2))  # fmt: skip
        left = float(ring[:, 0].min())
        dx = np.array([ink.x - left, base], np.float32)
        ink.put([s + dx for s in [*part.strokes, ring]])
        ink.x += float(ring[:, 0].max()) - left

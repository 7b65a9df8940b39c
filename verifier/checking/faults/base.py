"""What every fault kind is made of, and what it sees of a term at odds with statics."""

import math
import re
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from itertools import combinations_with_replacement

from verifier.checking.figure import Figure
from verifier.checking.forms import Factor, Term
from verifier.checking.items import in_words
from verifier.checking.sums import Contribution, Expected
from verifier.notation.tree import Add, Expr, Func, Mul, Name, Num, Relation, Span

RATIO_NOISE = 2e-3
SIZE_NOISE = 1e-3
FOUND_NOISE = 6e-3
_MOST_FACTORS = 6
_MOST_LETTERS = 4
_NOTHING = 1e-12
"""What is smaller is zero but for the last bits of floats."""


@dataclass(frozen=True)
class Example:
    """A right line, the same line with the fault, and why it is one."""

    right: str
    wrong: str
    why: str


@dataclass(frozen=True)
class Explanation:
    """Why a written term is at odds: `cost` says how far-fetched (1 is a plain slip).

    `span` is the place to point at, `expected` what should stand there, `key` tells repeats of the
    same slip from fresh ones. `angle` is the angle that should have been taken, in degrees.
    """

    kind: str
    span: Span
    expected: str
    message: str
    cost: float
    key: str = ""
    angle: float | None = None
    slip: str = ""


@dataclass(frozen=True)
class Plant:
    """A right line made wrong: its new text and the columns of the planted term in it."""

    text: str
    columns: Span


@dataclass(frozen=True)
class Pair:
    """A written term beside what statics expects of it.

    `ratio` is written over expected, common factor and senses taken out; `slack` the relative
    width that rounding leaves it. `text` is the line as written, `called` the writer's own name of
    the force, '' where it has none, `scale` the line's common factor.
    """

    term: Term
    contribution: Contribution
    expected: Expected
    ratio: float
    slack: float
    text: str
    figure: Figure
    positive: str = ""
    called: str = ""
    scale: float = 1.0

    def near(self, ratio: float, more: float = 0.0) -> bool:
        """Tell whether the pair's ratio is a given one, within rounding and `more` of its own."""
        return abs(self.ratio - ratio) <= (self.slack + self.noise + more) * abs(ratio)

    @property
    def noise(self) -> float:
        """How far a right term's ratio may be off: a value found goes in rounded, or unrounded."""
        given = self.contribution.variable or self.contribution.action.kind in ("load", "couple")
        return RATIO_NOISE if given else FOUND_NOISE

    @property
    def words(self) -> str:
        """What reports call the force: as its writer does, where it has a name."""
        action = self.contribution.action
        return self.called or in_words(action)

    @property
    def couple(self) -> bool:
        """Whether the force is a couple."""
        return self.contribution.action.along == (0.0, 0.0)

    @property
    def written(self) -> str:
        """The term as written."""
        return self.text[self.term.span[0] : self.term.span[1]]

    def numbers(self) -> Iterator[Factor]:
        """Yield the term's factors that are plain numbers or known lengths, not trigonometry."""
        for factor in self.term.factors:
            if (
                isinstance(factor.expr, Num | Name | Add)
                and factor.expr.span[0] < factor.expr.span[1]
            ):
                yield factor

    def size_splits(self, size: float) -> list[tuple[tuple[Factor, ...], tuple[Factor, ...]]]:
        """Return the shortest ways to split the factors into a part worth `size` and the rest."""
        factors = [f for f in self.term.factors if f.quantity.centre][:_MOST_FACTORS]
        given = self.contribution.action.kind in ("load", "couple")
        noise = SIZE_NOISE if given else FOUND_NOISE
        found = []
        for mask in range(1, 2 ** len(factors)):
            part = tuple(f for i, f in enumerate(factors) if mask >> i & 1)
            product = math.prod(abs(f.effect.centre) for f in part)
            if abs(product - abs(size)) <= noise * abs(size):
                found.append((part, tuple(f for f in factors if f not in part)))
        fewest = min((len(part) for part, _ in found), default=0)
        return [split for split in found if len(split[0]) == fewest]

    def beside_load(self, factor: Factor, part: tuple[Factor, ...]) -> bool:
        """Tell whether a number is written straight in front of the load's letter: the 6 of 6P."""
        ends = factor.expr.span[1]
        return isinstance(factor.expr, Num) and any(
            isinstance(f.expr, Name) and f.expr.span[0] == ends for f in part
        )

    @property
    def worked_out(self) -> bool:
        """Whether a known force's term in a moment sum is one number: its product worked out."""
        arm = abs(self.scale * self.contribution.amount) / (self.load_size or math.inf)
        return (
            self.expected.moment
            and not self.couple
            and len(self.term.factors) == 1
            and isinstance(self.term.factors[0].expr, Num)
            and abs(arm) > 0
            and abs(arm - 1) > RATIO_NOISE
        )

    def beside_length(self, factor: Factor, part: tuple[Factor, ...]) -> bool:
        """Tell whether a number stands in front of another letter than the load's: the 2 of 2a."""
        ends = factor.expr.span[1]
        return isinstance(factor.expr, Num) and any(
            isinstance(f.expr, Name) and f.expr.span[0] == ends and f not in part
            for f in self.term.factors
        )

    def own_arm(self, length: float) -> bool:
        """Tell whether a length is the force's own arm, whole or of one of its components."""
        about, action = self.expected.axis.about, self.contribution.action
        if about is None:
            return False
        size = self.load_size or 1.0
        arms = [abs(self.contribution.amount) / size, abs(action.moment(about))]
        arms += [abs(action.at[0] - about[0]), abs(action.at[1] - about[1])]
        return any(abs(arm - abs(length)) <= 2 * RATIO_NOISE * arm for arm in arms if arm)

    @property
    def is_one_component(self) -> bool:
        """Whether the term is one component of a force with its own arm, and no more."""
        about, action = self.expected.axis.about, self.contribution.action
        if about is None or not all(action.along):
            return False
        (x, y), whole = action.at, action.moment(about)
        parts = (x - about[0]) * action.along[1], (about[1] - y) * action.along[0]
        return bool(whole) and any(self.near(part / whole) for part in parts if part)

    @property
    def load_size(self) -> float | None:
        """The size of the known force, or None for an unknown one."""
        value = self.contribution.action.value
        return None if value is None or not value else abs(value)

    def share_in(self, factor: Factor) -> float | None:
        """Return the force's own sine or cosine that a number is, or is over a denominator."""
        along = self.contribution.action.along
        shares = (abs(along[0]), abs(along[1]))
        if min(shares) < 1e-6 and 1e-3 < max(shares) < 1 - 1e-6:  # a component taken apart
            shares = (max(shares), math.sqrt(1 - max(shares) ** 2))
        if min(shares) < 1e-6:
            return None
        value = abs(factor.quantity.centre)
        below = [f.quantity.centre for f in self.term.factors if f.power < 0]
        for bottom in (*below, 1.0):  # 0.95/3.147 is no 0.95
            for share in shares:
                if bottom and abs(value / abs(bottom) - share) <= 5e-3 * share:
                    return share
        return None

    @property
    def other_share(self) -> bool:
        """Whether the term is right once a number is taken for the force's other component."""
        for factor in self.numbers():
            share = self.share_in(factor)
            other = math.sqrt(max(0.0, 1 - share * share)) if share else 0.0
            if share and other > 1e-3 and self.near(share / other):
                return True
        return False

    def turns(self) -> Iterator[Factor]:
        """Yield the term's factors that are sines, cosines or tangents."""
        for factor in self.term.factors:
            if isinstance(factor.expr, Func) and factor.expr.name in ("sin", "cos", "tan"):
                yield factor

    def with_replaced(self, factor: Factor, new: str) -> str:
        """Return the term as written with one factor written anew."""
        start, end = self.term.span
        a, b = factor.expr.span
        if not (start <= a and b <= end):
            return f"{self.written} with {new}"
        times = "·" if self.text[a - 1 : a].isalnum() and start < a and new[:1].isdigit() else ""
        return f"{self.text[start:a]}{times}{new}{self.text[b:end]}".strip()


KindOf = Callable[[Pair], Explanation | None]
Planter = Callable[[Relation, str, bool, Figure], Plant | None]


@dataclass(frozen=True)
class FaultKind:
    """One kind of fault: what it is in words, how it is recognised in a pair, how it is planted.

    `recognise` is None for kinds that are found elsewhere than in a pair of terms; `plant` is None
    where a line alone does not say how.
    """

    kind: str
    summary: str
    about: str
    examples: tuple[Example, ...]
    recognise: KindOf | None = None
    plant: Planter | None = None


_TURNED = {"sin": "cos", "cos": "sin"}
_SENO = re.compile(r"(?<![^\W\d_])sen(?![^\W\d_])")
_WRITTEN = re.compile(r"(\\?)(?:sin|cos|tan|sen|tg)")


def with_function(text: str, func: Func, name: str = "") -> str:
    """Return a function as written with another name, sine for cosine where none is told."""
    written = text[func.span[0] : func.span[1]]
    new = name or _TURNED[func.name]
    new = "sen" if new == "sin" and _SENO.search(text) else new
    return _WRITTEN.sub(lambda match: match[1] + new, written, count=1)


def tidy(number: float) -> str:
    """Return a number as a person writes it: up to four significant figures."""
    if abs(number) < _NOTHING or not math.isfinite(number):
        return f"{0.0 if abs(number) < _NOTHING else number:g}"
    rounded = float(f"{number:.4g}")
    if abs(rounded) >= 1e4:
        return f"{number:.0f}"
    return f"{rounded:g}".replace("-", "−")


def say(figure: Figure, number: float) -> str:
    """Return a number as a person writes it; on a figure with letters, in its letters."""
    letters = figure.structure.letters
    if not letters or number == 0:
        return tidy(number)
    for (above, below), size in _products(tuple(sorted(letters.items(), key=_loads_first))):
        ratio = number / size
        deep = len(above) > 2 or bool(below)
        share = Fraction(ratio).limit_denominator(24 if deep else 48)
        if share and abs(ratio - float(share)) <= (1e-9 if deep else 1e-6) * abs(ratio):
            return _in_letters(share, above, below)
    name = next(iter(sorted(letters, key=lambda one: _loads_first((one, 0.0)))))
    return f"{tidy(number / letters[name])}{name}"


def length(figure: Figure, number: float, unit: str = "") -> str:
    """Return a length with its unit, the sheet's where none is told; in letters it has none."""
    said = say(figure, number)
    lettered = any(sign.isalpha() for sign in said)
    return said if lettered else f"{said} {unit or figure.structure.length_unit}"


def _loads_first(letter: tuple[str, float]) -> tuple[bool, str]:
    return letter[0][:1] not in "PFWQMqwp", letter[0]


@cache
def _products(
    letters: tuple[tuple[str, float], ...],
) -> list[tuple[tuple[tuple[str, ...], tuple[str, ...]], float]]:
    """Return products of up to three letters, over none or one or two, the plainest first."""
    sizes, names = dict(letters), [name for name, _ in letters][:_MOST_LETTERS]
    found = []
    for below_count in range(3):
        for above_count in range(4):
            for above in combinations_with_replacement(names, above_count):
                for below in combinations_with_replacement(names, below_count):
                    if not set(above) & set(below):
                        size = math.prod(sizes[n] for n in above)
                        size /= math.prod(sizes[n] for n in below)
                        found.append(((above, below), size))
    return found


def _in_letters(share: Fraction, above: tuple[str, ...], below: tuple[str, ...]) -> str:
    top, bottom = abs(share.numerator), share.denominator
    text = _powers(above)
    lead = f"{top}{text}" if top != 1 or not text else text
    under = (str(bottom) if bottom > 1 else "") + _powers(below)
    if len(under) > 1 and below and not under.isdigit() and not under.isalpha():
        under = f"({under})"
    return ("−" if share < 0 else "") + lead + (f"/{under}" if under else "")


def _powers(names: tuple[str, ...]) -> str:
    marks = {1: "", 2: "²", 3: "³"}
    return "".join(f"{name}{marks[times]}" for name, times in Counter(names).items())


def factors_of(expr: Expr) -> tuple[Expr, ...]:
    """Return the factors of a product, or the expression itself."""
    return expr.factors if isinstance(expr, Mul) else (expr,)

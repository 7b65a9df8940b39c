"""What one pass over a working holds, and what all its steps share."""

import math
import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from verifier import units
from verifier.checking import derived
from verifier.checking.context import Context, Surroundings
from verifier.checking.faults import Explanation
from verifier.checking.faults.base import say
from verifier.checking.figure import SENSES, Figure
from verifier.checking.forms import Form, NotLinear, Reader
from verifier.checking.ledger import Found, Ledger
from verifier.checking.names import Dictionary, Local, Unknown
from verifier.checking.pairing import Pairing
from verifier.checking.quantity import ZERO, Quantity
from verifier.checking.resultants import Resultants
from verifier.checking.rounded_angles import turned
from verifier.checking.running import Run
from verifier.checking.sums import Expected, Fit, fit
from verifier.checking.tallies import Tally
from verifier.checking.vectors import Vectors
from verifier.checking.worked_above import WorkedAbove
from verifier.findings import Certainty, Finding, Status, begun
from verifier.notation.tree import (
    Expr,
    Mark,
    Name,
    Num,
    Span,
)

_WORST: tuple[Status, ...] = (
    "fault", "doubtful", "undecided", "unread", "carried", "agrees", "remark",
)  # fmt: skip
_DEAREST = 3.0
_UNCLEAR = 1.4
"""What a line that differs from every sum in more than one thing costs more than an open one: so
much that a pass under which one slip explains it is taken before."""
_SHORT_ANGLES = 1.1
"""A short number is taken as exact: cos 3.9° where the figure has 3.9007° adds a hair."""
_NAMED = re.compile(r"[^\W\d_]_?(?:[xyhvXYHV\d]|[A-Z]\d?)?")  # T_A: a force by its looks
_SAID_ON = re.compile(
    r"\b(?:on|auf|am|sur|sul|sulla|sobre|na|op)\s(?:the |den |die |das |dem |la |le |el |il |het )?"
    r"(?P<body>[^\W\d_]\w*)(?=\s[^.;]*$)",
    re.IGNORECASE,
)
_WAYS = re.compile(r"(?:left|right|links|rechts|gauche|droite|[A-Z]\d?'?)", re.IGNORECASE)
LONE = re.compile(r"[^\W\d_]_?[xyhvXYHV\d]?")  # R, N1, R_x: a name of the writer's own


@dataclass
class Judged:
    """What one pass says of one line."""

    status: Status = "remark"
    notes: list[str] = field(default_factory=list)

    def worsen(self, status: Status) -> None:
        """Take on a status where it weighs more than the line's own."""
        if _WORST.index(status) < _WORST.index(self.status):
            self.status = status


@dataclass(frozen=True)
class Slip:
    """A fault or remark before it becomes a finding: `key` tells repeats."""

    line: int
    explanation: Explanation
    where: str
    certainty: Certainty = "proved"
    remark: bool = False


@dataclass
class Outcome:
    """All that one pass found."""

    lines: dict[int, Judged]
    slips: list[Slip]
    ledger: Ledger
    stated: dict[str, Found]
    called: dict[str, str]
    loose: set[str]
    repeated: set[int] = field(default_factory=set)
    borrowed: set[int] = field(default_factory=set)
    astray: set[int] = field(default_factory=set)
    unclear: set[int] = field(default_factory=set)
    doubted: dict[str, tuple[float, bool]] = field(default_factory=dict)
    nameless: float = 12.5
    against_drawing: float = 0.0
    rounded: set[str] = field(default_factory=set)
    places: dict[str, tuple[int, Span]] = field(default_factory=dict)
    cut: bool = False  # given up on the way: it costs at least what it says

    def copied(self, ledger: Ledger) -> "Outcome":
        """Return what was found so far, apart from what is found from here on."""
        return replace(
            self,
            lines={n: Judged(one.status, list(one.notes)) for n, one in self.lines.items()},
            slips=list(self.slips),
            ledger=ledger,
            stated=dict(self.stated),
            called=dict(self.called),
            loose=set(self.loose),
            repeated=set(self.repeated),
            borrowed=set(self.borrowed),
            astray=set(self.astray),
            unclear=set(self.unclear),
            doubted=dict(self.doubted),
        )

    @property
    def first_fault(self) -> int:
        """The first line with a fault, a large number where there is none."""
        return min((s.line for s in self.slips if not s.remark), default=10**9)

    @property
    def beside(self) -> int:
        """How many slips stand beside another one in their line."""
        faulty = {(s.line, s.explanation.key) for s in self.slips if not s.remark}
        return len(faulty) - len({line for line, _ in faulty})

    @property
    def first_open(self) -> int:
        """The first line that is undecided, a large number where there is none."""
        return min((n for n, j in self.lines.items() if j.status == "undecided"), default=10**9)

    @property
    def cost(self) -> float:
        """How badly the pass went: fewer faults are better, then likelier ones."""
        return self.cost_before(math.inf)

    def cost_before(self, end: float) -> float:
        """How badly the pass went in the lines before one."""
        slips = [slip for slip in self.slips if not slip.remark and slip.line < end]
        counts = Counter(judged.status for n, judged in self.lines.items() if n < end)
        nameless = counts["undecided"] and any(map(_NAMED.fullmatch, self.loose))
        return (
            10.0 * counts["fault"]
            + 0.5 * sum(min(slip.explanation.cost, _DEAREST) for slip in slips)
            + (self.nameless if nameless else 9.5) * counts["undecided"]
            + 3.0 * sum(1 for n in self.repeated if n < end)
            + 2.0 * sum(1 for n in self.borrowed if n < end)
            + 1.0 * sum(1 for n in self.astray if n < end)
            + _UNCLEAR * sum(1 for n in self.unclear if n < end)
        )


class State:
    """The state of one pass: `senses` and `aliases` are fixed for it."""

    def __init__(
        self,
        figure: Figure,
        names: Dictionary,
        surroundings: Surroundings,
        *,
        senses: dict[str, float] | None = None,
        aliases: dict[str, tuple[str, float]] | None = None,
        distrust: dict[str, float] | None = None,
        plain: float = 1.0,
        long: float = 1.0,
        also: Sequence[tuple[float, float]] = (),
    ) -> None:
        self.figure = figure
        self.names = names
        self.around = surroundings
        self.ledger = Ledger()
        self.reader = Reader(figure, names, self.ledger)
        self.reader.senses = senses or {}
        self.reader.aliases = dict(aliases or {})
        self.reader.plain = plain
        self.long = long
        self.also = also
        sheet = figure.structure
        self.reader.force_scale = units.FORCE[sheet.force_unit]
        self.reader.length_scale = units.LENGTH[sheet.length_unit]
        self.distrust = distrust or {}
        self.pairing = Pairing(figure, self.ledger, surroundings.explained)
        self.resultants = Resultants(figure)
        self.worked = WorkedAbove()
        self.vectors = Vectors(self.reader)
        self.context = Context()
        self.line = 0
        self.text = ""
        self.place = 0
        self.texts: dict[int, str] = {}
        self.out = Outcome({}, [], self.ledger, {}, {}, set())
        self.judged = Judged()
        self.alone = False
        self.dims: dict[str, tuple[tuple[int, int], str]] = {}
        self.explains = True
        self.symmetric = False
        self.kilos = sheet.force_unit == "kgf"  # forces in kg are kilograms-force
        self.sizes = False
        self.said: frozenset[str] = frozenset()
        self.forces: frozenset[str] = frozenset()
        self.pushing: frozenset[str] = frozenset()
        self.signed = False
        self.blames = False
        self.unread = False
        self.withdrawn: frozenset[int] = frozenset()
        self.claimed = False
        self.settled: dict[str, int] = {}
        self.subject = ""
        self.drawn: set[str] = set()
        self.drawn_on: dict[str, str] = {}
        self.angles: Mapping[float, float] = {}
        self.last_side: Expr | None = None
        self.force_read = plain
        self.ended = (0, 0, "")
        self.forms: list[tuple[int, Form]] = []
        self.seen_keys: dict[str, Slip] = {}
        self.running: list[Run] = []
        self.tallies: list[Tally] = []
        self.products: list[Tally] = []
        self.turned_back: dict[str, Slip] = {}

    def _form(self, expr: Expr) -> Form | None:
        try:
            return self.reader.form(expr)
        except NotLinear as problem:
            self.judged.notes.append(problem.why)
            return None

    def _fits(
        self, form: Form, sums: Iterable[Expected], failed: set[int] | None = None
    ) -> Fit | None:
        """Return how a line says one of some sums; those that it does not say go into `failed`."""
        tried: list[Expected] = []
        lent: Fit | None = None  # with a value that the working has otherwise: no other sum fits
        for expected in sums:
            if failed is not None:
                if id(expected) in failed:
                    continue
                failed.add(id(expected))
            found = fit(form, expected, self.ledger, self.figure.true)
            if found is not None and (not found.unfound or found.carried or self._true(form)):
                if not found.borrowed:
                    return found
                lent = lent or found
            tried.append(expected)
        if lent is not None:
            return lent
        for expected in tried if self.angles else ():
            rounded = turned(expected, self.angles)
            if rounded is not None:
                found = fit(form, rounded, self.ledger, self.figure.true)
                if found is not None and not found.unfound:
                    return found
        return None

    def _value(self, variable: str) -> float:
        found = self.ledger.values.get(variable)
        if found is not None:
            return found.quantity.centre
        row = self.ledger.rows.get(variable)
        return row.constant if row is not None else self.figure.true.get(variable, 0.0)

    def _true(self, form: Form) -> bool:
        """Tell whether a line holds at the true values of its forces."""
        total, largest = form.constant, form.size
        for name, quantity in form.coefficients.items():
            if name not in self.figure.true:
                return False
            part = quantity.scaled(self.figure.true[name])
            total, largest = total.plus(part), max(largest, abs(part.centre))
        return abs(total.centre) <= _SHORT_ANGLES * total.radius + 1e-8 * max(largest, 1e-12)

    def _bare(self, expr: Expr) -> Span:
        expr = derived.bare_number(expr)
        if isinstance(expr, Num) and expr.text and self.text[expr.span[0] :].startswith(expr.text):
            return (expr.span[0], expr.span[0] + len(expr.text))
        return expr.span

    def _written(self, expr: Expr) -> str:
        return self.text[expr.span[0] : expr.span[1]].strip() or "this"

    def _is_force(self, name: Name) -> bool:
        meaning = self.reader.meaning(name)
        if isinstance(meaning, Local):
            return meaning.key not in self.ledger.locals
        return isinstance(meaning, Unknown)

    def _on(self) -> str:
        """Return the rigid body that the lines are about, '' where it is none or several.

        Words before a name tell another: `Hence on the beam D_x = 3 kN to the left`.
        """
        said = [*_SAID_ON.finditer(self.text[: self.place])]
        if said and not _WAYS.fullmatch(said[-1]["body"]):
            called = {b.name.lower(): b.name for b in self.figure.structure.bodies}
            return called.get(said[-1]["body"].lower(), "")
        names = {part for body in self.context.bodies for part in body.parts}
        bodies = [b.name for b in self.figure.structure.bodies if b.name in names]
        return bodies[0] if len(bodies) == 1 else ""

    def _sense(self, marks: tuple[Mark, ...], variable: str) -> float:
        """Return the sign of a force's own value that a label claims, 0 where none does."""
        for mark in marks:
            claimed = self.figure.claimed_sense(variable, mark.meaning, self._on())
            if claimed:
                return claimed
        return 0.0

    def _state(self, variable: str, claim: Quantity, tainted: bool) -> None:
        told = self.ledger.reduce({variable: 1.0}, ZERO)
        coarse = 0.0 if told.left else told.coarse
        truth = self.figure.true.get(variable)
        found = Found(claim, tainted, self.line, truth, "force", coarse)
        self.out.stated[variable] = found
        self.subject = variable
        self.ledger.set_value(variable, found)

    def _slip(
        self,
        explanation: Explanation,
        where: str,
        certainty: Certainty = "proved",
        remark: bool = False,
    ) -> None:
        if remark:
            self.judged.worsen("agrees")
            if explanation.expected == self.text[slice(*explanation.span)].replace(",", "."):
                return  # 3.99996 is told as 4, and 4 is what is written
            self.out.slips.append(Slip(self.line, explanation, where, certainty, True))
            return
        if explanation.key and explanation.key in self.seen_keys:
            self.judged.worsen("carried")
            self.judged.notes.append("the same slip again")
            self.out.repeated.add(self.line)
            self.out.slips.append(Slip(self.line, explanation, where, certainty, False))
            return
        self.seen_keys[explanation.key] = Slip(self.line, explanation, where, certainty)
        self.judged.worsen("fault")
        self.out.slips.append(self.seen_keys[explanation.key])

    def _blame_above(self, slip: Slip) -> None:
        """Tell a fault at a line above, from which the present one follows."""
        self.judged.worsen("carried")
        start, end = slip.explanation.span
        here = (s.explanation.span for s in self.out.slips if s.line == slip.line and not s.remark)
        told = any(a < end and start < b for a, b in here)
        if told or slip.explanation.key in self.seen_keys:
            return
        self.seen_keys[slip.explanation.key] = slip
        self.out.lines[slip.line].worsen("fault")
        self.out.slips.append(slip)

    def _sense_fault(self, marks: tuple[Mark, ...], variable: str, claim: Quantity) -> None:
        mark = next(m for m in marks if m.meaning in SENSES)
        pairs = {"tension": "compression", "up": "down", "right": "left"}
        pairs |= {"anticlockwise": "clockwise"}
        pairs |= {b: a for a, b in pairs.items()}
        right = pairs[mark.meaning]
        name = self.out.called.get(variable, variable)
        self._slip(
            Explanation(
                "sense",
                mark.span,
                right,
                f"{name} comes to {say(self.figure, abs(claim.centre))} ({right}) by the working "
                f"up to here; «{self.text[slice(*mark.span)]}» says the opposite.",
                1.0,
                key=f"sense {variable}",
            ),
            "result",
        )


def close(claim: Quantity, known: Quantity, slack: float) -> bool:
    """Tell whether two intervals meet within a slack and float noise."""
    noise = 1e-9 * max(abs(claim.centre), abs(known.centre))
    return abs(claim.centre - known.centre) <= claim.radius + known.radius + slack + noise


def finding_of(slip: Slip, text: str, repeats: tuple[int, ...]) -> Finding:
    """Return a slip as a finding at its place in the line's text."""
    start, end = slip.explanation.span
    if start >= end:  # a term taken over from the line above: the whole line stands for it
        start, end = len(text) - len(text.lstrip()), len(text.rstrip())
    message = slip.explanation.message
    return Finding(
        slip.explanation.kind,
        slip.line,
        (start, end),
        text[start:end],
        slip.where,
        slip.explanation.expected,
        begun(message),
        certainty=slip.certainty,
        repeats=repeats,
    )

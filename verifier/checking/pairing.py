"""Pairs the written terms of a line with what statics expects, by least total mismatch."""

import math
from collections import Counter
from collections.abc import Container, Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from verifier.checking.exchange import exchanged
from verifier.checking.faults import Explanation, Pair, kinds
from verifier.checking.faults.base import say, tidy
from verifier.checking.figure import Figure
from verifier.checking.forms import Form, Term
from verifier.checking.items import in_words
from verifier.checking.ledger import Ledger
from verifier.checking.matching import LEFT_OUT, agrees, assign, strike_equal
from verifier.checking.quantity import ZERO
from verifier.checking.segments import is_face
from verifier.checking.stray import why_extra
from verifier.checking.sums import Contribution, Expected
from verifier.checking.variants import loads_together, variants
from verifier.notation.tree import Span

_UNLIKE = 2.6
_MOST_SCALES = 24
_CROWD, _FEW_SCALES = 60, 4
_MOST_LOOSE = 7
_STRANGE = 0.3
_ODD_SCALE, _UNFOUNDED = 0.3, 0.9
_SAME_SLIP = 0.85
_LEAST, _LEAST_MORE = 0.9, 0.25
_BOTH, _BOTH_PARTS = "both parts of pin ", 1.1
"""A pin's force drawn alike on both bodies turns both its parts: one slip, and a usual one."""


@dataclass(frozen=True)
class Diagnosis:
    """The least mismatch of one line with one sum: `cost` 0 is agreement.

    `explanations` has one entry for each term at odds, in the order of the line.
    """

    expected: Expected
    scale: float
    cost: float
    explanations: tuple[Explanation, ...]


@dataclass(frozen=True)
class Manner:
    """How a line is to be held against a sum: its text, its place, and the sense declared for it.

    `positive` is the writer's word for the positive sense; `usual` the sign of the common factor
    that this writer's other sums of the kind have (0 where nobody knows); `names` what this
    writer calls each variable.
    """

    text: str
    span: Span
    positive: str = ""
    usual: float = 0.0
    names: dict[str, str] | None = None


_WHOLE = 0.999
_ONE_OF_TWO = 0.6
"""What another account of a component costs more: the other one is left out."""


class Pairing:
    """Pairs lines of one working with sums of one figure."""

    def __init__(
        self, figure: Figure, ledger: Ledger, explained: dict[Hashable, Explanation]
    ) -> None:
        self.figure = figure
        self.ledger = ledger
        self._explained = explained
        self.drawn: frozenset[str] = frozenset()
        self._kinds = [kind for kind in kinds() if kind.recognise is not None]

    def diagnose(
        self, form: Form, sums: Iterable[tuple[Expected, Manner, float]], margin: float
    ) -> list[Diagnosis]:
        """Return how a line differs from sums: the likeliest account for each, cheapest first.

        With each sum comes what it costs to take it. What costs more than the least by `margin`
        may be missing.
        """
        tries = sorted(self._tries(form, sums), key=lambda one: (one.least, one.place))
        best: dict[int, Diagnosis] = {}
        lowest = math.inf
        for one in tries:
            if one.least >= lowest + margin:
                break
            kept = best[one.sum].cost if one.sum in best else math.inf
            limit = min(kept, lowest + margin) - one.penalty
            cost, told = self._pair_all(one.struck, one.expected, one.scale, one.manner, limit)
            if cost < limit - 1e-12:
                cost += one.penalty
                lowest = min(lowest, cost)
                best[one.sum] = Diagnosis(one.of, one.scale, cost, _in_order(told))
        return sorted((best[place] for place in sorted(best)), key=lambda told: told.cost)

    def _tries(
        self, form: Form, sums: Iterable[tuple[Expected, Manner, float]]
    ) -> Iterator["_Try"]:
        """Yield every sum in each of its variants, scaled in each way that fits a term."""
        place = 0
        for number, (expected, manner, price) in enumerate(sums):
            for variant, wanted in self._variants(form, expected):
                buckets = _buckets(form, wanted)
                for scale, penalty in self._scales(form, wanted, manner, expected):
                    struck = [strike_equal(terms, ones, scale) for terms, ones in buckets]
                    least = _at_least(struck) + penalty + price
                    yield _Try(
                        least, place, number, expected, variant, struck, scale, penalty + price,
                        manner,
                    )  # fmt: skip
                    place += 1

    def _variants(
        self, form: Form, expected: Expected
    ) -> Iterator[tuple[Expected, list[Contribution]]]:
        """Yield each variant of a sum with what is wanted of a line in it.

        Where a force stands with its own share alone, others equal to it may be missing beside it.
        """
        for variant in (*variants(expected), *loads_together(form, expected)):
            wanted = self._wanted(form, variant)
            yield variant, wanted
            alone = _alone(form, variant)
            apart = self._wanted(form, variant, alone) if alone else wanted
            if apart != wanted:
                yield variant, apart

    def _wanted(
        self, form: Form, expected: Expected, alone: Container[str] = ()
    ) -> list[Contribution]:
        written = {term.variable for term in form.terms if term.variable}
        floor = 1e-9 * expected.scale
        wanted = []
        twins: dict[str, float] = {}
        for one in expected.contributions:
            if abs(one.amount) <= floor:
                continue
            if one.variable and one.variable not in written:
                twin, share = self._twin(one.variable, written)
                if twin in alone:
                    wanted.append(one)
                    continue
                if twin:
                    twins[twin] = twins.get(twin, 0.0) + share * one.amount
                    continue
                value = self._value(one.variable)
                if value is not None and abs(one.amount * value) <= floor:
                    continue
                own = one.variable in self.ledger.values
                own = own or self._put_in(one.variable, form, expected)
                if value is None or not (own or is_face(one.action.item, expected.body)):
                    wanted.append(one)
                    continue
                action = replace(one.action, value=value)
                wanted.append(Contribution(action, "", one.amount * value))
            else:
                wanted.append(one)
        joined = [replace(o, amount=o.amount + twins.pop(o.variable, 0.0)) for o in wanted]
        return [one for one in joined if abs(one.amount) > floor]

    def _put_in(self, variable: str, form: Form, expected: Expected) -> bool:
        """Tell whether a line holds the true value of a force that the working nowhere found.

        `13×6` where a reaction comes to 13 is that reaction, if no load is of that size.
        """
        value = self.figure.true.get(variable)
        if not value or not (variable.startswith("reaction ") or "-" in variable):
            return False
        at_joint = expected.body.name.startswith("joint ")
        if at_joint and any(_alike(load.value, value) for load in self.figure.loads):
            return False  # it is that load, at another joint
        floor = 1e-9 * expected.scale
        known = (c for c in expected.contributions if not c.variable and abs(c.amount) > floor)
        sizes = [abs(one.action.value or 0.0) for one in known]
        written = [
            {abs(f.quantity.centre) for f in term.factors if f.power == 1}
            for term in form.terms
            if not term.variable
        ]
        held = sum(any(_alike(size, value) for size in one) for one in written)
        return held > sum(_alike(size, value) for size in sizes)

    def _twin(self, variable: str, written: set[str]) -> tuple[str, float]:
        """Return the written variable that a left-out one is a multiple of, ('', 0) for none."""
        for one, other in ((variable, ""), *((name, variable) for name in sorted(written))):
            if one not in self.ledger.rows:
                continue
            told = self.ledger.reduce({one: 1.0}, ZERO)
            if len(told.left) != 1 or abs(told.rest.centre) > told.rest.radius + 1e-9:
                continue
            ((left, share),) = told.left.items()
            if other and left == other and share:
                return one, 1.0 / share
            if not other and left in written:
                return left, share
        return "", 0.0

    def _value(self, variable: str) -> float | None:
        found = self.ledger.values.get(variable)
        return found.quantity.centre if found is not None else self.figure.true.get(variable)

    def _scales(
        self, form: Form, wanted: list[Contribution], manner: Manner, expected: Expected
    ) -> list[tuple[float, float]]:
        declared = _declared(manner.positive)
        usual = declared or manner.usual or (0.0 if expected.moment else 1.0)
        penalties = {1.0: 0.0, -1.0: 0.0}
        if usual:
            penalties[-usual] = 0.3 if declared else 0.05
        ratios = Counter(
            float(f"{term.coefficient.centre / one.amount:.7g}")
            for term in form.terms
            for one in wanted
            if one.variable == term.variable and one.amount
        )
        plain = max(ratios[1.0], ratios[-1.0])
        for ratio, times in ratios.items():
            if abs(ratio) > 1e-9 and len(penalties) < _MOST_SCALES:
                odd = _ODD_SCALE if times > plain else _UNFOUNDED
                penalties.setdefault(ratio, odd if abs(ratio) != 1 else 0.0)
                penalties.setdefault(-ratio, odd + 0.05)
        ordered = sorted(penalties.items(), key=lambda item: item[1])
        crowded = len(form.terms) * len(wanted) > _CROWD
        return ordered[:_FEW_SCALES] if crowded else ordered

    def _pair_all(
        self,
        struck: list["_Bucket"],
        expected: Expected,
        scale: float,
        manner: Manner,
        ceiling: float,
    ) -> tuple[float, tuple[Explanation, ...]]:
        total, told = 0.0, list[Explanation]()
        left = sum(max(len(terms), len(ones)) for terms, ones in struck)
        swap = exchanged(
            [term for terms, _ in struck for term in terms],
            [one for _, ones in struck for one in ones],
            expected, scale, manner.text, self.figure,
        )  # fmt: skip
        if swap is not None:
            return swap.cost, (swap,)
        for terms, ones in struck:
            cost, explanations = self._bucket(terms, ones, expected, scale, manner)
            total += cost
            told += explanations
            left -= max(len(terms), len(ones))
            if total - _spared(told) + _least_more(told, left) >= ceiling:
                return math.inf, ()
        return total - _spared(told), tuple(told)

    def _bucket(
        self,
        terms: list[Term],
        ones: list[Contribution],
        expected: Expected,
        scale: float,
        manner: Manner,
    ) -> tuple[float, list[Explanation]]:
        if not terms and not ones:
            return 0.0, []
        options: dict[tuple[int, int], Explanation] = {}
        for i, term in enumerate(terms[:_MOST_LOOSE]):
            for j, one in enumerate(ones[:_MOST_LOOSE]):
                options[i, j] = self._explain(term, one, expected, scale, manner)
        cost, chosen = _assigned(len(terms), len(ones), options)
        told = [options[pair] for pair in chosen if options[pair].cost != _STRANGE]
        paired_terms = {i for i, _ in chosen}
        paired_ones = {j for _, j in chosen}
        told += [
            self._extra(term, expected, manner)
            for i, term in enumerate(terms)
            if i not in paired_terms
        ]
        told += [
            self._missing(one, expected, scale, manner)
            for j, one in enumerate(ones)
            if j not in paired_ones
        ]
        return cost, told

    def _explain(
        self, term: Term, one: Contribution, expected: Expected, scale: float, manner: Manner
    ) -> Explanation:
        """Return what sets a term apart from what is expected; other passes ask the same again."""
        sizes = tuple((f.quantity.centre, f.quantity.radius, f.power) for f in term.factors)
        coefficient = term.coefficient.centre, term.coefficient.radius, term.sign, term.side
        called = (manner.names or {}).get(one.variable or one.action.item)
        key = (
            manner.text, manner.positive, called, term.span, coefficient, sizes, one, scale,
            expected.body.name, expected.axis,
        )  # fmt: skip
        if key not in self._explained:
            anew = self._explain_anew(term, one, expected, scale, manner, called or "")
            self._explained[key] = anew
        told = self._explained[key]
        if told.kind == "sign" and one.variable in self.drawn and one.variable[:4] == "pin ":
            return replace(told, slip=_BOTH + one.variable.split()[1])
        return told

    def _explain_anew(
        self,
        term: Term,
        one: Contribution,
        expected: Expected,
        scale: float,
        manner: Manner,
        called: str,
    ) -> Explanation:
        amount = scale * one.amount
        ratio = term.coefficient.centre / amount
        slack = term.coefficient.radius / abs(term.coefficient.centre)
        if agrees(term, amount):
            return Explanation("magnitude", term.span, "", "", _STRANGE)
        pair = Pair(
            term, one, expected, ratio, slack, manner.text, self.figure, manner.positive, called,
            scale,
        )  # fmt: skip
        best: Explanation | None = None
        for kind in self._kinds:
            assert kind.recognise is not None
            found = kind.recognise(pair)
            if found is not None and (best is None or found.cost < best.cost):
                best = found
        if best is not None and pair.is_one_component:
            best = replace(best, cost=best.cost + _ONE_OF_TWO)
        return best or Explanation(
            "magnitude",
            term.span,
            self._words(one, expected, scale, manner),
            f"{pair.words} should come to {say(self.figure, abs(amount))} here; this term comes to "
            f"{say(self.figure, abs(term.coefficient.centre))}.",
            _UNLIKE,
            key=f"size {one.action.item} {manner.text[term.span[0] : term.span[1]]}",
        )

    def _extra(self, term: Term, expected: Expected, manner: Manner) -> Explanation:
        text = manner.text[term.span[0] : term.span[1]]
        return Explanation(
            "extra-force",
            term.span,
            "no such term",
            why_extra(term, text, expected, self.figure, self.ledger.values),
            LEFT_OUT,
            key=f"extra {text}",
        )

    def _missing(
        self, one: Contribution, expected: Expected, scale: float, manner: Manner
    ) -> Explanation:
        words, share = in_words(one.action), math.hypot(*one.action.along)
        words = (manner.names or {}).get(one.variable or one.action.item, words)
        axis = "xy"[abs(one.action.along[0]) < abs(one.action.along[1])]
        part = 0.0 < share < _WHOLE
        words = f"the part along {axis} of {words}" if part else words
        return Explanation(
            "missing-force",
            manner.span,
            self._words(one, expected, scale, manner),
            f"{words} acts on the {expected.body.name} and belongs in this sum "
            f"({expected.axis.words}), but no term stands for it.",
            LEFT_OUT,
            key=f"missing {one.action.item} {expected.where}",
            slip=f"components {one.action.along}" if share < _WHOLE else "",
        )

    def _words(self, one: Contribution, expected: Expected, scale: float, manner: Manner) -> str:
        action = one.action
        sign = "+" if scale * one.amount > 0 else "−"
        known = action.value is not None and not one.variable
        name = (manner.names or {}).get(one.variable or action.item, action.item)
        size = say(self.figure, abs(action.value)) if known and action.value is not None else name
        unit = abs(one.amount / (action.value or 1.0)) if known else abs(one.amount)
        if action.along == (0.0, 0.0) or abs(unit - 1) < 1e-9:
            return f"{sign} {size}"
        if expected.moment:
            return f"{sign} {size} ({say(self.figure, unit)})"
        degrees = math.degrees(math.acos(min(1.0, unit)))
        return f"{sign} {size} cos {tidy(round(degrees, 2))}°"


_Bucket = tuple[list[Term], list[Contribution]]
"""The terms with one variable, and the contributions of that variable."""


@dataclass(frozen=True)
class _Try:
    """A sum in one variant and one scale: what does not agree, what that costs at the least."""

    least: float
    place: int
    sum: int
    of: Expected
    expected: Expected
    struck: list[_Bucket]
    scale: float
    penalty: float
    manner: Manner


def _buckets(form: Form, wanted: list[Contribution]) -> list[_Bucket]:
    variables = {term.variable for term in form.terms} | {one.variable for one in wanted}
    return [
        (
            [t for t in form.terms if t.variable == variable and abs(t.coefficient.centre) > 0],
            [one for one in wanted if one.variable == variable],
        )
        for variable in sorted(variables)
    ]


def _at_least(struck: list[_Bucket]) -> float:
    """Return what a pairing costs at the very least: something for each term at odds."""
    loose = sum(max(len(terms), len(ones)) for terms, ones in struck)
    return _LEAST + _LEAST_MORE * (loose - 1) if loose else 0.0


def _alone(form: Form, expected: Expected) -> set[str]:
    """Return the forces written with the share of one alone, which others equal may lack beside.

    `T1 sin 45° = 260` where T2 = T1 pulls as well.
    """
    shares = {name: abs(q.centre) for name, q in form.coefficients.items()}
    own = ((name, abs(amount)) for name, amount in expected.coefficients.items() if name in shares)
    return {name for name, amount in own if abs(shares[name] - amount) <= 2e-3 * amount}


def _alike(size: float, value: float) -> bool:
    return abs(size - abs(value)) <= 2e-3 * abs(value)


def _declared(positive: str) -> float:
    if positive in ("right", "up", "anticlockwise"):
        return 1.0
    return -1.0 if positive in ("left", "down", "clockwise") else 0.0


def _assigned(
    rows: int, columns: int, options: dict[tuple[int, int], Explanation]
) -> tuple[float, list[tuple[int, int]]]:
    """Return the cheapest pairing, where one slip in several terms counts hardly more than once."""
    costs = {pair: e.cost for pair, e in options.items()}
    best = assign(rows, columns, costs)
    lowest = best[0] - _spared([options[pair] for pair in best[1]])
    many = Counter(e.slip for e in options.values() if e.slip)
    for slip in (slip for slip, times in many.items() if times > 1):
        spared = {p: cost - _SAME_SLIP * (options[p].slip == slip) for p, cost in costs.items()}
        _, chosen = assign(rows, columns, spared)
        left = rows + columns - 2 * len(chosen)
        cost = sum(costs[pair] for pair in chosen) + LEFT_OUT * left
        whole = cost - _spared([options[pair] for pair in chosen])
        if whole < lowest - 1e-9:
            best, lowest = (cost, chosen), whole
    return best


def _least_more(told: Sequence[Explanation], left: int) -> float:
    """Return what the terms that are left cost at the very least."""
    pinned = left and any(e.slip.startswith(_BOTH) for e in told)
    return _LEAST_MORE * left - (_BOTH_PARTS - 1.0 + _LEAST_MORE if pinned else 0.0)


def _spared(told: Sequence[Explanation]) -> float:
    """Return what several terms at odds cost less where one slip made them."""
    slips = [e.slip for e in told if e.slip]
    again = [slip for index, slip in enumerate(slips) if slip in slips[:index]]
    return sum(_BOTH_PARTS if slip.startswith(_BOTH) else _SAME_SLIP for slip in again)


def _in_order(told: tuple[Explanation, ...]) -> tuple[Explanation, ...]:
    return tuple(sorted(told, key=lambda e: e.span))

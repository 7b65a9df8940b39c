"""A load or an earlier value taken at the wrong size."""

import math
import re
from collections.abc import Iterator
from itertools import permutations

from verifier.checking.faults.base import (
    RATIO_NOISE,
    Example,
    Explanation,
    FaultKind,
    Pair,
    Plant,
    say,
    tidy,
)
from verifier.checking.figure import Figure
from verifier.checking.forms import Factor
from verifier.checking.stretches import stretches
from verifier.notation.tree import Add, Num, Relation, walk

_MASS = re.compile(r"the weight of the (?P<size>\S+) \S+ mass")
_IN_FRONT = 1.05
_ANOTHER = 0.5
"""What it costs more to take a load of the sheet for a force found."""
_INTENSITY_LENGTH_ARM, _INTENSITY_AND_LENGTH = 3, 2
_BEFORE_ARM = 0.98
"""People write the load first, then its arm."""
_PER_LENGTH = 0.97
"""The intensity of a spread load without its length is hardly anything else."""
_ON_A_FACE = 0.3
"""What it costs more where the force is an inner one, which the writer may never have found."""


def recognise(pair: Pair) -> Explanation | None:
    """Explain a pair that is right but for the size of its force."""
    if pair.term.variable and pair.contribution.variable == pair.term.variable:
        return _coefficient(pair)
    other = _stretch(pair) or _weight(pair)
    if other is not None:
        return other
    if pair.worked_out:
        return _worked_out(pair)
    best: Explanation | None = None
    for factor, price in _sizes(pair):
        explained = _size(pair, factor, price)
        if explained is not None and (best is None or explained.cost < best.cost):
            best = explained
    return best


def _stretch(pair: Pair) -> Explanation | None:
    """Explain an even load put over another stretch, with the middle of that: 3(8)(4)."""
    action, about = pair.contribution.action, pair.expected.axis.about
    spread = action.spread
    if spread is None or spread[2] != spread[5] or about is None or pair.ratio <= 0:
        return None
    weight, arm = abs(spread[2]), abs(action.moment(about))
    own = math.dist(spread[:2], spread[3:5])
    if abs(weight * own - (pair.load_size or 0.0)) > RATIO_NOISE * weight * own:
        return None  # on plan
    if pair.size_splits(weight * own):
        return None  # the resultant stands there: what is off is its arm
    sizes = [abs(f.effect.centre) for f in pair.term.factors]
    for length, middle in stretches(pair.figure, spread, action.along, about):
        said = weight * length
        plain = any(abs(s - one) <= RATIO_NOISE * one for s in sizes for one in (length, said))
        if plain and pair.near(said * middle / (weight * own * arm)):
            used, right = say(pair.figure, said), say(pair.figure, weight * own)
            return Explanation(
                "magnitude",
                pair.term.span,
                f"{right} ({say(pair.figure, arm)})",
                f"{pair.words} covers {say(pair.figure, own)}, not {say(pair.figure, length)}: it "
                f"comes to {right} in all, not {used}, and acts at the middle of what it covers.",
                1.0,
                key=f"resultant {pair.words}",
            )
    return None


def _weight(pair: Pair) -> Explanation | None:
    """Explain another intensity in front of an even load's own length and arm: 2·6·3 for 3·6·3."""
    action, about = pair.contribution.action, pair.expected.axis.about
    spread, numbers = action.spread, list(pair.numbers())
    if spread is None or spread[2] != spread[5] or about is None or pair.ratio <= 0:
        return None
    if len(numbers) != _INTENSITY_LENGTH_ARM or len(pair.term.factors) != len(numbers):
        return None
    own = math.dist(spread[:2], spread[3:5])
    used, *rest = (abs(f.effect.centre) for f in numbers)
    usual = (own, abs(action.moment(about)))
    if any(abs(a - b) > RATIO_NOISE * b for a, b in zip(rest, usual, strict=True)):
        return None
    right, wrong = say(pair.figure, pair.load_size or 0.0), say(pair.figure, used * own)
    return Explanation(
        "magnitude",
        pair.term.span,
        pair.with_replaced(numbers[0], say(pair.figure, used / pair.ratio)),
        f"{pair.words} comes to {right} in all, not {wrong}.",
        1.0,
        key=f"resultant {pair.words}",
    )


def _worked_out(pair: Pair) -> Explanation | None:
    """Explain a product worked out in the head with another load's size."""
    size = pair.load_size or 0.0
    used = size * abs(pair.ratio)
    bare = abs(abs(pair.term.coefficient.centre) - size) <= 1e-6 * size  # no arm, and its own size
    if bare or not _other_load(pair, used):
        return None
    return Explanation(
        "magnitude",
        pair.term.span,
        say(pair.figure, abs(pair.contribution.amount)),
        f"{pair.written} is what a load of {say(pair.figure, used)} gives at this arm; "
        f"{pair.words} is {say(pair.figure, size)}.",
        1.25 if pair.ratio > 0 else 2.25,
        key=f"size {pair.contribution.action.item} {pair.written}",
    )


def _sizes(pair: Pair) -> Iterator[tuple[Factor, float]]:
    """Yield the factors that may be the force's size, and how far-fetched that is."""
    numbers = [f for f in pair.numbers() if f.power > 0 and f.quantity.centre]
    size = pair.load_size
    if size is None:
        yield from ((factor, 1.5) for factor in numbers)
        return
    yield from ((factor, 1.2) for factor in _lengths_of_load(pair, numbers))
    splits = pair.size_splits(size)
    if splits:
        for factor in numbers:
            beside = any(factor in rest and pair.beside_load(factor, p) for p, rest in splits)
            of_length = any(pair.beside_length(factor, p) for p, _ in splits)
            arms = [f for f in numbers if f != factor and pair.own_arm(f.quantity.centre)]
            armed = any(factor in rest and any(f in rest for f in arms) for _, rest in splits)
            if _in_place_of_load(pair, factor, numbers):
                yield factor, _BEFORE_ARM
                continue
            yield factor, 2.3 if of_length else _IN_FRONT if beside else 1.1 if armed else 1.9
        return
    if bare := _intensity_alone(pair, numbers):
        yield bare, _PER_LENGTH
        return
    if length := _length_of_even(pair, numbers):
        yield length, 1.1
        return
    arm = abs(pair.contribution.amount) / size
    rests = [rest for _, rest in pair.size_splits(arm)] if abs(arm - 1) > 1e-9 else []
    plain = [f for f in numbers if any(f in rest for rest in rests)]
    product = pair.couple and len(numbers) > 1  # a force with an arm, hardly a couple
    yield from ((factor, 1.9 if product else 1.05) for factor in plain)
    if not plain:
        alone = not product and (len(pair.term.factors) == 1 or abs(arm - 1) < 1e-9)
        yield from ((factor, 1.1 if alone else 1.5) for factor in numbers)


def _lengths_of_load(pair: Pair, numbers: list[Factor]) -> Iterator[Factor]:
    """Yield what may be the length of an even load in w·l·a beside its intensity and its arm."""
    spread = pair.contribution.action.spread
    if spread is None or spread[2] != spread[5] or len(numbers) != _INTENSITY_LENGTH_ARM:
        return
    for order in permutations(numbers):
        intensity, length, arm = order
        beside = abs(abs(intensity.quantity.centre) - abs(spread[2])) <= 1e-6 * abs(spread[2])
        if beside and pair.own_arm(arm.quantity.centre) and pair.expected.moment:
            yield length


def _length_of_even(pair: Pair, numbers: list[Factor]) -> Factor | None:
    """Return what stands for the length of an even load beside its intensity: the 5 of 4(5)."""
    spread = pair.contribution.action.spread
    if spread is None or spread[2] != spread[5] or len(numbers) != _INTENSITY_AND_LENGTH:
        return None
    given = [abs(abs(f.quantity.centre) - abs(spread[2])) <= 1e-6 * abs(spread[2]) for f in numbers]
    return numbers[given.index(False)] if given.count(True) == 1 else None


def _in_place_of_load(pair: Pair, factor: Factor, numbers: list[Factor]) -> bool:
    """Tell whether a number stands before another that is load and arm alike: the 7 of 7 × 2."""
    if len(numbers) != _INTENSITY_AND_LENGTH or len(pair.term.factors) != len(numbers):
        return False
    first, second = sorted(numbers, key=lambda one: one.expr.span)
    return factor is first and pair.own_arm(second.quantity.centre) and pair.expected.moment


def _intensity_alone(pair: Pair, numbers: list[Factor]) -> Factor | None:
    """Return the intensity of an even load that stands for all of it: `10 − 4`, `4(2.5)`."""
    spread = pair.contribution.action.spread
    if spread is None or spread[2] != spread[5] or len(numbers) > _INTENSITY_AND_LENGTH:
        return None
    given = [
        f for f in numbers if abs(abs(f.quantity.centre) - abs(spread[2])) <= 1e-6 * abs(spread[2])
    ]
    rest = [f for f in numbers if f not in given]
    whole = len(numbers) == 1 + pair.expected.moment and len(pair.term.factors) == len(numbers)
    armed = all(pair.own_arm(f.quantity.centre) for f in rest)
    return given[0] if whole and len(given) == 1 and armed else None


def _size(pair: Pair, factor: Factor, price: float) -> Explanation | None:
    size = factor.quantity.centre
    wanted = abs(size / pair.ratio)
    cost = price - (0.05 if _other_load(pair, abs(size)) else 0.0)
    cost += 0.0 if pair.ratio > 0 else 1.0
    put_in = pair.contribution.action.kind not in ("load", "couple")
    cost += _ANOTHER if put_in and _other_load(pair, abs(size)) else 0.0
    cost += _ON_A_FACE if pair.contribution.action.kind == "cut" else 0.0
    in_front = abs(wanted - 1) < 1e-6 and price == _IN_FRONT
    splits = pair.size_splits(pair.load_size) if in_front and pair.load_size else []
    if any(factor in part and pair.beside_load(factor, part) for part, _ in splits):
        return None  # the 2 of a load 2P is its own
    if pair.load_size is not None and not in_front and not _is_load(pair, factor, wanted):
        cost += 0.4
    have = pair.text[factor.expr.span[0] : factor.expr.span[1]].strip("() ")
    size_in_words = say(pair.figure, pair.load_size or wanted)
    if not in_front and have == size_in_words:
        return None  # P is P: what is off is beside it
    message = f"{pair.words} is {size_in_words}, not {have}."
    if pair.contribution.action.spread is not None and pair.load_size is not None:
        used = say(pair.figure, abs(pair.load_size * pair.ratio))
        message = f"{pair.words} comes to {size_in_words} in all, not {used}."
        if price == _PER_LENGTH:
            unit = pair.figure.structure.length_unit
            message = (
                f"{pair.words} comes to {size_in_words} in all: {have} is what lies on each {unit}."
            )
    mass = _MASS.match(pair.contribution.action.label)
    if mass and mass["size"] == have:
        message = (
            f"{pair.words} is {size_in_words} {pair.figure.structure.force_unit}: {have} is the "
            "mass alone, and a mass weighs g times as much."
        )
    if in_front:
        message = f"{pair.words} comes to {size_in_words}: no {have} belongs in front."
    return Explanation(
        "magnitude",
        pair.term.span,
        pair.with_replaced(factor, "" if in_front else say(pair.figure, wanted)),
        message,
        cost,
        key=f"size {pair.contribution.action.item} {have}",
    )


def _is_load(pair: Pair, factor: Factor, wanted: float) -> bool:
    """Tell whether the number put right is the force's size, by itself or with its letter."""
    size = pair.load_size or 0.0
    rest = [abs(f.effect.centre) for f in pair.term.factors if f is not factor]
    return any(abs(wanted * other - size) <= 5e-3 * size for other in (1.0, *rest))


def _other_load(pair: Pair, size: float) -> bool:
    return any(abs(datum.value - size) <= 1e-3 * size for datum in pair.figure.loads)


def _coefficient(pair: Pair) -> Explanation | None:
    factors = [f for f in pair.numbers()]
    if pair.expected.moment or not factors:
        return None
    factor = factors[0]
    wanted = factor.quantity.centre / pair.ratio**factor.power
    return Explanation(
        "magnitude",
        pair.term.span,
        pair.with_replaced(factor, tidy(wanted)),
        f"{pair.words} enters this sum {tidy(abs(pair.contribution.amount))} times, not "
        f"{tidy(abs(pair.contribution.amount * pair.ratio))} times.",
        1.7 if pair.ratio > 0 else 2.7,
        key=f"coefficient {pair.contribution.action.item}",
    )


def plant(relation: Relation, text: str, moment: bool, figure: Figure) -> Plant | None:
    """Miscopy a load in a sum."""
    del moment
    loads = {datum.value for datum in figure.loads}
    for side in relation.sides:
        for _, term in side.terms if isinstance(side, Add) else ():
            for node in walk(term):
                if isinstance(node, Num) and node.value in loads:
                    start = node.span[0]
                    digits = text[start : start + len(node.text)]
                    new = tidy(node.value + (3 if node.value >= 1 else 0.3))
                    grown = len(new) - len(digits)
                    planted = text[:start] + new + text[start + len(digits) :]
                    return Plant(planted, (term.span[0], term.span[1] + grown))
    return None


KIND = FaultKind(
    "magnitude",
    "a load, or a value found before, goes in with the wrong size",
    "The force is the right one, at the right place, but its size is another load's, has its "
    "digits "
    "swapped or a power of ten lost; or the resultant of a spread load is taken too large or too "
    "small.",
    (
        Example(
            "ΣF_y = 0: K_y + L_y − 14 − 5 = 0",
            "ΣF_y = 0: K_y + L_y − 41 − 5 = 0",
            "The load is 14 kN.",
        ),
    ),
    recognise,
    plant,
)

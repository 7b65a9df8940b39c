"""A moment term with the wrong lever arm, none, or the slant length for the perpendicular."""

import math
import re
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from verifier import units
from verifier.checking.faults.base import (
    Example,
    Explanation,
    FaultKind,
    Pair,
    Plant,
    factors_of,
    length,
    say,
    tidy,
)
from verifier.checking.figure import Figure
from verifier.checking.forms import Factor
from verifier.findings import begun
from verifier.notation.tree import Add, Div, Num, Relation, Span

_NOISE = 2e-3
_OFF_THE_FIGURE, _THE_SHARE = 0.6, 0.2
_FOREIGN = 0.2
"""What it costs more to blame the arm beside the sine of an angle that is not the force's own."""
_ARMED = 0.4
"""What it costs more to miss an arm in a product of three: an intensity, a length and an arm."""
_BEHIND = re.compile(r"([^\W\d_])(?:/(\d+))?(?![\w.^])")


def recognise(pair: Pair) -> Explanation | None:
    """Explain a pair in a moment sum that is right but for its length."""
    if not pair.expected.moment:
        return None
    if pair.couple:
        return _couple_with_arm(pair)
    explained = _worked_out(pair) if pair.worked_out else _wrong_arm(pair)
    return explained or _no_arm(pair)


def _worked_out(pair: Pair) -> Explanation | None:
    """Explain a product worked out in the head: the arm that it must have been made with."""
    about, action, size = pair.expected.axis.about, pair.contribution.action, pair.load_size
    if about is None or not size:
        return None
    across, up = (abs(part) for part in action.along)
    slack = pair.slack + _NOISE
    for share in dict.fromkeys((1.0, across, up)):
        made = abs(pair.ratio * pair.contribution.amount)
        arm = made / (size * share) if share > 1e-6 else 0.0
        used = next((d for d in pair.figure.lengths if abs(d.value - arm) <= slack * arm), None)
        if used is None:
            continue
        wanted = abs(pair.contribution.amount) / size
        point = pair.expected.axis.words.removeprefix("moments about ")
        return Explanation(
            "lever-arm",
            pair.term.span,
            say(pair.figure, abs(pair.contribution.amount)),
            f"{pair.written} is what an arm of {length(pair.figure, used.value)} gives, "
            f"{used.words}; {pair.words} acts {length(pair.figure, wanted)} from {point}, "
            "measured square to its line.",
            (1.2 if share == 1.0 else 1.35) + (0.0 if pair.ratio > 0 else 1.0),
            key=f"arm {pair.written} {action.item}",
        )
    return None


def _couple_with_arm(pair: Pair) -> Explanation | None:
    arms = [f for f in pair.numbers() if abs(f.effect.centre) != 1.0]
    for factor in arms:
        if abs(abs(pair.ratio) - abs(factor.effect.centre)) <= _NOISE * abs(pair.ratio):
            size = say(pair.figure, abs(pair.contribution.amount))
            cost = 1.1 if pair.ratio > 0 else 2.2
            return Explanation(
                "lever-arm",
                pair.term.span,
                size,
                f"{pair.words} is a couple: it has the same moment about every point, so it enters "
                "a moment sum without a lever arm.",
                cost,
                key=f"couple {pair.contribution.action.item}",
            )
    return None


def _wrong_arm(pair: Pair) -> Explanation | None:
    best: Explanation | None = None
    armed = pair.other_share and any(pair.own_arm(f.quantity.centre) for f in pair.numbers())
    for factor, rest in _arms(pair):
        size = abs(factor.quantity.centre)
        if pair.load_size is None and abs(size - abs(pair.contribution.amount)) <= _NOISE * size:
            continue  # the length is the arm: what is wrong is something else
        wanted = _drawn_length(pair, size / abs(pair.ratio))
        datum = _length_in_words(pair, wanted)
        used = _length_in_words(pair, size)
        sure = rest is not None and not _foreign_turn(pair)
        if sure and rest is not None:
            arm = math.prod(abs(f.effect.centre) for f in rest) / abs(pair.ratio)
            whole = pair.own_arm(arm) and not any(pair.turns())
            _, share = _with_letters(pair, factor)  # the 4 of 4a
            named = pair.own_arm(wanted) or bool(datum) or pair.own_arm(wanted * share)
            cost = 1.1 if named else 1.15 if whole else 1.6
        else:
            cost = 1.15 + (0.0 if datum or pair.own_arm(wanted) else 0.45) - (0.05 if used else 0.0)
            cost += 0.6 if pair.load_size is not None else 0.0
        cost += _FOREIGN if pair.load_size is None and _foreign_turn(pair) else 0.0
        if pair.load_size is None and _slant(pair, factor):
            cost = 1.1
        elif wanted > _reach(pair):
            cost += _OFF_THE_FIGURE
        cost += 0.0 if pair.ratio > 0 else 1.0
        cost += _THE_SHARE if armed else 0.0
        if best is None or cost < best.cost:
            best = _explain(pair, factor, wanted, datum, used, cost)
            product = _whole_arm(pair, rest or ())
            best = replace(best, message=product) if product else best
            best = _lettered_arm(pair, rest or (), best) or best
    if best is not None and pair.load_size is None and any(pair.numbers()):
        told = replace(best, cost=1.1 + (0.0 if pair.ratio > 0 else 1.0))
        best = _lettered_arm(pair, pair.term.factors, told) or best  # VB·3L/8
    return best


def _lettered_arm(pair: Pair, rest: tuple[Factor, ...], told: Explanation) -> Explanation | None:
    """Return the fault of an arm in letters told as a whole, `2a` for a; None for any other."""
    spans = sorted(f.expr.span for f in rest if f.expr.span[0] < f.expr.span[1])
    joined = len(spans) > 1 and all(
        pair.text[a[1] : b[0]].strip() in ("", "/") for a, b in pairwise(spans)
    )
    used = math.prod(abs(f.effect.centre) for f in rest)
    wanted = used / abs(pair.ratio)
    if not joined or not pair.figure.structure.letters or not pair.own_arm(wanted):
        return None
    have, right = pair.text[spans[0][0] : spans[-1][1]], say(pair.figure, wanted)
    start, end = pair.term.span
    new = pair.text[start : spans[0][0]] + right + pair.text[spans[-1][1] : end]
    point = pair.expected.axis.words.removeprefix("moments about ")
    message = (
        f"You used {have}; {pair.words} acts {right} from {point}, measured square to its line."
    )
    return replace(told, expected=new, message=message)


def _whole_arm(pair: Pair, rest: tuple[Factor, ...]) -> str:
    """Return the message for an arm that is written as a product, `(2/3)(9)`; '' for any other."""
    spans = [f.expr.span for f in rest]
    start, end = min((a for a, _ in spans), default=0), max((b for _, b in spans), default=0)
    plain = all(isinstance(f.expr, Num | Div) for f in rest)
    if len(rest) < 2 or not plain or any(pair.turns()) or pair.figure.structure.letters:
        return ""
    used = math.prod(abs(f.effect.centre) for f in rest)
    before, behind = pair.text[:start][-1:] == "(", pair.text[end : end + 1] == ")"
    have = pair.text[start - before : end + behind]
    wanted = _drawn_length(pair, used / abs(pair.ratio))
    point = pair.expected.axis.words.removeprefix("moments about ")
    acts = f"{pair.words} acts {length(pair.figure, wanted)} from {point}"
    message = f"You used {have}; {acts}, measured square to its line."
    if _other_third(pair, used):
        message += " The resultant of a triangle lies a third of its length from its high end."
    return message


def _drawn_length(pair: Pair, arm: float) -> float:
    """Return the length of the figure that one is, but for the digits of an angle: 1 for 0.9999."""
    near = (d.value for d in pair.figure.lengths if abs(d.value - arm) <= _NOISE * arm)
    return min(near, key=lambda value: abs(value - arm), default=arm)


def _reach(pair: Pair) -> float:
    """Return how far from the moment point the figure goes: no arm is longer."""
    about = pair.expected.axis.about
    points = pair.figure.points.values()
    return 1.01 * max((math.dist(about, p) for p in points), default=0.0) if about else math.inf


def _foreign_turn(pair: Pair) -> bool:
    """Tell whether a sine or cosine in the term is not one of the force's own direction."""
    own = [abs(part) for part in pair.contribution.action.along]
    size = math.hypot(*own) or 1.0
    shares = {part / size for part in own} | {math.sqrt(max(0.0, 1 - part * part)) for part in own}
    shares |= {*own}  # of a component taken apart
    return any(
        min(abs(abs(f.quantity.centre) - share) for share in shares) > 5e-3 for f in pair.turns()
    )


def _arms(pair: Pair) -> Iterator[tuple[Factor, tuple[Factor, ...] | None]]:
    """Yield the factors that may be the arm, with all of the arm where the rest is the load."""
    numbers = [f for f in pair.numbers() if f.power > 0 and f.quantity.centre]
    if pair.load_size is None:
        yield from ((factor, None) for factor in numbers)
        return
    splits = pair.size_splits(pair.load_size)
    for part, rest in splits:
        for factor in rest:
            others = [f for f in rest if f is not factor and f in numbers]
            if any(pair.own_arm(f.quantity.centre) for f in others):
                continue
            if factor in numbers and not pair.beside_load(factor, part):
                yield factor, rest
    if not splits:
        yield from ((factor, None) for factor in numbers)


def _explain(
    pair: Pair, factor: Factor, wanted: float, datum: str, used: str, cost: float
) -> Explanation:
    point = pair.expected.axis.words.removeprefix("moments about ")
    unit = _unit_written(pair, wanted)
    have = pair.text[factor.expr.span[0] : factor.expr.span[1]].strip("() ")
    in_letters, share = _with_letters(pair, factor)
    if not in_letters:
        in_letters, share = _over(pair, factor)
        datum = _length_in_words(pair, wanted * share) if in_letters else datum
        used = _length_in_words(pair, abs(factor.quantity.centre) * share) if in_letters else used
    have, wanted = have + in_letters, wanted * share
    was = f"You used {have}" + (f", {used}" if used else "") + "; "
    if place := _slant(pair, factor):
        was = f"You used {have}, the length straight from {point} to {place}; "
    if " from " in datum and point not in datum.split():
        datum = ""  # as long by chance, and no distance from the moment point
    spread = pair.contribution.action.spread
    datum = "" if spread else datum  # no joint lies where a resultant acts
    acts = f"{pair.words} acts {length(pair.figure, wanted, unit)} from {point}"
    acts += f", measured square to its line{f' ({datum})' if datum else ''}."
    if _other_third(pair, abs(factor.quantity.centre) * share):
        acts += " The resultant of a triangle lies a third of its length from its high end."
    elif spread and spread[2] == spread[5]:
        acts += " The resultant of an even load lies in the middle of what it covers."
    new = say(pair.figure, wanted / share)
    bracketed = pair.text[factor.expr.span[0] : factor.expr.span[1]].startswith("(")
    message = was + acts
    expected = pair.with_replaced(factor, f"({new})" if bracketed else new)
    if in_letters.startswith("/") and "/" in new:  # L/3 for L/2, and no 2L/3/2
        start, end = pair.term.span
        a, b = factor.expr.span
        stop = pair.text.index(in_letters, b) + len(in_letters)
        expected = f"{pair.text[start:a]}{say(pair.figure, wanted)}{pair.text[stop:end]}".strip()
    return Explanation(
        "lever-arm",
        pair.term.span,
        expected,
        begun(message),
        cost,
        key=f"arm {have} {new} {pair.contribution.action.item}",
        slip=f"{have} for {new}",
    )


def _unit_written(pair: Pair, wanted: float) -> str:
    """Return the unit of length in which a sum is written: metres on a sheet in millimetres."""
    sheet, size = pair.figure.structure.length_unit, pair.load_size
    about, action = pair.expected.axis.about, pair.contribution.action
    arm = abs(action.moment(about)) if about is not None and action.value is None else 0.0
    arm = arm or (abs(pair.contribution.amount) / size if size else 0.0)
    step = arm / wanted if wanted else 1.0
    for unit, long in units.LENGTH.items():
        if math.isclose(long / units.LENGTH[sheet], step, rel_tol=1e-2):
            return unit
    return sheet


def _with_letters(pair: Pair, factor: Factor) -> tuple[str, float]:
    """Return the letter and divisor written straight behind a number, and what they come to."""
    letters = pair.figure.structure.letters
    behind = _BEHIND.match(pair.text, factor.expr.span[1])
    if not isinstance(factor.expr, Num) or behind is None or behind[1] not in letters:
        return "", 1.0
    return behind.group(), letters[behind[1]] / float(behind[2] or 1)


def _other_third(pair: Pair, used: float) -> bool:
    """Tell whether a length goes to a triangle's other third point."""
    about, action = pair.expected.axis.about, pair.contribution.action
    if about is None or action.spread is None or 0.0 not in action.spread[2::3]:
        return False
    x1, y1, _, x2, y2, _ = action.spread
    at = (x1 + x2 - action.at[0] - about[0], y1 + y2 - action.at[1] - about[1])
    arm = abs(at[0] * action.along[1] - at[1] * action.along[0])
    return abs(arm - used) <= _NOISE * max(arm, 1e-9)


def _over(pair: Pair, factor: Factor) -> tuple[str, float]:
    """Return the divisor straight behind a number, the /3 of 4/3, and the share that it leaves."""
    end = factor.expr.span[1]
    below = [f for f in pair.term.factors if f.power < 0 and isinstance(f.expr, Num)]
    for one in below:
        start, stop = one.expr.span
        if pair.text[end:start].strip() == "/" and one.quantity.centre:
            return pair.text[end:stop].strip(), 1.0 / one.quantity.centre
    return "", 1.0


def _slant(pair: Pair, factor: Factor) -> str:
    """Return the joint on the force's line to which a number is the straight distance, or ''."""
    about, action = pair.expected.axis.about, pair.contribution.action
    if about is None or pair.ratio <= 1 or any(pair.turns()):
        return ""
    size = abs(factor.quantity.centre)
    for joint, point in pair.figure.points.items():
        off = (point[0] - action.at[0]) * action.along[1] - (
            point[1] - action.at[1]
        ) * action.along[0]
        straight = math.dist(about, point)
        if abs(off) < 1e-9 * (1 + straight) and abs(size - straight) <= _NOISE * straight:
            return joint
    return ""


def _length_in_words(pair: Pair, wanted: float) -> str:
    about, joint = pair.expected.axis.about, pair.contribution.action.joint
    own = [d for d in pair.figure.lengths if abs(d.value - wanted) <= _NOISE * wanted]
    if not own:
        return ""
    point = pair.expected.axis.words.removeprefix("moments about ")
    for datum in own:
        if joint and about is not None and joint in datum.words and point in datum.words:
            return datum.words
    upright = abs(pair.contribution.action.along[1]) > abs(pair.contribution.action.along[0])
    across = "horizontal" if upright else "vertical"
    own.sort(key=lambda d: (point not in d.words.split(), across not in d.words))
    return own[0].words


def _no_arm(pair: Pair) -> Explanation | None:
    about, action = pair.expected.axis.about, pair.contribution.action
    if about is None:
        return None
    per_unit = abs(action.moment(about))
    if per_unit < 1e-9 or not pair.near(math.copysign(1 / per_unit, pair.ratio)):
        return None
    factors = list(pair.numbers())
    if len(factors) > 1 and any(abs(f.effect.centre - per_unit) <= _NOISE for f in factors):
        return None  # 5 (1.6) for 8 (1.6): the arm is there
    return Explanation(
        "lever-arm",
        pair.term.span,
        f"{pair.written} ({say(pair.figure, per_unit)})",
        f"{pair.words} has no lever arm here; a moment sum takes the force times its distance from "
        f"the moment point, {length(pair.figure, per_unit)}.",
        (1.3 if pair.ratio > 0 else 2.3) + (_ARMED if len(factors) > 2 else 0.0),
        key=f"no arm {action.item}",
    )


def plant(relation: Relation, text: str, moment: bool, figure: Figure) -> Plant | None:
    """Replace the length in one moment term by another length of the figure."""
    if not moment:
        return None
    lengths = sorted({round(datum.value, 3) for datum in figure.lengths})
    loads = {datum.value for datum in figure.loads}
    for side in relation.sides:
        for _, term in side.terms if isinstance(side, Add) else ():
            for factor in factors_of(term):
                if isinstance(factor, Num) and factor.value not in loads:
                    others = [x for x in lengths if abs(x - factor.value) > 0.05 * factor.value]
                    if others:
                        return _rewrite(text, factor.span, tidy(others[0]), term.span)
    return None


def _rewrite(text: str, place: Span, new: str, term: Span) -> Plant:
    grown = len(new) - (place[1] - place[0])
    return Plant(text[: place[0]] + new + text[place[1] :], (term[0], term[1] + grown))


KIND = FaultKind(
    "lever-arm",
    "a force is taken at the wrong distance from the moment point",
    "The lever arm is the distance from the moment point to the line along which the force acts, "
    "measured square to that line. Taking the distance to another joint, the slanting length "
    "between two points, no distance at all, or giving a couple an arm are faults of this kind.",
    (
        Example(
            "ΣM_K = 0: 9 L_y − 14(6) = 0",
            "ΣM_K = 0: 9 L_y − 14(3) = 0",
            "The 14 kN load acts 6 m from K; 3 m is its distance from L.",
        ),
    ),
    recognise,
    plant,
)

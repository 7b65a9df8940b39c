"""The ways in which people write one sum: forces by their components, spread loads in pieces."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import combinations

from verifier.checking.derived import same
from verifier.checking.forms import Form
from verifier.checking.sums import Contribution, Expected
from verifier.notation.tree import Num

_MANY, _SAME, _NOTHING = 6, 1e-3, 1e-9
TOGETHER = ("the sum of the loads", "the sum of the loads' moments")
"""What all loads of a sum are called together: of forces, of moments."""


def variants(expected: Expected) -> Iterable[Expected]:
    """Yield a sum as it is, and with inclined forces taken by their components in moments."""
    yield expected
    joined = tuple(_joined(expected.contributions))
    if len(joined) < len(expected.contributions):
        yield Expected(expected.body, expected.axis, joined)
    split = tuple(piece for one in expected.contributions for piece in _trapezium(one, expected))
    if len(split) > len(expected.contributions):
        yield Expected(expected.body, expected.axis, split)
    about = expected.axis.about
    if about is None:
        return
    parts: list[Contribution] = []
    for one in expected.contributions:
        action = one.action
        across, up = action.along
        arm = (action.at[0] - about[0], action.at[1] - about[1])
        pieces = (-arm[1] * across, arm[0] * up)
        whole = action.moment(about)
        if min(abs(across), abs(up)) < 1e-9 or abs(whole) < 1e-12 or 0.0 in pieces:
            parts.append(one)
            continue
        rate = one.amount / whole
        for piece, along in zip(pieces, ((across, 0.0), (0.0, up)), strict=True):
            parts.append(Contribution(replace(action, along=along), one.variable, rate * piece))
    if len(parts) > len(expected.contributions):
        yield Expected(expected.body, expected.axis, tuple(parts))


def _joined(contributions: tuple[Contribution, ...]) -> Iterator[Contribution]:
    """Yield contributions with even loads that lie end to end as one: w on A-C and on C-B."""
    held: Contribution | None = None
    for one in contributions:
        both = _end_to_end(held, one) if held is not None else None
        if both is None and held is not None:
            yield held
        held = both or one
    if held is not None:
        yield held


def _end_to_end(first: Contribution, second: Contribution) -> Contribution | None:
    one, two = first.action, second.action
    if one.spread is None or two.spread is None or one.along != two.along:
        return None
    if one.spread[3:] != two.spread[:3] or len({*one.spread[2::3], *two.spread[2::3]}) > 1:
        return None
    size = (one.value or 0.0) + (two.value or 0.0)
    spread = (*one.spread[:3], *two.spread[3:])
    middle = ((spread[0] + spread[3]) / 2, (spread[1] + spread[4]) / 2)
    ends = one.label.rpartition("-")[0], two.label.rpartition("-")[2]
    action = replace(one, value=size, at=middle, spread=spread, label="-".join(ends), joint="")
    return Contribution(action, "", first.amount + second.amount)


def _trapezium(one: Contribution, expected: Expected) -> Iterable[Contribution]:
    """Yield a linearly varying load as an even part and a triangle, as people split it."""
    spread, size = one.action.spread, one.action.value
    if spread is None or not size or spread[2] * spread[5] <= 0 or spread[2] == spread[5]:
        yield one
        return
    x1, y1, first, x2, y2, last = spread
    low = min(first, last, key=abs)
    share = 2 * low / (first + last)
    thick = 2 / 3 if abs(last) > abs(first) else 1 / 3
    label = one.action.label or one.action.item
    for part, along, ends, sort in (
        (share, 0.5, (low, low), "even"),
        (1 - share, thick, (first - low, last - low), "triangular"),
    ):
        at = (x1 + along * (x2 - x1), y1 + along * (y2 - y1))
        own = (x1, y1, ends[0], x2, y2, ends[1])
        said = f"the {sort} part of {label}"
        action = replace(one.action, at=at, value=size * part, spread=own, label=said)
        about = expected.axis.about
        unit = action.moment(about) if about else action.component(expected.axis.direction)
        yield Contribution(action, one.variable, unit * size * part)


def loads_together(form: Form, expected: Expected) -> Iterator[Expected]:
    """Yield a sum with all its loads in one number, where a line has one for several."""
    loads = [c for c in expected.contributions if is_load(c) and c.amount]
    plain = [term for term in form.terms if not term.variable and term.coefficient.centre]
    total = sum(one.amount for one in loads)
    if not all(any(isinstance(f.expr, Num) for f in term.factors) for term in plain):
        return
    if not 1 < len(loads) <= _MANY or len(plain) >= len(loads) or abs(total) < _NOTHING:
        return
    some = [one for n in range(1, len(loads) + 1) for one in combinations(loads, n)]
    sums = [sum(c.amount for c in one) for one in some if len(one) < len(loads)]
    if expected.moment:  # a force, and no moment
        sums += [sum(abs(c.action.value or 0.0) for c in one) for one in some]
    sizes = [abs(term.coefficient.centre) for term in plain]
    sizes += [abs(f.quantity.centre) for term in plain for f in term.factors]
    if any(same(abs(part), size, _SAME) for part in sums for size in sizes):
        return  # some of them: the others are left out
    sign = 1.0 if total > 0 else -1.0
    action = replace(
        loads[0].action, value=abs(total), label=TOGETHER[expected.moment], spread=None
    )
    if expected.moment:
        action = replace(action, along=(0.0, 0.0), turn=sign, kind="couple")
    else:
        x, y = expected.axis.direction
        action = replace(action, along=(sign * x, sign * y))
    rest = tuple(c for c in expected.contributions if c not in loads)
    yield replace(expected, contributions=(*rest, Contribution(action, "", total)))


def is_load(one: Contribution) -> bool:
    """Tell whether a contribution is that of a load or an applied couple."""
    return not one.variable and one.action.kind in ("load", "couple")

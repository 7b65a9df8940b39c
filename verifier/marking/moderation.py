"""Marks given by hand held against the tool's, to tell how far it may be trusted."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from verifier.marking.scored import ScriptMarks


@dataclass(frozen=True)
class Agreement:
    """Hand and tool on one item, or on the total where `item` is ''.

    `exact` and `within_one` are parts of the scripts, 0 to 1; `kappa` is Cohen's kappa with
    quadratic weights, None where neither varies; `bias` is the mean of tool − hand.
    """

    item: str
    scripts: int
    exact: float
    within_one: float
    kappa: float | None
    bias: float


@dataclass(frozen=True)
class Moderation:
    """The whole table. `apart` are the scripts furthest from each other: (script, hand, tool)."""

    rows: tuple[Agreement, ...]
    apart: tuple[tuple[str, float, float], ...]
    unknown: tuple[str, ...]


def moderate_marks(
    hand: Mapping[str, Mapping[str, float]],
    tool: Mapping[str, ScriptMarks],
    items: Iterable[str],
    unknown: Iterable[str] = (),
) -> Moderation:
    """Compare hand marks (by script, by item, '' the total) with the tool's own.

    A total that the hand did not give is the sum of its items, where it gave all of them.
    """
    wanted = list(items)
    totals = [
        (script, total, tool[script].total)
        for script in sorted(hand.keys() & tool.keys())
        if (total := _total(hand[script], wanted)) is not None
    ]
    rows = [agreement("", [(mine, its) for _, mine, its in totals])] if totals else []
    for item in wanted:
        pairs = [
            (hand[script][item], score)
            for script in sorted(hand.keys() & tool.keys())
            if item in hand[script] and (score := _of(tool[script], item)) is not None
        ]
        if pairs:
            rows.append(agreement(item, pairs))
    apart = sorted(
        (one for one in totals if abs(one[1] - one[2]) > 1e-9),
        key=lambda one: (-abs(one[1] - one[2]), one[0]),
    )
    return Moderation(tuple(rows), tuple(apart), tuple(unknown))


def agreement(item: str, pairs: Sequence[tuple[float, float]]) -> Agreement:
    """Return how two columns of marks agree; `pairs` are (hand, tool), at least one."""
    gaps = [its - mine for mine, its in pairs]
    count = len(pairs)
    return Agreement(
        item=item,
        scripts=count,
        exact=sum(abs(gap) < 1e-9 for gap in gaps) / count,
        within_one=sum(abs(gap) <= 1 + 1e-9 for gap in gaps) / count,
        kappa=weighted_kappa(pairs),
        bias=sum(gaps) / count,
    )


def weighted_kappa(pairs: Sequence[tuple[float, float]]) -> float | None:
    """Return Cohen's kappa with quadratic weights (Cohen 1968), None where nothing varies.

    1 − (mean squared difference of the pairs) / (the same over all pairings by chance).

    >>> weighted_kappa([(0, 0), (1, 1), (2, 2)])
    1.0
    """
    count = len(pairs)
    first = [mine for mine, _ in pairs]
    second = [its for _, its in pairs]
    seen = sum((mine - its) ** 2 for mine, its in pairs) / count
    mean_first, mean_second = sum(first) / count, sum(second) / count
    by_chance = (
        sum((mine - mean_first) ** 2 for mine in first) / count
        + sum((its - mean_second) ** 2 for its in second) / count
        + (mean_first - mean_second) ** 2
    )
    return None if by_chance < 1e-12 else 1.0 - seen / by_chance


def _total(marks: Mapping[str, float], items: Sequence[str]) -> float | None:
    if "" in marks:
        return marks[""]
    return sum(marks[item] for item in items) if all(item in marks for item in items) else None


def _of(marks: ScriptMarks, item: str) -> float | None:
    return next((one.total for one in marks.items if one.item == item), None)

"""The class at a glance: marks, items, and which faults were made where."""

import math
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from verifier.marking.book import Entry
from verifier.marking.scheme import Scheme

BINS = 10
"""Parts into which the range of marks is cut for the distribution, at most."""


@dataclass(frozen=True)
class ItemSummary:
    """One item over the class: the part of its marks that was earned, 0 to 1, and its answers.

    `carried` follow correctly from a fault elsewhere, `wrong` lost their marks.
    """

    item: str
    share: float
    right: int
    carried: int
    wrong: int
    missing: int


@dataclass(frozen=True)
class FaultSummary:
    """One kind of fault at one place: in how many scripts, and how often as the first."""

    kind: str
    where: str
    scripts: int
    first: int


@dataclass(frozen=True)
class Summary:
    """A class. `bins` are (from, to, scripts); marks are None where no script has any."""

    title: str
    scripts: int
    verdicts: tuple[tuple[str, int], ...]
    out_of: float
    mean: float | None
    median: float | None
    spread: float | None
    lowest: float | None
    highest: float | None
    bins: tuple[tuple[float, float, int], ...]
    items: tuple[ItemSummary, ...]
    kinds: tuple[tuple[str, int], ...]
    faults: tuple[FaultSummary, ...]

    @property
    def hardest(self) -> ItemSummary | None:
        """The item of which the smallest part was earned, None where nothing was marked."""
        return min(self.items, key=lambda item: item.share) if self.mean is not None else None


class Gathering:
    """Takes entries one at a time and holds counts only."""

    def __init__(self, scheme: Scheme) -> None:
        self.scheme = scheme
        self.scripts = 0
        self.verdicts: Counter[str] = Counter()
        self.totals: Counter[float] = Counter()
        self.earned: Counter[str] = Counter()
        self.answers: Counter[tuple[str, str]] = Counter()
        self.kinds: Counter[str] = Counter()
        self.places: Counter[tuple[str, str]] = Counter()
        self.firsts: Counter[tuple[str, str]] = Counter()

    def take(self, entry: Entry) -> None:
        """Count one script."""
        self.scripts += 1
        self.verdicts[entry.verdict] += 1
        if entry.final is not None:
            self.totals[entry.final.total] += 1
            for item in entry.final.marks.items:
                self.earned[item.item] += item.total  # type: ignore[assignment]
        if entry.result is None:
            return
        self._count_answers(entry)
        faults = entry.result.faults
        self.kinds.update({fault.kind for fault in faults})
        self.places.update({(fault.kind, fault.where) for fault in faults})
        self.firsts.update((fault.kind, fault.where) for fault in faults[:1])

    def _count_answers(self, entry: Entry) -> None:
        """Count answers; one that lost its marks is wrong, whatever it followed from."""
        if entry.result is None or entry.final is None:
            return
        statuses = {answer.item: answer.status for answer in entry.result.answers}
        for item in entry.final.marks.items:
            status = statuses.get(item.item, "missing")
            if status != "missing" and item.answer < item.answer_of:
                status = "differs"
            self.answers[item.item, status] += 1

    def summary(self) -> Summary:
        """Return what has been counted."""
        marked = self.totals.total()
        order = sorted(self.totals)
        mean = sum(mark * self.totals[mark] for mark in order) / marked if marked else None
        return Summary(
            title=self.scheme.title,
            scripts=self.scripts,
            verdicts=tuple((kind, self.verdicts[kind]) for kind in _VERDICTS),
            out_of=self.scheme.out_of,
            mean=mean,
            median=self._median(),
            spread=self._spread(mean),
            lowest=order[0] if order else None,
            highest=order[-1] if order else None,
            bins=self._bins(),
            items=tuple(self._item(item, marked) for item in self.scheme.items),
            kinds=tuple(sorted(self.kinds.items(), key=lambda one: (-one[1], one[0]))),
            faults=self._faults(),
        )

    def _item(self, item: str, marked: int) -> ItemSummary:
        most = self.scheme.items[item].total * marked
        counts = [
            self.answers[item, status] for status in ("agrees", "carried", "differs", "missing")
        ]
        share = round(self.earned[item], 6) / most if most else 0.0
        return ItemSummary(item, share, *counts)

    def _median(self) -> float | None:
        marked = self.totals.total()
        if not marked:
            return None
        return (self._ranked((marked - 1) // 2) + self._ranked(marked // 2)) / 2

    def _ranked(self, place: int) -> float:
        seen = 0
        for mark in sorted(self.totals):
            seen += self.totals[mark]
            if seen > place:
                return mark
        raise IndexError(place)

    def _spread(self, mean: float | None) -> float | None:
        if mean is None:
            return None
        squares = sum((mark - mean) ** 2 * self.totals[mark] for mark in sorted(self.totals))
        return math.sqrt(squares / self.totals.total())

    def _bins(self) -> tuple[tuple[float, float, int], ...]:
        """Cut the range of marks: one bin a mark where that is at most BINS + 1, else BINS."""
        out_of = self.scheme.out_of
        if out_of <= BINS:
            edges = [float(mark) for mark in range(math.floor(out_of) + 1)]
            width = 1.0
        else:
            width = math.ceil(out_of / BINS)
            edges = [float(mark) for mark in range(0, math.floor(out_of) + 1, int(width))]
        counts = Counter(
            min(len(edges) - 1, max(0, math.floor(mark / width))) for mark in self.totals.elements()
        )
        return tuple((edge, edge + width, counts[place]) for place, edge in enumerate(edges))

    def _faults(self) -> tuple[FaultSummary, ...]:
        ranked = sorted(self.places.items(), key=lambda one: (-one[1], one[0]))
        return tuple(
            FaultSummary(kind, where, count, self.firsts[kind, where])
            for (kind, where), count in ranked
        )


_VERDICTS = ("agrees", "fault", "unfinished", "undecided", "failed")


def summarise(entries: Iterable[Entry], scheme: Scheme) -> Summary:
    """Return the summary of a class."""
    gathering = Gathering(scheme)
    for entry in entries:
        gathering.take(entry)
    return gathering.summary()

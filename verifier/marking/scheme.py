"""A marking scheme: marks for each item, and what each kind of fault costs.

The usual practice is the default. An item has method and answer marks. An accuracy slip (a sign,
a lever arm, sine for cosine, arithmetic …) loses the answer marks of the item in which it is made,
once; what follows from it correctly keeps its marks. A missing or extra force loses a method mark,
and with it the answer. A misread of the question (another load, length or angle) loses accuracy,
not method. A wrong or missing unit costs a script one answer, once. Rounding costs nothing.
"""

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, field
from functools import cached_property

from verifier.findings import KINDS

GROUPS = ("reactions", "all members")


@dataclass(frozen=True)
class Marks:
    """An item's marks: for the method (a mark each step) and for the answer."""

    method: float
    answer: float

    @property
    def total(self) -> float:
        """Both together."""
        return self.method + self.answer


@dataclass(frozen=True)
class Penalty:
    """What a fault of one kind costs.

    `loses` is 'answer' (the item's answer marks), 'method' (one method mark and the answer marks),
    'all', 'nothing', or 'marks' (`amount` of the item's marks, answer first). With `once` only the
    first such fault of a script costs; `at_most` bounds what the kind can cost a script.
    """

    loses: str = "answer"
    amount: float = 0.0
    once: bool = False
    at_most: float | None = None


USUAL: Mapping[str, Penalty] = {
    **{kind: Penalty("answer") for kind in KINDS},
    "missing-force": Penalty("method"),
    "extra-force": Penalty("method"),
    "unit": Penalty("answer", once=True),
    "rounding": Penalty("nothing"),
    "unit-missing": Penalty("nothing"),
    "sense-missing": Penalty("nothing"),
    "figures": Penalty("nothing"),
}
"""The usual practice: every fault kind, and the three rules about how an answer is written."""


@dataclass(frozen=True)
class Scheme:
    """A whole scheme. `items` are in the order in which they are shown; `cap` bounds a script.

    `once_per_fault`: the same fault in the same term costs once a script. `faults_cost_at_most`
    bounds what all faults together cost. `working_needed`: an answer without a line that leads to
    it earns no method marks. `figures`: significant figures that an answer needs. `round_to`: the
    total is rounded to a multiple of it, halves up (0: not at all).
    """

    items: Mapping[str, Marks]
    title: str = ""
    follow_through: bool = True
    once_per_fault: bool = True
    working_needed: bool = False
    penalties: Mapping[str, Penalty] = field(default_factory=lambda: dict(USUAL))
    cap: float | None = None
    faults_cost_at_most: float | None = None
    figures: int = 0
    round_to: float = 0.0

    @property
    def out_of(self) -> float:
        """The most that a script can have."""
        total = sum(marks.total for marks in self.items.values())
        return total if self.cap is None else min(total, self.cap)

    def penalty(self, kind: str) -> Penalty:
        """Return what a fault kind costs; a kind that the scheme has not heard of, the answer."""
        return self.penalties.get(kind) or USUAL.get(kind) or Penalty("answer")

    def dump(self) -> str:
        """Return the scheme as JSON text in one fixed form."""
        plain = asdict(self) | {"items": [[k, asdict(m)] for k, m in self.items.items()]}
        return json.dumps(plain, sort_keys=True)

    @staticmethod
    def parse(text: str) -> "Scheme":
        """Return the scheme that `dump` wrote."""
        data = json.loads(text)
        data["items"] = {item: Marks(**marks) for item, marks in data["items"]}
        data["penalties"] = {kind: Penalty(**said) for kind, said in data["penalties"].items()}
        return Scheme(**data)

    @cached_property
    def _digest(self) -> str:
        return hashlib.sha256(self.dump().encode()).hexdigest()

    def digest(self) -> str:
        """Return the hash of all that marks depend on."""
        return self._digest


def split(total: float) -> Marks:
    """Split an item's marks in the usual way: one for the answer, the rest for the method."""
    answer = min(1.0, total)
    return Marks(total - answer, answer)


def expand(
    marks: Iterable[tuple[str, Marks]], items: tuple[str, ...], members: tuple[str, ...]
) -> dict[str, Marks]:
    """Return marks by single item: a group's marks are shared out evenly among its items.

    `items` are the sheet's items of `find`, `members` those that are members. An item named by
    itself keeps its own marks and takes no share. Raises `KeyError` for a name that is neither.
    """
    given = dict(marks)
    single = {name: value for name, value in given.items() if name in items}
    shared: dict[str, Marks] = {}
    for name, value in given.items():
        if name in single:
            continue
        of_group = tuple(item for item in _group(name, items, members) if item not in single)
        if not of_group:
            raise KeyError(name)
        share = Marks(value.method / len(of_group), value.answer / len(of_group))
        shared |= dict.fromkeys(of_group, share)
    both = single | shared
    return {item: both[item] for item in items if item in both}


def _group(name: str, items: tuple[str, ...], members: tuple[str, ...]) -> tuple[str, ...]:
    words = " ".join(name.casefold().split())
    if words == "reactions":
        return tuple(item for item in items if item.startswith("reaction "))
    if words == "all members":
        return members
    return tuple(item for item in items if item.startswith(f"{name} "))

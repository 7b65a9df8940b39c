"""Values that the working found and put in again with fewer figures, and what that moves."""

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass

from verifier.checking.derived import bare_number
from verifier.checking.faults import Explanation
from verifier.checking.faults.base import tidy
from verifier.checking.ledger import Found
from verifier.checking.state import Slip
from verifier.notation.tree import Expr, Name, Num, Relation, Span, walk

_NOISE = 1e-9
_SEEN = 2e-3
_COARSEST = 0.06
_OFTEN = 5.0
_MOST_SAID = 3


@dataclass(frozen=True)
class Use:
    """A number of a line that stands for a value found with more figures."""

    line: int
    span: Span
    written: str
    found: float


class EarlyRounding:
    """Notes where values are rounded before use, and which results hang on that."""

    def __init__(self) -> None:
        self.uses: list[Use] = []
        self.explained: set[str] = set()
        self._behind: dict[str, set[int]] = {}
        self.places: dict[str, tuple[int, Span]] = {}

    def copied(self) -> "EarlyRounding":
        """Return what is noted so far, apart from what is noted from here on."""
        other = EarlyRounding()
        other.uses, other.places = list(self.uses), dict(self.places)
        other._behind = {name: set(uses) for name, uses in self._behind.items()}
        return other

    def note(
        self,
        relation: Relation,
        line: int,
        stated: Mapping[str, Found],
        variable: Callable[[Name], str],
    ) -> None:
        """Take the numbers of a line that stand for values found before."""
        behind: set[int] = set()
        own: list[str] = []
        for side in relation.sides:
            result = _only_a_result(relation, side)
            for node in walk(side):
                if isinstance(node, Name):
                    own += [force] if (force := variable(node)) else []
                elif stated and not result and isinstance(node, Num):
                    behind |= self._number(node, line, stated)
        first = relation.sides[0]
        if isinstance(first, Name) and (force := variable(first)):
            self.places[force] = line, relation.span
        for name in own:
            behind |= self._behind.get(name, set())
        for name in own:
            self._behind.setdefault(name, set()).update(behind)

    def _number(self, number: Num, line: int, stated: Mapping[str, Found]) -> set[int]:
        """Return the uses behind a number: its own rounding, or those of the value that it is."""
        reach = min((number.high - number.low) / 2, _COARSEST * abs(number.value))
        near: tuple[float, str] | None = None
        for name, found in stated.items():
            gap = abs(abs(found.quantity.centre) - abs(number.value))
            if gap <= found.quantity.radius * 1.01 + _NOISE * abs(number.value):
                return self._behind.get(name, set())
            if gap <= reach * (1 + _NOISE) and (near is None or gap < near[0]):
                near = gap, name
        if near is None:
            return set()
        name = near[1]
        self.uses.append(Use(line, number.span, number.text, abs(stated[name].quantity.centre)))
        return {len(self.uses) - 1} | self._behind.get(name, set())

    def _likely(self, name: str, stated: Mapping[str, Found]) -> float:
        """Return how many times more a result may be off: values were rounded on the way to it."""
        shown = self._behind.get(name) or any(use.line <= stated[name].line for use in self.uses)
        return _OFTEN if shown else 1.0

    def _unseen(self, name: str, stated: Mapping[str, Found], truth: float) -> bool:
        """Tell whether a result is off by more than its last place and nothing shows why."""
        centre, radius = stated[name].quantity
        return not self._behind.get(name) and abs(centre - truth) > 2 * radius

    def slips(
        self,
        stated: Mapping[str, Found],
        true: Mapping[str, float],
        called: Mapping[str, str],
        told: Collection[int],
    ) -> Iterator[Slip]:
        """Yield a remark for every last result that rounding before use has moved.

        `told` are the lines whose rounding has its remark already.
        """
        scale = max((abs(value) for value in true.values()), default=0.0)
        groups: dict[str, list[int]] = {}
        moved = [
            name
            for name, found in stated.items()
            if _moved(name, found, true, scale, self._likely(name, stated))
        ]
        moved.sort(key=lambda name: stated[name].line)
        for at in range(len(self.uses)):
            last = next((n for n in reversed(moved) if at in self._behind.get(n, ())), None)
            if last is not None:
                groups.setdefault(last, []).append(at)
        for name in moved:
            uses = [self.uses[at] for at in groups.get(name, ())]
            place = self.places.get(name)
            off = self._unseen(name, stated, true[name])
            if not uses and place and place[0] not in told and off:
                uses = [Use(*place, "", true[name])]
            if uses:
                self.explained.add(name)
                yield _slip(uses, called.get(name, name), stated[name].quantity.centre, true[name])
            elif self._behind.get(name) or place is not None:
                self.explained.add(name)


def unseen_slip(place: tuple[int, Span], name: str, value: float, truth: float) -> Slip:
    """Return the remark on a result that rounding has moved where no use of a value shows it."""
    return _slip([Use(*place, "", truth)], name, value, truth)


def _only_a_result(relation: Relation, side: Expr) -> bool:
    """Tell whether a side is only the number that a name or a chain comes to."""
    return isinstance(bare_number(side), Num) and side is not relation.sides[0]


def _moved(name: str, found: Found, true: Mapping[str, float], scale: float, likely: float) -> bool:
    """Tell whether a result is off by what rounding may do, `likely` times more where it shows."""
    if found.tainted or name not in true:
        return False
    truth, (value, radius) = true[name], found.quantity
    gap = abs(value - truth)
    seen = gap > radius and gap > _SEEN * abs(truth) and gap > _SEEN / 10 * scale
    return seen and gap <= likely * max(_COARSEST * abs(truth), _COARSEST / 2 * scale)


def _slip(uses: list[Use], name: str, value: float, truth: float) -> Slip:
    first = uses[0]
    pairs = dict.fromkeys(f"{tidy(use.found)} → {use.written}" for use in uses)
    said = ", ".join([*pairs][:_MOST_SAID]) + (" …" if len(pairs) > _MOST_SAID else "")
    share = f", {abs(value / truth - 1):.1%}".replace("%", " %") if truth else ""
    if value * truth >= 0:
        value, truth = abs(value), abs(truth)
    what = f"Rounding before use ({said})" if first.written else "Early rounding"
    message = f"{what} moves {name} from {tidy(truth)} to {tidy(value)}{share}."
    explanation = Explanation(
        "rounding", first.span, tidy(first.found), message, 1.0, key=f"early {first.line} {name}"
    )
    return Slip(first.line, explanation, "rounded before use", remark=True)

"""The weight of a mass hung at a joint or lying on it."""

from dataclasses import dataclass
from fractions import Fraction

from verifier.structure.draft import Draft
from verifier.structure.geometry import WAYS, Vector
from verifier.structure.model import Couple, Force
from verifier.structure.statements import Statement
from verifier.structure.values import Value, value
from verifier.units import SHEET_GRAVITY

WORD = "mass"
EXAMPLE = "mass Q 250"
_POUNDS = {"lbf": Fraction(1), "kip": Fraction(1, 1000)}
_NEWTONS = {"N": Fraction(1), "kN": Fraction(1, 1000), "MN": Fraction(1, 1_000_000)}
_KILOGRAM_FORCE = Fraction("9.80665")


@dataclass(frozen=True)
class Mass:
    """A weight `size`, in the sheet's force unit, straight down at a joint.

    `mass` is what the sheet gave: kilograms, or pounds beside lbf and kip.
    """

    joint: str
    size: Value
    at: Vector
    label: str
    source: int
    mass: Value | None = None
    kind: str = WORD

    def resultants(self) -> tuple[Force | Couple, ...]:
        """Return the weight."""
        return (Force(self.size, WAYS["down"], self.at, self.joint, self.label, self.source),)


def build(statement: Statement, draft: Draft) -> tuple[Mass, ...]:
    """Return the load of a `mass` statement."""
    name, size = statement.parts
    joint = draft.loaded(statement, name)
    mass = draft.value(statement, size)
    weight = _weight(mass, draft)
    unit = "lb" if draft.force_unit in _POUNDS else "kg"
    label = f"the weight of the {draft.amount(statement, size, 'mass', unit)} at {joint}"
    return (Mass(joint, weight, draft.at(joint), label, statement.number, mass),)


def _weight(mass: Value, draft: Draft) -> Value:
    """Pounds weigh their number; kilograms weigh g newtons each, one kgf each where no g is let."""
    unit = draft.force_unit
    if unit in _POUNDS:
        return mass * value(_POUNDS[unit])
    gravity = draft.named("g")
    if unit == "kgf":
        return mass if gravity is None else mass * gravity / value(_KILOGRAM_FORCE)
    return mass * (gravity or value(Fraction(SHEET_GRAVITY))) * value(_NEWTONS[unit])

"""A force at a joint, in any direction."""

from dataclasses import dataclass

from verifier.structure.draft import Draft
from verifier.structure.geometry import Vector
from verifier.structure.model import Couple, Force
from verifier.structure.statements import Statement
from verifier.structure.values import Value

WORD = "load"
EXAMPLE = "load Q 6 down"


@dataclass(frozen=True)
class PointLoad:
    """A force `size` along the unit vector `direction`, at the joint `joint` that lies at `at`."""

    joint: str
    size: Value
    direction: Vector
    at: Vector
    label: str
    source: int
    kind: str = WORD

    def resultants(self) -> tuple[Force | Couple, ...]:
        """Return the one force that it is."""
        return (Force(self.size, self.direction, self.at, self.joint, self.label, self.source),)


def build(statement: Statement, draft: Draft) -> tuple[PointLoad, ...]:
    """Return the load of a `load` statement."""
    name, size, direction = statement.parts
    joint = draft.loaded(statement, name)
    amount = draft.value(statement, size)
    along = draft.direction(statement, direction, joint)
    label = f"the {draft.amount(statement, size, 'load', draft.force_unit)} at {joint}"
    return (PointLoad(joint, amount, along, draft.at(joint), label, statement.number),)

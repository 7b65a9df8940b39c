"""A roller: holds a joint in one direction only."""

from dataclasses import dataclass

from verifier.structure.draft import Draft
from verifier.structure.geometry import WAYS, Vector, toward
from verifier.structure.model import Reaction
from verifier.structure.statements import Statement
from verifier.structure.values import Value, value

WORD = "roller"
EXAMPLE = "roller B at 90"


@dataclass(frozen=True)
class Roller:
    """A roller or link support: one reaction along `degrees`, anticlockwise from +x."""

    joint: str
    direction: Vector = WAYS["up"]
    degrees: Value = value(90)  # noqa: RUF009 - a Value is immutable
    kind: str = WORD

    def reactions(self) -> tuple[Reaction, ...]:
        """Return its unknown, positive along its direction."""
        return (Reaction(f"reaction {self.joint}", self.joint, self.direction),)


def build(statement: Statement, draft: Draft) -> Roller:
    """Return the support of a `roller` statement."""
    name, *degrees = statement.parts
    joint = draft.joint(statement, name)
    if not degrees:
        return Roller(joint)
    turned = draft.value(statement, degrees[0])
    return Roller(joint, toward(turned), turned)

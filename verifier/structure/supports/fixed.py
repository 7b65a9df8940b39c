"""A fixed end: holds a body at a joint in every way."""

from dataclasses import dataclass

from verifier.structure.draft import Draft
from verifier.structure.geometry import WAYS
from verifier.structure.model import Reaction
from verifier.structure.statements import Statement
from verifier.structure.values import value

WORD = "fixed"
EXAMPLE = "fixed A"


@dataclass(frozen=True)
class Fixed:
    """A fixed support: two force components and a moment."""

    joint: str
    kind: str = WORD

    def reactions(self) -> tuple[Reaction, ...]:
        """Return its unknowns: right, up and anticlockwise positive."""
        nothing = (value(0), value(0))
        return (
            Reaction(f"reaction {self.joint} x", self.joint, WAYS["right"]),
            Reaction(f"reaction {self.joint} y", self.joint, WAYS["up"]),
            Reaction(f"reaction {self.joint} moment", self.joint, nothing, turns=True),
        )


def build(statement: Statement, draft: Draft) -> Fixed:
    """Return the support of a `fixed` statement. Only one body can be held so at a joint."""
    name = statement.parts[0]
    joint = draft.joint(statement, name)
    bodies = draft.bodies_at(joint)
    if len(bodies) != 1:
        why = "several bodies meet" if bodies else "there is no body, only members turn"
        expected = "a body of its own at the fixed joint"
        raise statement.error(name, f"{why} at {joint}", expected, f"body post: {joint}, …")
    return Fixed(joint)

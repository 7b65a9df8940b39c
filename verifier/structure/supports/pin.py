"""A pin: holds a joint both ways and lets it turn."""

from dataclasses import dataclass

from verifier.structure.draft import Draft
from verifier.structure.geometry import WAYS
from verifier.structure.model import Reaction
from verifier.structure.statements import Statement

WORD = "pin"
EXAMPLE = "pin A"


@dataclass(frozen=True)
class Pin:
    """A pinned support: two force components."""

    joint: str
    kind: str = WORD

    def reactions(self) -> tuple[Reaction, ...]:
        """Return its unknowns: right and up positive."""
        return (
            Reaction(f"reaction {self.joint} x", self.joint, WAYS["right"]),
            Reaction(f"reaction {self.joint} y", self.joint, WAYS["up"]),
        )


def build(statement: Statement, draft: Draft) -> Pin:
    """Return the support of a `pin` statement."""
    return Pin(draft.joint(statement, statement.parts[0]))

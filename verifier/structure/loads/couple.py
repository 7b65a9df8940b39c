"""An applied moment."""

from collections.abc import Sequence
from dataclasses import dataclass

from verifier.structure.draft import Draft
from verifier.structure.model import Couple, Force
from verifier.structure.statements import Node, Statement
from verifier.structure.values import Value

WORD = "couple"
EXAMPLE = "couple B 4 clockwise"


@dataclass(frozen=True)
class AppliedCouple:
    """A couple `moment`, anticlockwise positive, on the body `on` at the joint `joint`."""

    joint: str
    moment: Value
    on: str
    label: str
    source: int
    kind: str = WORD

    def resultants(self) -> tuple[Force | Couple, ...]:
        """Return the couple itself: it has no force and no arm."""
        return (Couple(self.moment, self.joint, self.on, self.label, self.source),)


def build(statement: Statement, draft: Draft) -> tuple[AppliedCouple, ...]:
    """Return the load of a `couple` statement."""
    name, size, turn, *body = statement.parts
    joint = draft.loaded(statement, name)
    amount = draft.value(statement, size)
    on = _body(statement, draft, joint, body)
    label = f"the {draft.amount(statement, size, 'couple', draft.moment_unit)} at {joint}"
    moment = -amount if str(turn).lower() == "clockwise" else amount
    return (AppliedCouple(joint, moment, on, label, statement.number),)


def _body(statement: Statement, draft: Draft, joint: str, given: Sequence[Node]) -> str:
    bodies = draft.bodies_at(joint)
    if given:
        on = draft.body(statement, given[0])
        if on not in bodies:
            problem = f"{on} does not reach {joint}"
            raise statement.error(given[0], problem, _choice(bodies), EXAMPLE)
        return on
    if len(bodies) != 1:
        why = f"several bodies meet at {joint}" if bodies else f"no body passes through {joint}"
        raise statement.error(statement.parts[0], why, _choice(bodies), f"{EXAMPLE} on deck")
    return bodies[0]


def _choice(bodies: tuple[str, ...]) -> str:
    if bodies:
        return " or ".join(f"on {name}" for name in bodies[:6])
    return "a joint of a body: two-force members carry no couple"

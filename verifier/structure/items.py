"""The items of `find`, `marks` and `call` under their full names (design §3)."""

from collections.abc import Iterable, Sequence

from lark import Token

from verifier.structure.draft import Draft
from verifier.structure.model import Load, Support
from verifier.structure.names import likely
from verifier.structure.statements import Node, Statement
from verifier.structure.values import Value

Call = tuple[str, ...]


class Items:
    """What a sheet's statements may ask for."""

    def __init__(self, draft: Draft, supports: Sequence[Support], loads: Sequence[Load]) -> None:
        self.draft = draft
        self.loads = loads
        self.members = tuple(member.name for member in draft.members)
        self._by_ends = {frozenset((m.start, m.end)): m.name for m in draft.members}
        self.reactions: dict[str, tuple[str, ...]] = {
            support.joint: tuple(unknown.item for unknown in support.reactions())
            for support in supports
        }

    def usual(self) -> tuple[str, ...]:
        """Return what is looked for where the sheet has no `find`."""
        return (*self._all_reactions(), *self.members)

    def wanted(self, statement: Statement) -> list[str]:
        """Return the items of a `find` statement, `reactions` and `all members` spelt out."""
        found: list[str] = []
        for part in statement.parts:
            match getattr(part, "type", ""):
                case "REACTIONS":
                    found.extend(self._all_reactions())
                case "ALL_MEMBERS":
                    if not self.members:
                        problem = "the sheet has no members"
                        raise statement.error(part, problem, "items that it has", "find reactions")
                    found.extend(self.members)
                case _:
                    found.extend(self.items(statement, part))
        return found

    def items(self, statement: Statement, node: Node) -> tuple[str, ...]:
        """Return the items that a node names: several for the whole `reaction` of a pin."""
        match getattr(node, "data", ""):
            case "pair":
                return (self._member(statement, node),)
            case "reaction":
                return self._reaction(statement, node)
            case "at_pin":
                return (self._pin(statement, node),)
        return (self._section(statement, node),)

    def call(self, statement: Statement) -> Call:
        """Return what a `call` statement gives a name to, as `Structure.calls` has it."""
        node = statement.parts[1]
        match getattr(node, "data", ""):
            case "of_force":
                return ("item", self._member(statement, node.children[0]))  # type: ignore[union-attr]
            case "of_length":
                return ("length", *self.draft.pair(statement, node.children[0]))  # type: ignore[union-attr]
            case "of_load":
                name = node.children[0]  # type: ignore[union-attr]
                joint = self.draft.joint(statement, name)
                if joint not in set(self._loaded()):
                    problem, expected = f"there is no load at {joint}", self._choice(self._loaded())
                    raise statement.error(name, problem, expected, "call W = load Q")
                return ("load", joint)
        return ("item", self._one(statement, node))

    def marks(self, statement: Statement) -> tuple[str, int]:
        """Return an item of `find` and its marks, a whole number from 1 to 1000."""
        item = self._one(statement, statement.parts[0])
        amount: Value = self.draft.value(statement, statement.parts[1])
        number = amount.args[0] if amount.op == "num" else None
        if number is None or number.denominator != 1 or not 1 <= number <= 1000:
            problem, expected = "marks are whole", "a whole number from 1 to 1000"
            raise statement.error(statement.parts[1], problem, expected, "marks P-R 2")
        return item, int(number)

    def _one(self, statement: Statement, node: Node) -> str:
        found = self.items(statement, node)
        if len(found) > 1:
            problem = "this is several items"
            raise statement.error(node, problem, " or ".join(found), f"marks {found[0]} 1")
        return found[0]

    def _all_reactions(self) -> Iterable[str]:
        return (item for items in self.reactions.values() for item in items)

    def _member(self, statement: Statement, pair: Node) -> str:
        one, two = self.draft.pair(statement, pair)
        name = self._by_ends.get(frozenset((one, two)))
        if name is None:
            problem = f"there is no member {one}-{two}"
            meant = likely(f"{one}-{two}", self.members)
            expected = f"perhaps {meant}" if meant else self._choice(self.members)
            raise statement.error(pair, problem, expected, f"member {one}-{two}")
        return name

    def _reaction(self, statement: Statement, node: Node) -> tuple[str, ...]:
        name, *part = node.children  # type: ignore[union-attr]
        joint = self.draft.joint(statement, name)
        items = self.reactions.get(joint)
        if items is None:
            problem, expected = f"{joint} has no support", self._choice(self.reactions)
            raise statement.error(name, problem, expected, f"pin {joint}")
        if not part:
            return items
        item = f"reaction {joint} {str(part[0]).lower()}"
        if item not in items:
            problem = f"the support at {joint} has no such part"
            raise statement.error(node, problem, " or ".join(items), f"find {items[0]}")
        return (item,)

    def _pin(self, statement: Statement, node: Node) -> str:
        name, axis, on = node.children  # type: ignore[union-attr]
        joint, body = self.draft.joint(statement, name), self.draft.body(statement, on)
        bodies = self.draft.bodies_at(joint)
        if body not in bodies:
            problem = f"{body} does not reach {joint}"
            raise statement.error(on, problem, self._choice(bodies) or "a body through it")
        alone = len(bodies) == 1 and joint not in self.reactions
        if alone and not any(joint in pair for pair in self._by_ends):
            problem = f"nothing else is pinned to {body} at {joint}"
            expected = "a joint that bodies or members share"
            raise statement.error(name, problem, expected, f"find pin {joint} x on {body}")
        return f"pin {joint} {str(axis).lower()} on {body}"

    def _section(self, statement: Statement, node: Node) -> str:
        word, name = node.children  # type: ignore[union-attr]
        joint = self.draft.joint(statement, name)
        if not self.draft.bodies_at(joint):
            problem = f"no body passes through {joint}"
            expected = "a joint of a body"
            raise statement.error(name, problem, expected, f"body deck: A, {joint}, B")
        return f"{str(word).lower()} at {joint}"

    def _loaded(self) -> list[str]:
        joints = (getattr(load, "joint", None) for load in self.loads)
        return list(dict.fromkeys(joint for joint in joints if joint))

    def _choice(self, names: Iterable[str]) -> str:
        some = list(names)
        return ("one of " if len(some) > 1 else "") + ", ".join(some[:8])


def is_bare(node: Node) -> bool:
    """Return whether a value is nothing but `A-B`, which may be a line between two joints."""
    if isinstance(node, Token):
        return False
    tokens = list(node.scan_values(lambda token: True))
    kinds = [token.type for token in tokens]
    named = {"NAME", "NUMBER"}
    return (
        len(kinds) == 3
        and kinds[0] in named
        and kinds[1] in ("MINUS", "NEGATIVE")
        and kinds[2] in named
    )

"""A sheet while it is being read: names looked up, values worked out, doubts turned into errors."""

import math
from collections.abc import Mapping, Sequence

from lark import Token, Tree

from verifier.errors import SheetError
from verifier.structure.arithmetic import Arithmetic
from verifier.structure.geometry import WAYS, Vector, toward, unit
from verifier.structure.letters import ROUNDS, stand_ins
from verifier.structure.model import Body, Member
from verifier.structure.names import key, likely
from verifier.structure.statements import Node, Statement
from verifier.structure.values import Value

_ROUNDED = 1e-4  # of a line's length: coordinates typed to four digits still lie on the line
_NOTHING = 1e-13


class Draft:
    """What statements of one sheet ask of each other.

    `names` are the values of lets and angles by key, `joints` the joints' places by name.
    """

    def __init__(self, letters: Sequence[str], angles: frozenset[str]) -> None:
        self.force_unit = "N"
        self.length_unit = "m"
        self.rounds = tuple(stand_ins(letters, angles, turn) for turn in range(ROUNDS))
        self.letters = self.rounds[0]
        self.names: dict[str, Value] = {}
        self.joints: dict[str, Vector] = {}
        self.members: list[Member] = []
        self.bodies: list[Body] = []
        self.arithmetic = Arithmetic(self.names, self.letters)
        self._known: dict[str, str] = {}
        self._points: dict[str, tuple[float, float]] = {}

    @property
    def moment_unit(self) -> str:
        """The unit of a moment, as `kN m`."""
        return f"{self.force_unit} {self.length_unit}"

    def declare(self, joint: str, at: Vector) -> None:
        """Add a joint and its place."""
        self.joints[joint] = at
        self._known[key(joint)] = joint

    def joint(self, statement: Statement, name: Node) -> str:
        """Return the joint that a word names. Raises `SheetError` where there is none."""
        known = self._known.get(key(str(name)))
        if known is None:
            raise _unknown(statement, name, "joint", list(self.joints), f"joint {name!s:.12} 2.4 0")
        return known

    def body(self, statement: Statement, name: Node) -> str:
        """Return the body that a word names. Raises `SheetError` where there is none."""
        known = {key(body.name): body.name for body in self.bodies}
        if key(str(name)) not in known:
            choices = list(known.values())
            raise _unknown(statement, name, "body", choices, f"body {name!s:.12}: A, B")
        return known[key(str(name))]

    def pair(self, statement: Statement, pair: Node) -> tuple[str, str]:
        """Return the two joints of `A-B`. Raises `SheetError` where they are one."""
        first, last = ends(pair)
        one, two = self.joint(statement, first), self.joint(statement, last)
        if one == two:
            problem = f"{one}-{two} has no length"
            raise statement.error(pair, problem, "two different joints", "P-Q")
        return one, two

    def loaded(self, statement: Statement, name: Node) -> str:
        """Return a joint that can take a load or support: one on a member or body."""
        joint = self.joint(statement, name)
        if not self.is_held(joint):
            raise self._unheld(statement, name, joint)
        return joint

    def _unheld(self, statement: Statement, name: Node, joint: str) -> SheetError:
        under = next((m for m in self.members if self._is_on(joint, m.start, m.end)), None)
        if under is None:
            problem = f"nothing passes through {joint}"
            expected = f"a joint of a member or body; add {joint} to the body that carries it"
            return statement.error(name, problem, expected, f"body deck: A, {joint}, B")
        problem = f"{joint} lies on {under.name}, which takes force at its ends alone"
        line = f"{under.start}, {joint}, {under.end}"
        expected = f"a joint of a member or body; make {under.name} a body"
        return statement.error(name, problem, expected, f"body bar: {line}")

    def _is_on(self, joint: str, start: str, end: str) -> bool:
        at, one, two = self.point(joint), self.point(start), self.point(end)
        whole = math.dist(one, two)
        return math.dist(one, at) + math.dist(at, two) - whole <= _ROUNDED * whole

    def is_held(self, joint: str) -> bool:
        """Return whether a member or body has the joint."""
        return bool(self.bodies_at(joint)) or any(
            joint in (member.start, member.end) for member in self.members
        )

    def bodies_at(self, joint: str) -> tuple[str, ...]:
        """Return the names of the bodies through a joint."""
        return tuple(body.name for body in self.bodies if joint in body.points)

    def at(self, joint: str) -> Vector:
        """Return a joint's place."""
        return self.joints[joint]

    def value(self, statement: Statement, node: Node) -> Value:
        """Return what a node is worth."""
        return self.arithmetic.value(statement, node)

    def number(self, amount: Value) -> float:
        """Return a value as a float, letters at their stand-ins."""
        return amount.number(self.letters)

    def point(self, joint: str) -> tuple[float, float]:
        """Return a joint's place as floats, letters at their stand-ins."""
        if joint not in self._points:
            across, up = self.joints[joint]
            self._points[joint] = (self.number(across), self.number(up))
        return self._points[joint]

    def named(self, name: str) -> Value | None:
        """Return the value of a let or angle, or None."""
        return self.names.get(key(name))

    def direction(self, statement: Statement, node: Node, joint: str) -> Vector:
        """Return the unit vector of a direction at a joint."""
        assert isinstance(node, Tree)
        word, *rest = node.children
        assert isinstance(word, Token)
        if word.type == "WAY":
            return WAYS[word.lower()]
        if word.type == "AT":
            return toward(self.value(statement, rest[0]))
        target = self.joint(statement, rest[0])
        here, there = self.at(joint), self.at(target)
        line = (there[0] - here[0], there[1] - here[1])
        if not any(self.sign(statement, part) for part in line):
            problem = f"no direction from {joint} to itself"
            raise statement.error(rest[0], problem, "another joint", f"toward {target}2")
        across, up = unit(line)
        return (across, up) if word.type == "TOWARD" else (-across, -up)

    def sign(self, statement: Statement, amount: Value, of: Value | None = None) -> int:
        """Return 1, 0 or −1; zero is measured against the size of `of`.

        Raises `SheetError` where letters leave the answer open.
        """
        found = {self._sign(amount, of, letters) for letters in self.rounds}
        if len(found) > 1:
            names = ", ".join(sorted(amount.letters))
            problem = f"this cannot be laid out while {names} stay letters"
            raise statement.error(None, problem, "numbers for them", "let a = 2.5")
        return found.pop()

    def amount(self, statement: Statement, node: Node, noun: str, unit_name: str) -> str:
        """Return a size as a report calls it: `6 kN load`, or `load P` where it is a name."""
        written = statement.written(node)
        if isinstance(node, Token) and node.type == "NAME":
            return f"{noun} {written}".strip()
        if any(character.isalpha() for character in written):
            return f"{noun} {written}".strip()
        return f"{written.replace('-', '−')} {unit_name} {noun}".strip()

    def _sign(self, amount: Value, of: Value | None, letters: Mapping[str, float]) -> int:
        size = amount.number(letters)
        near = 0.0 if amount.op == "num" else _NOTHING
        if abs(size) <= (near if of is None else _ROUNDED * abs(of.number(letters))):
            return 0
        return 1 if size > 0 else -1


def ends(pair: Node) -> tuple[Token, Token]:
    """Return the two names of `A-B`, wherever the grammar took it for a difference."""
    tokens = list(pair.scan_values(lambda token: token.type in ("NAME", "NUMBER")))  # type: ignore[union-attr]
    return tokens[0], tokens[-1]


def _unknown(
    statement: Statement, name: Node, what: str, known: list[str], example: str
) -> SheetError:
    meant = likely(str(name), known)
    if meant:
        expected = f"perhaps «{meant}»"
    elif known:
        expected = f"one of {', '.join(known[:8])}" + (", …" if len(known) > 8 else "")
    else:
        expected = f"a {what} of the sheet"
    return statement.error(name, f"there is no {what} «{name!s:.30}»", expected, example)

"""Lets, named angles and joints' places, in whatever order the sheet has them."""

from collections.abc import Iterable, Iterator, Sequence
from graphlib import CycleError, TopologicalSorter

from lark import Token, Tree

from verifier.structure.draft import Draft, ends
from verifier.structure.geometry import angle
from verifier.structure.items import is_bare
from verifier.structure.model import Angle
from verifier.structure.names import key
from verifier.structure.slips import EXAMPLES
from verifier.structure.statements import Node, Statement
from verifier.structure.values import Value, letter

Known = tuple[str, str]
"""A thing that has a value: ('name', KEY) for a let or angle, ('joint', KEY)."""

_TRIG = ("sin", "cos", "tan")


class Quantities:
    """The statements that give values, and what each of them needs first."""

    def __init__(
        self, lets: Sequence[Statement], angles: Sequence[Statement], joints: Sequence[Statement]
    ) -> None:
        self.lines: dict[Known, Statement] = {}
        for kind, lines in (("name", (*lets, *angles)), ("joint", joints)):
            for line in lines:
                known = (kind, key(str(line.parts[0])))
                first = self.lines.setdefault(known, line)
                if first is not line:
                    name = line.parts[0]
                    problem = f"a second «{name!s:.30}»; the first is on line {first.number}"
                    example = EXAMPLES[line.kind]
                    raise line.error(name, problem, "a name of its own", example)
        self.letters = tuple(str(line.parts[0]) for line in lets if len(line.parts) == 1)

    def used_as_angles(self, lines: Iterable[Statement]) -> frozenset[str]:
        """Return the letters that stand somewhere for degrees, directly or through a let."""
        waiting = [name for line in lines for name in _degrees(line)]
        seen: set[str] = set()
        while waiting:
            name = waiting.pop()
            if name in seen:
                continue
            seen.add(name)
            line = self.lines.get(("name", name))
            if line is not None and line.kind == "let":
                waiting.extend(_names(line.parts[1:]))
        return frozenset(name for name in self.letters if key(name) in seen)

    def work_out(
        self, draft: Draft
    ) -> tuple[dict[str, tuple[Value, Value]], dict[str, Value], dict[str, Angle]]:
        """Return the joints' places, the lets and the angles, in the sheet's order.

        Raises `SheetError` for a circle of lets, an unknown name or a value that is none.
        """
        angles: dict[Known, Angle] = {}
        places: dict[Known, tuple[Value, Value]] = {}
        for known in self._order():
            line = self.lines[known]
            name = str(line.parts[0])
            if line.kind == "joint":
                places[known] = (
                    draft.value(line, line.parts[1]),
                    draft.value(line, line.parts[2]),
                )
                draft.declare(name, places[known])
            elif line.kind == "angle":
                angles[known] = _angle(line, draft)
                draft.names[known[1]] = angles[known].degrees
            else:
                bare = len(line.parts) == 1
                draft.names[known[1]] = letter(name) if bare else draft.value(line, line.parts[1])
        return self._listed(draft, places, angles)

    def _listed(
        self,
        draft: Draft,
        places: dict[Known, tuple[Value, Value]],
        angles: dict[Known, Angle],
    ) -> tuple[dict[str, tuple[Value, Value]], dict[str, Value], dict[str, Angle]]:
        joints = {str(self.lines[k].parts[0]): places[k] for k in self.lines if k in places}
        draft.joints.clear()
        for name, at in joints.items():
            draft.declare(name, at)
        lets = {
            str(line.parts[0]): draft.names[known[1]]
            for known, line in self.lines.items()
            if line.kind == "let"
        }
        named = {one.name: one for one in (angles[k] for k in self.lines if k in angles)}
        return joints, lets, named

    def _order(self) -> list[Known]:
        needs = {known: self._needs(line) for known, line in self.lines.items()}
        try:
            return list(TopologicalSorter(needs).static_order())
        except CycleError as circle:
            around: list[Known] = list(reversed(circle.args[1]))
            line = self.lines[around[0]]
            names = [str(self.lines[known].parts[0]) for known in around]
            shown = " → ".join(names if len(names) < 9 else [*names[:6], "…", names[-1]])
            problem = f"values go round in a circle: {shown}"
            expected = "a value for one of them that needs none of the others"
            raise line.error(line.parts[0], problem, expected, EXAMPLES["let"]) from None

    def _needs(self, line: Statement) -> set[Known]:
        if line.kind == "angle" and _is_between(line):
            tokens = [token for part in line.parts[1:] for token in ends(part)]
            wanted = {("joint", key(str(token))) for token in tokens}
        else:
            wanted = {("name", name) for name in _names(line.parts[1:])}
        return {known for known in wanted if known in self.lines}


def _angle(line: Statement, draft: Draft) -> Angle:
    name = str(line.parts[0])
    if not _is_between(line):
        if len(line.parts) > 2:
            problem, expected = "this is no line between two joints", "two lines, A-B to A-C"
            raise line.error(line.parts[1], problem, expected, EXAMPLES["angle"])
        return Angle(name, draft.value(line, line.parts[1]))
    lines = []
    joints: list[str] = []
    for part in line.parts[1:]:
        first, last = (draft.joint(line, token) for token in ends(part))
        a, b = draft.at(first), draft.at(last)
        along = (b[0] - a[0], b[1] - a[1])
        if not any(draft.sign(line, one) for one in along):
            problem = f"{first}-{last} has no length"
            raise line.error(part, problem, "a line between two places", EXAMPLES["angle"])
        lines.append(along)
        joints += [first, last]
    degrees = angle(lines[0], lines[1], lambda amount: draft.sign(line, amount))
    return Angle(name, degrees, tuple(joints))


def _is_between(line: Statement) -> bool:
    return len(line.parts) == 3 and all(is_bare(part) for part in line.parts[1:])


def _names(parts: Iterable[Node]) -> Iterator[str]:
    for part in parts:
        tokens = [part] if isinstance(part, Token) else part.scan_values(lambda token: True)
        for token in tokens:
            if token.type == "NAME":
                yield key(token)
                yield key(token.lstrip("0123456789"))


def _degrees(line: Statement) -> Iterator[str]:
    if line.kind in ("roller", "angle") and not (line.kind == "angle" and _is_between(line)):
        yield from _names(line.parts[1:])
    for part in line.parts:
        if isinstance(part, Token):
            continue
        for node in part.iter_subtrees():
            if _turns(node):
                yield from _names(node.children[1:])


def _turns(node: Tree[Token]) -> bool:
    if node.data == "func":
        return str(node.children[0]).lower() in _TRIG
    return node.data == "direction" and getattr(node.children[0], "type", "") == "AT"

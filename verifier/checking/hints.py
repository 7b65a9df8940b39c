"""What the writing says of a writer's own name before it is sought: a bar's, a pin's force."""

import re
from collections.abc import Sequence

from verifier.checking.context import Surroundings
from verifier.checking.derived import bare_number
from verifier.checking.names import key_of
from verifier.checking.written import Written
from verifier.notation.tree import Assumption, Name, Num, Relation

_TENSION = re.compile(r"T_?\d?")
_ALONG = ("tension", "compression")
_AXES = {"left": "x", "right": "x", "up": "y", "down": "y"}


class Hints:
    """Narrows the forces that a name may be by its labels, its unit and the joint it names."""

    def __init__(self, written: Sequence[Written], around: Surroundings) -> None:
        self.around = around
        self.bars: set[str] = set()
        self.pushing: dict[str, Name] = {}
        self.drawn: set[str] = set()
        self.turning: dict[str, bool] = {}
        self.lengths: set[str] = set()
        self.ways: dict[str, str] = {}
        self.taken: dict[str, str] = {}
        last = ""
        for one in written:
            for part in one.line.parts:
                if isinstance(part, Relation) and isinstance(part.sides[0], Name):
                    last = key_of(part.sides[0])
                    self._note(last, part)
                elif isinstance(part, Relation) and part.continues and last:
                    self._note(last, part)
                elif isinstance(part, Relation):
                    last = ""
                elif isinstance(part, Assumption):
                    self.drawn |= {key_of(name) for name in part.names}
                    for name in part.names:
                        self._act(key_of(name), part.mark.meaning)
                        self.taken.setdefault(key_of(name), part.mark.meaning)

    def _act(self, key: str, meaning: str) -> None:
        """Note along which axis a force is said to act; it is open where that is said two ways."""
        axis = _AXES.get(meaning)
        if axis:
            self.ways[key] = axis if self.ways.get(key, axis) == axis else ""

    def _note(self, key: str, relation: Relation) -> None:
        for mark in (mark for marks in relation.marks for mark in marks):
            self._act(key, mark.meaning)
        if any(mark.meaning in _ALONG for marks in relation.marks for mark in marks):
            self.bars.add(key)
        last = relation.marks[-1] if relation.marks else ()
        name, value = relation.sides[0], relation.sides[-1]
        pushes = any(mark.meaning == "compression" for mark in last)
        if pushes and isinstance(name, Name) and isinstance(value, Num):
            self.pushing.setdefault(key, name)
        unit = getattr(bare_number(relation.sides[-1]), "unit", None)
        if unit is not None and unit.dims in ((1, 0), (1, 1)):
            self.turning.setdefault(key, unit.dims == (1, 1))
        elif unit is not None and unit.kind in ("length", "angle") and len(relation.sides) == 2:
            self.lengths.add(key)

    @property
    def forces(self) -> frozenset[str]:
        """The names that are said to pull, push or act some way: forces, and no plain numbers."""
        return frozenset(self.bars | self.drawn)

    def narrow(self, key: str, variables: list[str]) -> list[str]:
        """Return the forces that a name may be by all that is said of it."""
        asked = {item for item in self.around.figure.structure.find if "-" in item}
        if key in self.bars and asked & set(variables):
            variables = [v for v in variables if not v.startswith("reaction ")]
        inner = any(" at " in item for item in self.around.figure.structure.find)
        if _TENSION.fullmatch(key) and not inner and asked & set(variables):
            variables = [v for v in variables if "-" in v]
        if key in self.turning:
            turns = self.turning[key]
            variables = [v for v in variables if _turns(v) == turns] or variables
        joint = self.around.joint(key)
        bodies = self.around.figure.structure.bodies
        if joint is not None and sum(joint in body.points for body in bodies) > 1:
            variables = [v for v in variables if joint in v.split()] or variables
        return variables


def _turns(variable: str) -> bool:
    return variable.startswith("moment at ") or variable.endswith(" moment")

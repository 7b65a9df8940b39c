"""Checks a working against itself where no sheet is given."""

from collections import Counter
from collections.abc import Sequence

from verifier import units
from verifier.checking.course import Course
from verifier.checking.draft import draft_sheet
from verifier.checking.figure import Figure
from verifier.checking.names import Dictionary, Local, Meaning, Unknown, key_of
from verifier.checking.trial import Choice, Trial
from verifier.checking.written import Written
from verifier.notation import dress
from verifier.notation.tree import Name, Relation, walk
from verifier.structure.model import Structure

FIGURE_NOTE = (
    "No sheet was given: the working was checked against itself. Its equations were re-solved, its "
    "chains, units and senses followed; whether the equations fit the figure was not checked."
)


_REACTIONS = ("R", "V", "H", "X", "Y", "N", "A", "B")


class AloneDictionary(Dictionary):
    """Takes names as what their writing says; there is no figure to hold them against."""

    def meanings(self, name: Name) -> tuple[Meaning, ...]:
        """Return the member or reaction that a name writes, else the writer's own name."""
        place = (name.base, name.sub)
        if place not in self._answers:
            found: tuple[Meaning, ...] = ()
            reactive = bool(name.sub) and name.base in _REACTIONS
            for kind, *rest in sorted(dress(name), key=lambda c: reactive and c[0] != "reaction"):
                if kind == "member" and rest[0].isupper() and rest[1].isupper():
                    found = (Unknown("-".join(sorted(rest))),)
                elif kind == "reaction" and rest[0][:1].isupper() and (rest[1] or reactive):
                    found = (Unknown(f"reaction {rest[0]} {rest[1]}".strip()),)
                elif kind == "moment" and rest[0][:1].isupper():
                    found = (Unknown(f"reaction {rest[0]} moment"),)
                if found:
                    break
            self._answers[place] = (*found, Local(key_of(name)))
        return self._answers[place]


class AloneTrial(Trial):
    """Runs a working on a blank figure, in the unit of force that it writes most."""

    def __init__(self, written: Sequence[Written]) -> None:
        force = _force_unit(written)
        blank = Structure("", force, "m", {})
        super().__init__(Figure(blank, {}), written)
        self.names = AloneDictionary(self.figure)

    def best(self) -> Choice:
        """Return the default: with nothing to hold a sense against, names mean what they say."""
        return Choice()

    def course(self, choice: Choice) -> Course:
        """Return a course that takes sums as given."""
        course = super().course(choice)
        course.alone = True
        return course

    def notes(self) -> tuple[str, ...]:
        """Return what could not be checked, and a sheet to complete."""
        return FIGURE_NOTE, draft_sheet(self.written, self.names, self.figure.structure.force_unit)


def _force_unit(written: Sequence[Written]) -> str:
    count: Counter[float] = Counter()
    for one in written:
        for part in one.line.parts:
            for side in part.sides if isinstance(part, Relation) else ():
                for node in walk(side):
                    unit = getattr(node, "unit", None)
                    if unit is not None and unit.dims[0] == 1:
                        count[unit.factor] += 1
    for factor, _ in count.most_common(1):
        for name, size in units.FORCE.items():
            if abs(size - factor) < 1e-6 * size:
                return name
    return "kN"

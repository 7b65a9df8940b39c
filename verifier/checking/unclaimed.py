"""What claims nothing of the figure's equilibrium is left out where it does not hold."""

from dataclasses import replace

from verifier.checking import derived
from verifier.checking.beyond import Kind, no_claim
from verifier.checking.names import Local, Unknown
from verifier.checking.relations import Relations
from verifier.notation.tree import Name, Relation


class Unclaimed(Relations):
    """Judges relations with regard to whether they claim anything."""

    paper = ""
    """The unit of lengths drawn to a scale of forces; '' where nothing is drawn so."""

    def _relation(self, relation: Relation) -> None:
        """Judge a relation; what claims nothing of the figure only where it holds."""
        relation = self._off_paper(relation)
        kind = self._no_claim(relation)
        if not kind:
            super()._relation(relation)
            return
        status, self.judged.status = self.judged.status, "remark"
        kept, resultants, worked = self._keep(), self.resultants.copied(), self.worked.copied()
        called = dict(self.out.called)
        super()._relation(relation)
        odd = self.judged.status in ("fault", "undecided", "carried")
        apart = self.alone if kind == "supposed" else kind == "measure" and self._gives(relation)
        if odd or apart:
            self._restore(kept)
            self.resultants, self.worked, self.out.called = resultants, worked, called
            self.judged.notes.append("no claim about the figure's equilibrium")
            self.last_side = None
        self.judged.worsen(status)

    def _off_paper(self, relation: Relation) -> Relation:
        """Leave out how long a force is drawn where it is told as well: `CD = 6 kN = 1.5 cm`."""
        if not self.paper:
            return relation
        units = [derived.bare_unit(side) for side in relation.sides]
        drawn = [u is not None and u.text == self.paper for u in units]
        if not any(drawn[1:]) or not any(u is not None and u.kind == "force" for u in units):
            return relation
        kept = [i for i, on_paper in enumerate(drawn) if not (i and on_paper)]
        marks = relation.marks and tuple(relation.marks[i] for i in kept[:-1])
        marks = (*marks, relation.marks[-1]) if relation.marks else ()
        sides = tuple(relation.sides[i] for i in kept)
        return replace(relation, sides=sides, ops=relation.ops[: len(kept) - 1], marks=marks)

    def _no_claim(self, relation: Relation) -> Kind:
        names = relation.named
        end = derived.bare_unit(relation.sides[-1]) if self.paper else None
        if end is not None and end.text == self.paper:
            return "measure"
        own = len(names) > 1 and not (self.figure.structure.letters or self.alone)
        own = own and all(isinstance(self.names.meanings(name)[0], Local) for name in names)
        return no_claim(relation, self.text, own)

    def _gives(self, relation: Relation) -> bool:
        """Tell whether a relation gives a force's name a value: the area A beside a reaction A."""
        first = relation.sides[0]
        return isinstance(first, Name) and isinstance(self.reader.meaning(first), Unknown)

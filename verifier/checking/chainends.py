"""What the lines below a chain with a slip stand on: what it comes to, and not what it should."""

from verifier.checking import derived
from verifier.checking.ratios import Ratios
from verifier.notation.tree import Expr, Name, Relation


class ChainEnds(Ratios):
    """Lets a working go on from the end of a chain in which something went wrong."""

    chain: Expr | None = None
    """The first side of the chain that is being followed, over all its lines."""
    broken = False
    """Whether there is a slip in that chain."""

    def _chain_ends(self, relation: Relation, goes_on: bool, slipped: bool) -> None:
        """Take a chain to its end so far; it may go on in the line below."""
        if not goes_on or self.chain is None:
            self.chain, self.broken = relation.sides[0], False
        self.broken = self.broken or slipped
        if self.broken and (goes_on or len(relation.sides) > 2):
            self._ends_wrongly(self.chain, relation, goes_on)

    def _ends_wrongly(self, first: Expr, relation: Relation, goes_on: bool) -> None:
        """Let the lines below stand on what a chain with a slip comes to: `7 B = 35 + 24 = 69`."""
        if isinstance(first, Name):
            first = relation.sides[0]  # its value is told below
        left, right = self._form(first), self._form(relation.sides[-1])
        if left is None or right is None or right.present or isinstance(first, Name):
            return
        if left.present:
            self._learn(left.minus(right, 1), True)
        elif goes_on and self.subject:
            known = self._value(self.subject)
            for sign in (1.0, -1.0):
                if derived.same(known, sign * left.constant.centre, 0.01):
                    self._state(self.subject, right.constant.scaled(sign), True)
                    return

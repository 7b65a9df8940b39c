"""The exact solution: rationals, surds, letters and unevaluated trigonometry, as sympy expressions.

Members are solved for as force densities (force over length), so that the equations are as simple
as the coordinates; loads are superposed afterwards, so that their directions stay out of the
elimination. Where the geometry itself has letters or odd angles, these are carried as independent
generators of a field of fractions: the solution is a quotient of determinants, which holds for
whatever the generators stand for as long as the structure is determinate, and that is known.
"""

from collections.abc import Mapping
from typing import Any

import sympy

from verifier.statics.assembly import System, assemble, push
from verifier.statics.elimination import Row, back_substitute, reduce
from verifier.statics.exactfields import (
    Budget,
    ExactField,
    TooInvolved,
    decimal_field,
    field_for,
)
from verifier.statics.freebodies import FreeBodies
from verifier.statics.precise import geometry
from verifier.structure.values import Value

_LONG_NUMBER = 40
_LONG_LETTERS = 300

__all__ = ["ExactSolution", "TooInvolved", "tidy"]


class ExactSolution:
    """The exact value of every item of a determinate structure, worked out when first asked for.

    `rows` are the equations (by index) on which the solution rests, None for all.
    """

    def __init__(self, bodies: FreeBodies, rows: tuple[int, ...] | None) -> None:
        self.bodies = bodies
        self.rows = rows
        self._made: dict[str, Any] = {}
        self._solved: tuple[System, Mapping[int, Row], ExactField] | None = None
        self._pushes: dict[int, Any] = {}
        self._failed = False

    def item(self, item: str) -> Any:
        """Return an item's exact expression, letters as positive symbols.

        Raises `KeyError` for what is no item of the structure.
        """
        if item not in self._made:
            system, found, numbers = self._solution()
            if item in system.items:
                made = self._unknown(item, system, found, numbers)
            else:
                from verifier.statics.exactcuts import exact_held_pin, exact_internal

                made = exact_held_pin(self.bodies, item, self.item)
                if made is None:
                    made = exact_internal(self.bodies, item, self.item)
                made = tidy(made)
            self._made[item] = made
        return self._made[item]

    def _unknown(
        self, item: str, system: System, found: Mapping[int, Row], numbers: ExactField
    ) -> Any:
        width = len(system.items)
        total = sympy.Integer(0)
        for key, coefficient in found[system.index[item]].items():
            total += numbers.to_sympy(coefficient) * self._pushes[key - width]
        return (
            sympy.factor_terms(total) * self._length(item)
            if numbers.loads
            else tidy(total * self._length(item))
        )

    def _length(self, item: str) -> Any:
        ends = self.bodies.layout.member_ends.get(item)
        if ends is None:
            return sympy.Integer(1)
        one, two = (self.bodies.structure.joints[name] for name in ends)
        across, up = (two.x - one.x).exact(), (two.y - one.y).exact()
        return sympy.sqrt(sympy.factor(sympy.expand(across**2 + up**2)))

    def _solution(self) -> tuple[System, Mapping[int, Row], ExactField]:
        if self._failed:
            raise TooInvolved
        if self._solved is None:
            try:
                self._solved = self._solved_over(field_for(self.bodies.structure))
            except TooInvolved:
                self._failed = any(v.letters for v in geometry(self.bodies.structure))
                if self._failed:
                    raise
                self._solved = self._solved_over(decimal_field(self.bodies.structure))
        return self._solved

    def _solved_over(self, numbers: ExactField) -> tuple[System, Mapping[int, Row], ExactField]:
        layout = self.bodies.layout
        with numbers.context:
            system = assemble(layout, numbers.of, unit=False)
            width = len(system.items)
            pushes = push(layout, numbers.of if numbers.loads else Value.exact, system)
            rows = []
            self._pushes = {0: sympy.Integer(1)} if numbers.loads else {}
            for index, (key, row) in enumerate(zip(system.keys, system.copied(), strict=True)):
                if self.rows is not None and index not in self.rows:
                    continue
                load = pushes.get(key, 0)
                if load != 0 and numbers.loads:
                    row[width] = -load
                elif load != 0:
                    row[width + index] = 1
                    self._pushes[index] = -load
                rows.append(row)
            watch = Budget() if numbers.symbolic else None
            reduced = reduce(rows, width, numbers.dust, watch)
            return system, back_substitute(reduced, width, watch), numbers


def tidy(expression: Any) -> Any:
    """Return an expression in a short form: surds and fractions gathered, letters factored.

    Long numbers stay as they are: nobody reads them, and putting them in order takes minutes.
    """
    if expression.has(sympy.Float):
        return sympy.N(sympy.expand(expression), 15)
    if not expression.free_symbols:
        if sympy.count_ops(expression) > _LONG_NUMBER:
            return expression
        plain = sympy.expand(expression)
        return sympy.radsimp(plain) if plain.has(sympy.Pow) else plain
    if sympy.count_ops(expression) > _LONG_LETTERS:
        return expression
    plain = sympy.expand(expression)
    if not plain.is_polynomial(*plain.free_symbols):
        plain = sympy.cancel(sympy.together(plain))
    return sympy.factor_terms(plain)

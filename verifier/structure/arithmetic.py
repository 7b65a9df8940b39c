"""From a parsed value to an exact one, with every size bounded and nothing ever run as code."""

import re
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from lark import Token, Tree

from verifier.structure.geometry import root
from verifier.structure.names import key, likely
from verifier.structure.statements import Node, Statement
from verifier.structure.values import Value, call, power, value

MOST_NODES = 400
LARGEST = 1e12
LARGEST_POWER = 16
MOST_BITS = 512
_TIMES_NAME = re.compile(r"(\d+)([^\W\d].*)", re.DOTALL)


class Arithmetic:
    """Works out the values of one sheet.

    `names` maps the key of each name to its value and may grow while the sheet is read; `letters`
    are the stand-ins with which sizes are looked at.
    """

    def __init__(self, names: Mapping[str, Value], letters: Mapping[str, float]) -> None:
        self.names = names
        self.letters = letters

    def value(self, statement: Statement, node: Node) -> Value:
        """Return what a node is worth. Raises `SheetError` where it is worth nothing."""
        if isinstance(node, Token):
            found = self._token(statement, node)
        else:
            parts: list[Value | Token] = [
                part
                if isinstance(part, Token) and part.type not in ("NUMBER", "NAME")
                else self.value(statement, part)
                for part in node.children
            ]
            found = self._combined(statement, node, parts)
        self._bounded(statement, node, found)
        return found

    def size(self, statement: Statement, node: Node, amount: Value) -> float:
        """Return a value as a float. Raises `SheetError` where it has none."""
        try:
            return amount.number(self.letters)
        except ZeroDivisionError:
            raise statement.error(node, "division by zero", "a divisor other than 0") from None
        except (ValueError, OverflowError):
            hint = " while letters stay letters" if amount.letters else ""
            expected = "a real number of ordinary size"
            raise statement.error(node, f"this has no value{hint}", expected) from None

    def _token(self, statement: Statement, token: Token) -> Value:
        if token.type == "NUMBER":
            if len(token) > 40:
                raise statement.error(token, "a number of too many digits", "at most 40 digits")
            return value(Fraction(str(token)))
        known = self.names.get(key(token))
        if known is not None:
            return known
        product = _TIMES_NAME.fullmatch(token)
        if product and len(product[1]) < 20 and key(product[2]) in self.names:
            return value(int(product[1])) * self.names[key(product[2])]
        meant = likely(token, [str(name) for name in self.names])
        problem = f"«{token[:30]}» is no number and no let"
        expected = f"perhaps «{meant}»" if meant else "a number, or a name that has a let"
        raise statement.error(token, problem, expected, f"let {token[:12]} = 2.5")

    def _combined(self, statement: Statement, node: Tree[Token], parts: list[Any]) -> Value:
        total: Value = parts[0] if len(parts) != 2 else parts[1]
        match str(node.data), parts:
            case "neg", _:
                return -total
            case "pos", _:
                return total
            case "func", [name, _]:
                return root(total) if name.lower() == "sqrt" else call(name.lower(), total)
            case "power", [base, _, exponent]:
                return self._power(statement, node, base, exponent)
        for sign, part in zip(parts[1::2], parts[2::2], strict=True):
            match sign.type:
                case "PLUS" | "POSITIVE":
                    total = total + part
                case "MINUS" | "NEGATIVE":
                    total = total - part
                case "TIMES":
                    total = total * part
                case _:
                    self._divisor(statement, node, part)
                    total = total / part
            self._bounded(statement, node, total)
        return total

    def _divisor(self, statement: Statement, node: Node, divisor: Value) -> None:
        if abs(self.size(statement, node, divisor)) < 1e-14:
            raise statement.error(node, "division by zero", "a divisor other than 0")

    def _power(self, statement: Statement, node: Node, base: Value, exponent: Value) -> Value:
        if exponent.letters:
            raise statement.error(node, "a letter in a power", "a number as the power", "a^2")
        size = self.size(statement, node, exponent)
        if abs(size) > LARGEST_POWER:
            problem = "a power too large to work out"
            raise statement.error(node, problem, f"powers up to {LARGEST_POWER}", "2.5^2")
        if size < 0:
            self._divisor(statement, node, base)
        if exponent == value(Fraction(1, 2)):
            return root(base)
        return power(base, exponent)

    def _bounded(self, statement: Statement, node: Node, found: Value) -> None:
        if found.op == "num":
            number = found.args[0]
            bits = max(number.numerator.bit_length(), number.denominator.bit_length())
            if bits > MOST_BITS or abs(number) > LARGEST:
                raise statement.error(node, "a value too large", f"at most {LARGEST:.0e} in size")
            return
        if nodes(found, MOST_NODES) >= MOST_NODES:
            raise statement.error(node, "a value of too many parts", f"at most {MOST_NODES}")
        if not abs(self.size(statement, node, found)) <= LARGEST:
            raise statement.error(node, "a value too large", f"at most {LARGEST:.0e} in size")


def nodes(tree: Value, most: int) -> int:
    """Count the parts of a value, stopping at `most`."""
    waiting, count = [tree], 0
    while waiting and count < most:
        top = waiting.pop()
        count += 1
        if top.op not in ("num", "letter"):
            waiting.extend(top.args)
    return count

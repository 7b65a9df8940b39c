"""Tokens → our own tree: grouping of arguments, the grammar's parse, and the classes."""

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Any, cast

from lark import Token, Tree
from lark.exceptions import UnexpectedInput
from lark.lexer import Lexer

from verifier import grammars
from verifier.notation import numbers, units
from verifier.notation.functions import RECIPROCAL, function_name, radians
from verifier.notation.grouping import ready
from verifier.notation.names import canonical
from verifier.notation.products import Built, Product, implicit, mixed, plain_fraction, unmixed
from verifier.notation.slips import Slip, unexpected
from verifier.notation.source import Source
from verifier.notation.tokens import Tok
from verifier.notation.tree import (
    Add,
    Div,
    Expr,
    Func,
    Mul,
    Name,
    Neg,
    Num,
    Pow,
    Span,
)


class _Ready(Lexer):
    """Hands lark the tokens that are already cut."""

    def __init__(self, conf: Any) -> None:
        pass

    def lex(self, data: Any, parser_state: Any = None) -> Iterator[Token]:
        yield from data


def parse(
    tokens: list[Tok], source: Source, comma: numbers.Comma
) -> tuple[tuple[Expr, ...], tuple[Expr, ...] | None]:
    """Return the sides of a chain, and the sides read another way where the writing allows one.

    A quotient before an implicit product (`20/2 sin 45°`, `PL/4a`) is read from left to right;
    the other reading takes the whole product as divisor. Raises `Slip` where understanding stops.
    """
    grouped = ready(tokens)
    stream = [Token(t.kind, t.text, start_pos=t.start, end_pos=t.end) for t in grouped]
    try:
        tree = _grammar().parse(cast(Any, stream))
    except UnexpectedInput as error:
        raise unexpected(getattr(error, "token", None), grouped) from None
    builder = _Builder(source, comma, tight=False)
    sides = builder.sides(tree)
    other = _Builder(source, comma, tight=True).sides(tree) if builder.ambiguous else sides
    other = tuple(mixed(side) or unmixed(side) or side for side in other)
    return sides, (other if builder.ambiguous or other != sides else None)


def _grammar() -> Any:
    return grammars.parser("working", lexer=_Ready, propagate_positions=False)


class _Builder:
    """Turns the grammar's tree into ours; each step gives the node and its plain columns."""

    def __init__(self, source: Source, comma: numbers.Comma, tight: bool) -> None:
        self.source = source
        self.comma = comma
        self.tight = tight
        self.ambiguous = False

    def sides(self, tree: Any) -> tuple[Expr, ...]:
        return tuple(self.sum(child)[0] for child in tree.children if isinstance(child, Tree))

    def span(self, start: int, end: int) -> Span:
        return self.source.span(start, end)

    def sum(self, tree: Any) -> Built:
        terms: list[tuple[int, Expr]] = []
        sign, low, high = 1, -1, -1
        signed = False
        for child in tree.children:
            if isinstance(child, Token):
                low = _start(child) if low < 0 else low
                signed = signed or not terms
                sign = -sign if child == "-" else sign
                continue
            expr, start, end = self.term(child)
            low = start if low < 0 else low
            high = end
            terms.append((sign, expr))
            sign = 1
        if len(terms) > 1:
            return Add(self.span(low, high), tuple(terms)), low, high
        only_sign, only = terms[0]
        if only_sign < 0:
            return Neg(self.span(low, high), only), low, high
        return only, low, high

    def term(self, tree: Any) -> Built:
        run = Product(self.span)
        children = tree.children
        index = 0
        while index < len(children):
            child = children[index]
            index += 1
            if not isinstance(child, Token):
                run.times(self.factor(child))
                continue
            divisor = self.unary(children[index])
            index += 1
            if child.type == "TIMES":
                run.times(divisor)
                continue
            following = implicit(children, index)
            if following and not plain_fraction(run, divisor, children[index]):
                self.ambiguous = True
                if self.tight:
                    inner = Product(self.span)
                    inner.times(divisor)
                    for extra in children[index : index + following]:
                        inner.times(self.factor(extra))
                    divisor = inner.done()
                    index += following
            run.over(divisor)
        return run.done()

    def unary(self, tree: Any) -> Built:
        *signs, last = tree.children
        expr, low, high = self.factor(last)
        if not signs:
            return expr, low, high
        low = _start(signs[0])
        if sum(s == "-" for s in signs) % 2:
            return Neg(self.span(low, high), expr), low, high
        return expr, low, high

    def factor(self, tree: Any) -> Built:
        atom, *rest = tree.children
        expr, low, high = self.atom(atom)
        index = 0
        while index < len(rest):
            token = rest[index]
            if isinstance(token, Tree):
                exponent, _, high = self.exponent(token)
                expr = Pow(self.span(low, high), expr, exponent)
            elif token.type == "SUP":
                high = _end(token)
                expr = Pow(self.span(low, high), expr, self.superscript(token))
            elif token.type == "UNIT":
                high = _end(token)
                expr = self.with_unit(expr, token, low, high)
            index += 1
        return expr, low, high

    def exponent(self, tree: Any) -> Built:
        *signs, last = tree.children
        expr, low, high = self.atom(last)
        if signs and signs[0] == "-":
            return Neg(self.span(_start(signs[0]), high), expr), _start(signs[0]), high
        return expr, low, high

    def superscript(self, token: Token) -> Expr:
        digits = token.translate(_UP)
        span = self.span(_start(token), _end(token))
        if not digits.removeprefix("-").isdecimal():
            raise Slip(_start(token), f"{token} is no power", "unknown character")
        value = float(digits)
        number = Num(span, digits.lstrip("-"), abs(value), abs(value), abs(value))
        return Neg(span, number) if value < 0 else number

    def atom(self, item: Any) -> Built:
        if isinstance(item, Token):
            low, high = _start(item), _end(item)
            expr = self.number(item) if item.type == "NUM" else self.name(item)
            return expr, low, high
        if item.data == "group":
            inner, _, _ = self.sum(item.children[1])
            low, high = _start(item.children[0]), _end(item.children[-1])
            if isinstance(inner, Num | Name):
                return inner, low, high
            return replace(inner, span=self.span(low, high)), low, high
        return self.call(item)

    def call(self, tree: Any) -> Built:
        func = tree.children[0]
        arg, _, _ = self.sum(tree.children[-2])
        low, high = _start(func), _end(tree.children[-1])
        high = max(high, _end(tree.children[-2].children[-1]) if high == _start(func) else high)
        name = function_name(func)
        span = self.span(low, high)
        if name in ("sin", "cos", "tan", "cot", "sec", "csc"):
            arg = radians(arg)
        expr: Expr
        if name in RECIPROCAL:
            one = Num((span[0], span[0]), "", 1.0, 1.0, 1.0)
            expr = Div(span, one, Func(span, RECIPROCAL[name], arg))
        else:
            expr = Func(span, name, arg)
        if len(tree.children) == 5:
            expr = Pow(span, expr, self.superscript(tree.children[1]))
        return expr, low, high

    def number(self, token: Token) -> Expr:
        low, high = _start(token), _end(token)
        span = self.span(low, high)
        text = self.source.line[span[0] : span[1]]
        if token in numbers.VULGAR:
            top, bottom = numbers.VULGAR[str(token)]
            return Num(span, text, top / bottom, top / bottom, top / bottom)
        if numbers.is_composite(str(token)):
            return self.composite(token, span, text)
        try:
            digits = numbers.plain_digits(str(token), self.comma)
            value, least, most = numbers.interval(digits)
        except ValueError:
            raise Slip(low, f"two decimal points in {token}", "two decimal points") from None
        return Num(span, text, value, least, most)

    def composite(self, token: Token, span: Span, text: str) -> Expr:
        """Return feet and inches, degrees and minutes or a mixed number as one number."""
        value, half, name = numbers.composite(str(token))
        known = units.unit(name, span) if name else None
        unit = replace(known, text=name) if known else None
        return Num(span, text, value, value - half, value + half, unit)

    def name(self, token: Token) -> Expr:
        span = self.span(_start(token), _end(token))
        text = self.source.line[span[0] : span[1]] or str(token)
        if token in ("π", "pi"):
            return Num(span, text, math.pi, math.pi, math.pi)
        base, sub = undress(str(token))
        return Name(span, text, base, sub)

    def with_unit(self, expr: Expr, token: Token, low: int, high: int) -> Expr:
        span = self.span(_start(token), _end(token))
        text = str(token).strip()
        if text[:1] in "[(^":
            text = text.strip("[]()^{} ")
        unit = units.unit("°" if text.strip("^{}") == "o" else text, span)
        if unit is None:
            raise Slip(_start(token), f"unit not known: {token}", "unknown unit")
        if isinstance(expr, Num | Name):
            return replace(expr, span=self.span(low, high), unit=unit)
        if isinstance(expr, Mul | Div):
            return replace(expr, span=self.span(low, high), unit=unit)
        return Mul(self.span(low, high), (expr,), unit)


_UP = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻", "0123456789-")


def undress(text: str) -> tuple[str, str]:
    """Return (base, sub) of a written name: A_{x} → A, x; S₁ → S, 1; PR → PR, ''."""
    if " " in text and "_" not in text:
        return " ".join(text.split()), ""
    head, mark, tail = text.replace("-", "").partition("_")
    if mark:
        return canonical(head), canonical(tail)
    plain = canonical(head)
    letters = plain.rstrip("0123456789")
    if letters != plain and letters.isalpha():
        return letters, plain[len(letters) :]
    return plain, ""


def _start(token: Token) -> int:
    return token.start_pos or 0


def _end(token: Token) -> int:
    return token.end_pos or 0

"""One clause of a line (what stands between two separators) → its parts."""

from verifier.notation import marks
from verifier.notation.chains import OPERATORS, Chains, depths
from verifier.notation.claims import assumption, statement
from verifier.notation.context import Context
from verifier.notation.tokens import Scanner, Tok
from verifier.notation.tree import Part, Prose, Relation, Unread

_COMPARES = "<>≤≥≠±≪≫∝∈"


def clause(text: str, start: int, end: int, ctx: Context) -> list[Part]:
    """Read plain text[start:end] (`text` may be masked) as relation, statement, words or Unread."""
    while end > start and text[end - 1] in " \t.,":
        end -= 1
    if start >= end:
        return []
    found, stop = marks.marks_at(ctx.source, start, end)
    if found and not text[stop:end].strip(" .,!"):
        return list(found)
    tokens = Scanner(text, start, end, ctx.lex).run()
    if not tokens:
        return []
    if any(token.kind == "BAD" and token.text in _COMPARES for token in tokens):
        return [Prose(ctx.source.span(start, end))]
    if any(t.kind == "EQ" and not d for t, d in zip(tokens, depths(tokens), strict=True)):
        return Chains(text, tokens, end, ctx).read()
    return _without_equals(text, tokens, start, end, ctx)


def _without_equals(text: str, tokens: list[Tok], start: int, end: int, ctx: Context) -> list[Part]:
    span = ctx.source.span(start, end)
    if assumed := assumption(text, start, end, ctx):
        return [assumed]
    if stated := statement(text, tokens, start, end, ctx):
        return [stated]
    marks_from = marks.tail(text, start, end)
    before = [token for token in tokens if token.start < marks_from]
    kinds = {token.kind for token in before}
    if ("WORD" not in kinds and (kinds & {"NUM", *OPERATORS})) or (ctx.labelled and "NUM" in kinds):
        return _bare_expression(tokens, before, text, ctx)
    return [Prose(span)]


def _bare_expression(tokens: list[Tok], before: list[Tok], text: str, ctx: Context) -> list[Part]:
    """Read a balance with `= 0` left out, or a value restated."""
    start, end = tokens[0].start, tokens[-1].end
    relations = Chains(text, tokens, end, ctx)
    span = ctx.source.span(start, end)
    named = any(t.kind == "NAME" for t in before)
    sums = any(t.kind == "SIGN" for t in before[1:])
    if ctx.carried:
        return relations.read(restated=True)
    if (ctx.labelled and not ctx.follows) or (named and sums):
        return relations.read(implied=True)
    if not named:
        parts = relations.read(restated=True)
        return parts if ctx.follows or not isinstance(parts[0], Relation) else [Prose(span)]
    names = [i for i, t in enumerate(before) if t.kind == "NAME"]
    if names == [0] and len(before) > 1 and before[1].kind == "NUM":
        if len(tokens) > len(before) and all(t.kind in ("NUM", "UNIT") for t in before[1:]):
            return Chains(text, _said(tokens), end, ctx).read()
        at = ctx.source.place(before[1].start)
        return [Unread(span, at, "no = between the two sides", "missing =")]
    return relations.read(implied=True)


def _said(tokens: list[Tok]) -> list[Tok]:
    """Put the `=` into an answer such as `AB 4.5 kN C`."""
    name, value = tokens[0], tokens[1]
    return [name, Tok("EQ", "=", name.end, value.start), *tokens[1:]]

"""One clause of a line (what stands between two separators) → its parts."""

import re

from verifier.notation import inner, marks, sentences, units
from verifier.notation.chains import OPERATORS, Chains
from verifier.notation.claims import assumptions, statements
from verifier.notation.context import Context
from verifier.notation.names import canonical, is_known
from verifier.notation.separators import clause_end
from verifier.notation.sides import depths
from verifier.notation.tokens import Scanner, Tok
from verifier.notation.tree import Part, Prose, Relation, Unread

_AGAINST_ZERO = re.compile(r"(?<=\S)\s*[<>≤≥]\s*0(?![\d.,])(?=[^=<>]*$)")
_BROKEN_OFF = re.compile(r"\s*(?:\.{3,}|…)")
_SIDE = re.compile(r"=\s*")
_COLUMNS = re.compile(r"\S\s{3,}(?=\S)")
_VALUE = {"NUM", "UNIT"}
_COMPARES = "<>≤≥≠±≪≫∝∈"


def clause(text: str, start: int, end: int, ctx: Context) -> list[Part]:
    """Read plain text[start:end] (`text` may be masked) as relation, statement, words or Unread."""
    while end > start and text[end - 1] in " \t.,!":
        end -= 1
    if start >= end:
        return []
    if "=" in text[start:end] and _enclosed(text, start, end):
        inside = _in_brackets(text, start + 1, end - 1, ctx)  # `Section at K (x = 2 m), left part`
        if any(isinstance(part, Relation) for part in inside) and not any(
            isinstance(part, Unread) for part in inside
        ):
            return inside
    found, stop = marks.marks_at(ctx.source, start, end)
    if found and not text[stop:end].strip(" .,!"):
        return list(found)
    if (told := _AGAINST_ZERO.search(text, start, end)) and "=" in text[start : told.start()]:
        text = text[: told.start()] + " " * len(told.group()) + text[told.end() :]
    tokens = _tokens(text, start, end, ctx)
    if not tokens:
        return []
    if any(token.kind == "BAD" and token.text in _COMPARES for token in tokens):
        return [Prose(ctx.source.span(start, end))]
    if any(t.kind == "EQ" and not d for t, d in zip(tokens, depths(tokens), strict=True)):
        return Chains(text, tokens, end, ctx).read()
    return _without_equals(text, tokens, start, end, ctx)


def _in_brackets(text: str, start: int, end: int, ctx: Context) -> list[Part]:
    """Read what stands in brackets, clause by clause: `H = 3.2   (A_x = 3.2, B_x = −3.2)`."""
    if not all("=" in piece for piece in text[start:end].split(", ")):
        return clause(text, start, end, ctx)
    parts: list[Part] = []
    while start < end:
        stop, text = clause_end(text, start, end, ctx.lex, ctx.comma)
        parts += clause(text, start, stop, ctx)
        start = stop
        while start < end and text[start] in " ,;":
            start += 1
        if start == stop:
            return parts if start >= end else clause(text, start, end, ctx)
    return parts


def _tokens(text: str, start: int, end: int, ctx: Context) -> list[Tok]:
    """Cut a clause into tokens; an inner force told in words is one: `BM at A = BM at C = 0`."""
    tokens: list[Tok] = []
    at = start
    begins = (start, *(match.end() for match in _SIDE.finditer(text, start, end)))
    found = [name for place in begins if (name := inner.named(text, place, end, ctx.lex))]
    found += inner.within(text, start, end, ctx.lex)
    for name in sorted(found, key=lambda one: one.start):
        if name.start >= at:
            tokens += [*Scanner(text, at, name.start, ctx.lex).run(), name]
            at = name.end
    return [*tokens, *Scanner(text, at, end, ctx.lex).run()]


def _enclosed(text: str, start: int, end: int) -> bool:
    """Tell whether a bracket opens at `start` and closes at `end`, not before."""
    if text[start] not in "([" or text[end - 1] not in ")]":
        return False
    depth = 0
    for at in range(start, end - 1):
        depth += (text[at] in "([") - (text[at] in ")]")
        if not depth:
            return False
    return True


def _without_equals(text: str, tokens: list[Tok], start: int, end: int, ctx: Context) -> list[Part]:
    span = ctx.source.span(start, end)
    if assumed := assumptions(text, start, end, ctx):
        return assumed
    again = ctx.follows or text[:start].rstrip().endswith("i.e.")
    if again and _is_given(text, tokens, end, ctx):
        return Chains(text, tokens, end, ctx).read(restated=True)
    if stated := statements(text, tokens, start, end, ctx):
        return stated
    if told := sentences.told(text, tokens, start, end, ctx):
        return told
    told_only = ctx.follows and tokens[0].kind == "WORD" and {t.kind for t in tokens[1:]} <= _VALUE
    if ctx.listed or told_only:
        return [Prose(span)]
    marks_from = marks.tail(text, start, end)
    before = [token for token in tokens if token.start < marks_from]
    kinds = {token.kind for token in before}
    worded = sum(token.kind == "WORD" for token in before) > 2
    if worded and not kinds & {*OPERATORS, "LPAR"}:
        return [Prose(span)]  # `the 9 kN load is 2 m away`
    if ("WORD" not in kinds and (kinds & {"NUM", *OPERATORS})) or (ctx.labelled and "NUM" in kinds):
        return _bare_expression(tokens, before, text, ctx)
    return [Prose(span)]


def _is_given(text: str, tokens: list[Tok], end: int, ctx: Context) -> bool:
    """Tell whether a clause is a given letter in its sense: `C_V = −P, i.e. P ↓`."""
    tail = marks.tail(text, tokens[0].start, end)
    before = [token for token in tokens if token.start < tail]
    letters = [t for t in before if t.kind == "NAME" and canonical(t.text) in ctx.lex.letters]
    return tail < end and len(letters) == 1 and all(t in letters for t in before)


def _bare_expression(tokens: list[Tok], before: list[Tok], text: str, ctx: Context) -> list[Part]:
    """Read a balance with `= 0` left out, or a value restated."""
    start, end = tokens[0].start, tokens[-1].end
    relations = Chains(text, tokens, end, ctx)
    span = ctx.source.span(start, end)
    if _BROKEN_OFF.match(text, end):
        return [Prose(span)]  # `ΣM_A = 0: −B·2.5 … B acts to the left: …`
    marked = len(tokens) > len(before) and ctx.follows
    given = ctx.lex.letters if marked else frozenset()
    named = any(t.kind == "NAME" and canonical(t.text) not in given for t in before)
    sums = any(t.kind == "SIGN" for t in before[1:])
    if ctx.carried:
        return relations.read(restated=True)
    if _answers(before, ctx):
        return Chains(text, _said(tokens), end, ctx).read()
    worded = len(tokens) > len(before) or any(token.kind == "WORD" for token in before)
    if ctx.labelled and named and worded and not sums:
        return [Prose(span)]  # `Moments about O: F(80) pulls down at Q`
    alone = not named and not {*OPERATORS} & {t.kind for t in before[1:]}
    if ctx.labelled and not ctx.follows and alone and worded:
        return [Prose(span)]  # `Horizontal: …, so the wall pulls with 40 N to the left`
    kinds = [token.kind for token in before]
    lone = kinds.count("NUM") == 1 and not {*kinds} & {"NAME", "FUNC", "TIMES", "DIV", "COMPOSITE"}
    if lone and ctx.labelled and not ctx.follows and not sums:
        return [Prose(span)]  # `Moments about A: C at 3.2, G at 1.5`
    if len(_COLUMNS.findall(text[start:end])) > 1 and not ctx.follows:
        return [Prose(span)]  # a row of a table of moments
    if (ctx.labelled and not ctx.follows) or (sums and _ours(before, ctx)):
        return relations.read(implied=True)
    if not named:
        parts = relations.read(restated=True)
        if worded and isinstance(parts[0], Unread):
            return [Prose(span)]  # `…, vertical 3 kN up`
        return parts if ctx.follows or not isinstance(parts[0], Relation) else [Prose(span)]
    names = [i for i, t in enumerate(before) if t.kind == "NAME"]
    if names == [0] and len(before) > 1 and before[1].kind == "NUM":
        if len(tokens) == 2 and before[1].start - before[0].end > 1 and _ours(before, ctx):
            return Chains(text, _said(tokens), end, ctx).read()  # a row of results: `P_V   0.0`
        if len(tokens) > len(before) and all(t.kind in ("NUM", "UNIT") for t in before[1:]):
            return Chains(text, _said(tokens), end, ctx).read()
        if _places(before, ctx) or _is_word(before[0].text, ctx) or _counts(before[0].text, ctx):
            return [Prose(span)]
        at = ctx.source.place(before[1].start)
        return [Unread(span, at, "no = between the two sides", "missing =")]
    parts = relations.read(implied=True)
    told = [token.kind for token in before].count("WORD") > 2  # a sentence with a product in it
    return parts if isinstance(parts[0], Unread) and not told else [Prose(span)]


def _places(tokens: list[Tok], ctx: Context) -> bool:
    """Tell whether a length stands behind what is no force's name: `C 1.5 m`, `run 2.4`.

    An angle behind a name says where a thing lies, `OB 0°`.
    """
    length = units.unit(tokens[-1].text, (0, 0)) if tokens[-1].kind == "UNIT" else None
    if length is not None and length.kind == "angle":
        return True
    name = tokens[0].text
    word = name.rstrip(".").isalpha() and name.islower() and len(name) > 2
    known = is_known(canonical(name), ctx.lex)
    if length is not None and length.kind == "length" and len(tokens) > 2:
        return True  # a bar's length, or a force's drawn to scale: `CD 4.5 cm`
    return not known and word


def _is_word(text: str, ctx: Context) -> bool:
    """Tell whether what stands before a number is a small word, as in `sum 28`."""
    small = len(text) > 2 and text.isalpha() and text.islower()
    return small and not is_known(canonical(text), ctx.lex) and not ctx.lex.bare


def _counts(text: str, ctx: Context) -> bool:
    """Tell whether a word with a capital stands before what it counts: `Net 266 Nm`."""
    word = (text in ("Net", "Sum", "Tot") or len(text) > 3) and text.isalpha()
    return word and text[1:].islower() and not is_known(canonical(text), ctx.lex)


def _ours(tokens: list[Tok], ctx: Context) -> bool:
    """Tell whether a name of the sheet is among the tokens: only then a sum may lack its `= 0`."""
    names = [token for token in tokens if token.kind == "NAME"]
    return any(ctx.lex.bare or is_known(canonical(token.text), ctx.lex) for token in names)


def _answers(tokens: list[Tok], ctx: Context) -> bool:
    """Tell whether `AB −13.9 kN` gives a value: its sign stands at the number, not between."""
    kinds = [token.kind for token in tokens]
    if kinds[:3] != ["NAME", "SIGN", "NUM"] or kinds[3:] not in ([], ["UNIT"]):
        return False
    name, sign, number = tokens[:3]
    apart = sign.start > name.end and number.start == sign.end
    return apart and len(name.text) > 1 and is_known(canonical(name.text), ctx.lex)


def _said(tokens: list[Tok]) -> list[Tok]:
    """Put the `=` into an answer such as `AB 4.5 kN C`."""
    name, value = tokens[0], tokens[1]
    return [name, Tok("EQ", "=", name.end, value.start), *tokens[1:]]

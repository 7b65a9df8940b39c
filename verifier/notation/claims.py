"""Declared senses and claims in words: 'assume QR in compression', 'PR is in tension', 'A_y up'."""

import re

from verifier.notation import build, marks
from verifier.notation.context import Context
from verifier.notation.names import canonical, is_known
from verifier.notation.tokens import Scanner, Tok
from verifier.notation.tree import Assumption, Mark, Name, Part, Statement

ASSUME = re.compile(
    (
        r"(?:i |we )?(?:assum(?:e|ing|ed)|suppos(?:e|ing)|let|take|taking|guess(?:ing)?"
        r"|Annahme|angenommen|on suppose|supposons|suppongo|si suppone|se supone"
        r"|suponiendo|zakładamy|say|drawn|taken)\b:?\s*"
    ),
    re.I,
)


_THAT = re.compile(
    (
        r"(?:that|all|the|members?|bars?|forces?|reactions?|in|at|force|unknown|is|are"
        r"|acts?|to be|be|as|both|sense of|direction of|an?|ist|einen?|ein|est|une?|è"
        r"|una?|es|jest|carr(?:y|ies))\b\s*"
    ),
    re.I,
)


_GAP = re.compile(r"[\s,;&:()]*(?:and\s|und\s|et\s|y\s|e\s)?")


_LOOSE = ("T", "C", "up", "down", "left", "right")


_LONGEST_CLAIM = 300


def assumption(text: str, start: int, end: int, ctx: Context) -> Part | None:
    """Read a declared sense, None where the clause is none."""
    lead = ASSUME.match(text, start, end)
    if lead is None:
        return None
    names, mark = _names_and_mark(text, lead.end(), end, ctx)
    if mark is None:
        return None
    return Assumption(ctx.source.span(start, end), names, mark[0])


def statement(text: str, tokens: list[Tok], start: int, end: int, ctx: Context) -> Part | None:
    """Read a claim about names in words, None where the clause is none."""
    if any(t.kind in ("NUM", "DIV", "TIMES", "FUNC") for t in tokens):
        return None
    names, mark = _names_and_mark(text, start, end, ctx)
    if mark is None or not names:
        return None
    span = ctx.source.span(start, end)
    only = len(names) == 1 and mark[0].meaning in (
        "up",
        "down",
        "left",
        "right",
        "clockwise",
        "anticlockwise",
    )
    if only and not re.search(r"\b(?:is|are|acts?|acting|must)\b", text[start:end]):
        return Assumption(span, names, mark[0])
    return Statement(span, names, tuple(mark))


def _names_and_mark(
    text: str, start: int, end: int, ctx: Context
) -> tuple[tuple[Name, ...], list[Mark] | None]:
    """Read names and the marks that follow them: 'QR, PR in compression', 'A_y up'."""
    names: list[Name] = []
    at, end = start, min(end, start + _LONGEST_CLAIM)
    said: list[Mark] = []
    while at < end:
        gap = _GAP.match(text, at, end)
        at = gap.end() if gap else at
        if at >= end:
            break
        mark = marks.mark_at(text, at, end)
        if mark is not None and mark.text.strip() not in ("T", "C"):
            said.append(marks.as_mark(ctx.source, mark))
            at = mark.end
            continue
        filler = _THAT.match(text, at, end)
        if filler and filler.end() > at and not _named(filler.group(), ctx):
            at = filler.end()
            continue
        token = next(iter(Scanner(text, at, end, ctx.lex).run(most=1)), None)
        if token is None or token.kind != "NAME":
            if token is not None and token.kind == "WORD":
                at = token.end
                continue
            return (), None
        base, sub = build.undress(token.text)
        span = ctx.source.span(token.start, token.end)
        names.append(Name(span, ctx.source.line[span[0] : span[1]], base, sub))
        at = token.end
    return tuple(names), said or None


def _named(word: str, ctx: Context) -> bool:
    """Tell whether a small word in capitals is a name of the sheet: BE, IS, AN."""
    word = word.strip()
    return word.isupper() and is_known(canonical(word), ctx.lex)

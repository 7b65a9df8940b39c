"""Declared senses and claims in words: 'assume QR in compression', 'PR is in tension', 'A_y up'."""

import re

from verifier.notation import build, marks
from verifier.notation.context import Context
from verifier.notation.names import canonical, is_known
from verifier.notation.tokens import Scanner, Tok
from verifier.notation.tree import Assumption, Mark, Name, Part, Span, Statement

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


def assumptions(text: str, start: int, end: int, ctx: Context) -> list[Part]:
    """Read declared senses, none where the clause declares none: `assume AB (T), AC (C)`."""
    lead = ASSUME.match(text, start, end)
    if lead is None:
        return []
    said = _names_and_marks(text, lead.end(), end, ctx)
    return [
        Assumption(span, names, _positive(told, text))
        for span, names, told in _claims(said, ctx.source.span(start, end))
    ]


_POSITIVE = re.compile(r"\W{0,3}(?:(?:is|as|ist|est|taken|counted)\W+){0,2}(?:\+|posit)", re.I)


def _positive(told: tuple[Mark, ...], text: str) -> Mark:
    """Return the sense that a claim says is positive: `the strut's force, tension positive`."""
    return next((mark for mark in told if _POSITIVE.match(text, mark.span[1])), told[0])


def statements(text: str, tokens: list[Tok], start: int, end: int, ctx: Context) -> list[Part]:
    """Read claims about names in words, none where the clause makes none."""
    if any(t.kind in ("NUM", "DIV", "TIMES", "FUNC") for t in tokens):
        return []
    if _UNSURE.search(text, start, end):
        return []
    if bracketed := _bracketed(text, start, end, ctx):
        return bracketed
    found: list[Part] = []
    said = _names_and_marks(text, start, end, ctx)
    first = said[0] if said else None
    if ctx.follows and isinstance(first, Mark) and first.meaning in _SENSES:
        return []  # `= 2.4 kN, down at A and up at B`: which way that value acts
    for span, names, told in _claims(said, ctx.source.span(start, end)):
        if not names:
            return []
        only = len(names) == 1 and told[0].meaning in _SENSES
        if only and (not _ACTS.search(text[start:end]) or _SUPPOSED.search(text[start:end])):
            found.append(Assumption(span, names, told[0]))
        else:
            found.append(Statement(span, names, told))
    return found


_BRACKET = re.compile(r"\(([^()]{4,60})\)")


def _bracketed(text: str, start: int, end: int, ctx: Context) -> list[Part]:
    """Read what a bracket alone declares: `the hinge at C (X to the left, Y up)`."""
    found: list[Part] = []
    for match in _BRACKET.finditer(text, start, end):
        said = _names_and_marks(text, *match.span(1), ctx)
        paired = [isinstance(part, Mark) for part in said] == [False, True] * (len(said) // 2)
        if not paired or any(isinstance(p, Mark) and p.meaning not in _SENSES for p in said):
            continue
        for span, names, told in _claims(said, ctx.source.span(*match.span(1))):
            found.append(Assumption(span, names, told[0]))
    return found


_SENSES = ("up", "down", "left", "right", "clockwise", "anticlockwise")
_UNSURE = re.compile(
    r"\b(?:not|never|neither|nor|or|either|cannot|if|whether|would|could|might|nicht|kein\w*|ob|wenn"
    r"|falls|oder|pas|jamais|ou|non|né|oppure|nie|czy|lub)\b|n't\b|\?"
    r"|\bno (?:está|trabaja|es)\b",
    re.I,
)
_ACTS = re.compile(
    r"\b(?:is|are|acts?|acting|must|means|shows|wirkt|wirken|zeigt|ist|agit|agissent|est|act[uú]a"
    r"|act[uú]an|es|está|agisce|agiscono|è|dzia[łl]a|dzia[łl]aj[ąa]|jest|werkt|verkar|действует)\b"
)
_SUPPOSED = re.compile(r"posit|assum|angenommen|annahme|hypoth|suppos|założ|przyj", re.I)
Claim = tuple[Span, tuple[Name, ...], tuple[Mark, ...]]


def _claims(said: list[Name | Mark], whole: Span) -> list[Claim]:
    """Give each run of names the marks behind it; a mark in front or alone belongs to them all."""
    told = tuple(part for part in said if isinstance(part, Mark))
    if not told:
        return []
    if isinstance(said[0], Mark) and isinstance(said[-1], Mark) and _at_odds(told):
        # `the rafters are in compression and the tie AB in tension`: the first are not named
        first = next((i for i, part in enumerate(said) if isinstance(part, Name)), len(said))
        said = said[first:]
    if not said or isinstance(said[0], Mark) or len(told) == 1:
        return [(whole, tuple(part for part in said if isinstance(part, Name)), told)]
    runs: list[tuple[list[Name], list[Mark]]] = []
    for part in said:
        if isinstance(part, Mark):
            runs[-1][1].append(part)
        elif runs and not runs[-1][1]:
            runs[-1][0].append(part)
        else:
            runs.append(([part], []))
    found: list[Claim] = []
    at = whole[0]
    for index, (names, marked) in enumerate(runs):
        if marked:
            stop = whole[1] if index == len(runs) - 1 else max(at, marked[-1].span[1])
            found.append(((at, stop), tuple(names), tuple(marked)))
            at = stop
    return found


def _at_odds(told: tuple[Mark, ...]) -> bool:
    """Tell whether marks say both of two senses that nothing can have at once."""
    return {"tension", "compression"} <= {mark.meaning for mark in told}


def _names_and_marks(text: str, start: int, end: int, ctx: Context) -> list[Name | Mark]:
    """Read names and marks in the order in which they stand; nothing where other things do."""
    at, end = start, min(end, start + _LONGEST_CLAIM)
    said: list[Name | Mark] = []
    while at < end:
        bracketed = text[at:end].lstrip()[:1] in ("(", "[") and marks.mark_at(text, at, end)
        if bracketed and bracketed.text[-1:] in ")]":
            said.append(marks.as_mark(ctx.source, bracketed))
            at = bracketed.end
            continue
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
            return []
        at = token.end
        if "α" <= canonical(token.text)[:1] <= "ω":
            continue  # an angle: `let T be the tension in the stay, inclined at θ`
        base, sub = build.undress(token.text)
        span = ctx.source.span(token.start, token.end)
        said.append(Name(span, ctx.source.line[span[0] : span[1]], base, sub))
    return said


def _named(word: str, ctx: Context) -> bool:
    """Tell whether a small word in capitals is a name of the sheet: BE, IS, AN."""
    word = word.strip()
    return word.isupper() and is_known(canonical(word), ctx.lex)

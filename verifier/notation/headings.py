"""Headings: which free body the lines below are about, in the languages of the trade."""

import re

from verifier.notation import words
from verifier.notation.heading_forms import (
    FORMS,
    SECTION,
    SIDE_AFTER,
    SIDE_ALONE,
    SIDE_ANY,
    SIDES,
    side_of,
)
from verifier.notation.marks import mark_at
from verifier.notation.names import Lexicon, canonical
from verifier.notation.source import Source
from verifier.notation.tree import Heading

_CROSSING = re.compile(r"przecięcie\b(?!\s+przez)", re.I)  # `O: przecięcie QR i KL` is a point
_FIRST = re.compile(r"[@A-Za-zÀ-ſА-я一-鿿]")


def heading_at(
    source: Source, start: int, end: int, lex: Lexicon, first: bool = True
) -> tuple[Heading, int] | None:
    """Read a heading at plain column `start`; return it with the column where it ends, or None.

    `first` says that nothing stands before it: only there a bare name may be a heading.
    """
    text = source.text
    if not _FIRST.match(text, start, end):
        return None
    for kind, pattern in FORMS:
        match = pattern.match(text, start, end)
        if match is None:
            continue
        stop = match.end()
        if not first and _CROSSING.match(match.group()):
            continue
        if kind in ("section", "cut"):
            found = _section(source, match, lex)
            if kind == "cut" and not any(_cuts(name, lex) for name in found[0].names):
                continue
            return found
        if kind == "method" and match.group() == "FBD" and _is_member(text, match.end(), end, lex):
            continue
        names = _names(match.groupdict().get("n") or "", kind)
        if kind == "body" and names and _is_word(names[0], lex):
            continue
        if kind == "body" and names and lex.pair(names[0]) and _is_claimed(text, stop, end):
            continue
        if (
            kind == "joint"
            and len(names) == 1
            and names[0] in lex.bodies
            and names[0] not in lex.joints
        ):
            kind = "body"
        side, stop = _side_behind(text, stop, end)
        return Heading(source.span(start, stop), kind, names, side), stop
    return _side_alone(source, start, end, lex) or (
        (_body_alone(source, start, end, lex) or _body_in_words(source, start, end, lex))
        if first
        else None
    )


def _is_word(name: str, lex: Lexicon) -> bool:
    """Tell whether what follows 'FBD of' or 'part' is a common word and no name of the sheet."""
    if lex.pair(name) or name in lex.joints or name.lower() in map(str.lower, lex.bodies):
        return False
    return name[:1].islower() and ((len(name) > 1 and not lex.bare) or name in _COMMON)


def _is_claimed(text: str, stop: int, end: int) -> bool:
    """Tell whether a bar's name is followed by what is said of it: `bar PT is in compression`."""
    mark = None if text[stop : stop + 2].strip()[:1] == ":" else mark_at(text, stop, end)
    return mark is not None and mark.meaning in ("tension", "compression")


_COMMON = (
    "is",
    "the",
    "shown",
    "below",
    "above",
    "right",
    "left",
    "and",
    "in",
    "of",
    "a",
    "forces",
)


def _names(text: str, kind: str) -> tuple[str, ...]:
    if kind == "body":
        found = re.split(r"\s*(?:,|\band\b|&|\+)\s*", text.strip())
    else:
        found = re.split(r"\s*(?:,|\band\b|&|\+|\bund\b|\bet\b|\by\b|\be\b|\bi\b)\s*", text.strip())
    return tuple(canonical(name) for name in found if name)


def _side_behind(text: str, stop: int, end: int) -> tuple[str, int]:
    """Read `; left part` or `(right side)` behind a heading."""
    match = re.compile(
        (
            rf"\s*[,;(–-]?\s*(?:the )?(?:{SIDE_ANY})\s*(?:part|side|half|piece|portion"
            rf"|of cut|of section)?\s*\)?(?=\s*(?:[:;,.]|$))"
        ),
        re.I,
    ).match(text, stop, end)
    if match is None:
        return "", stop
    return side_of(match), match.end()


def _side_alone(source: Source, start: int, end: int, lex: Lexicon) -> tuple[Heading, int] | None:
    """Read `FBD right part` or `Left side:`, the part kept of a section named before."""
    text = source.text
    match = SIDE_ALONE.match(text, start, end) or SIDE_AFTER.match(text, start, end)
    if match is None:
        return None
    side, span = side_of(match), source.span(*match.span())
    if side in lex.bodies and _PIECE.search(match.group()):
        return Heading(span, "body", (side,)), match.end()
    return Heading(span, "section", (), side), match.end()


_THROUGH = re.compile(
    (
        r"\b(?:through|thru|across|cutting|cuts|(?<!left\s)(?<!right\s)of|durch|par|à travers|per"
        r"|attraverso|por|a través de|przez|lungo|wzdłuż|через)\s+(?P<n>.*)"
    ),
    re.I | re.S,
)
_AT_POINT = re.compile(  # `Cut at K, keep the lower part AK`
    rf"(?i:(?:{SECTION})\s(?:made\s)?(?:at|in|bei|am|an|à|en|a|w|przy|em|vid|bij|ved)\s"
    r"(?:(?:the\s)?(?:point|Punkt|punto|punkcie|punt|ponto|punkten)\s)?)(?P<n>[A-Z]\d?'*)(?![\w-])"
    r"(?!\s?(?:,|and|und|et|y|e|i)\s?[A-Z])"
)
_DASHED_BARS = re.compile(r"(?<=\b[A-Z]{2})\s?[-–]\s?(?=[A-Z]{2}\b)")  # `Cut BD-CD-CE`
_OF_POINT = re.compile(r"\s+(?:of|from|von|de|di|od)\s+[A-Z]\b")  # `1 m right of B`
_DEFINED = re.compile(  # `Cut BE, AE. θ = …`, `Cut at K, x = 1.5 m`, `Schnitt bei x = 1,5 m`
    r"(?<=[.;])\s+[^\W\d_][\w']*\s*$|,?(?:\s(?:at|bei|en|in|à|a|w|przy|for|für))?\s+[xzs]\s*$"
)
_CUT_NAME = re.compile(
    r"\b(?P<n>(?P<c>[A-Za-z0-9])'*\s?-\s?(?P=c)'*|[IVX]+(?:\s?-\s?[IVX]+)?"
    r"|[0-9]+(?:\s?-\s?[0-9]+)?|[A-Z]|[a-z](?!\s+[A-Z]))(?![\w])"
)


def _is_member(text: str, stop: int, end: int, lex: Lexicon) -> bool:
    """Tell whether `FBD` is the force in member BD here and no free-body diagram."""
    return "BD" in lex.members and bool(re.match(r"\s*[-+−–=·×*/(\d]", text[stop:end]))


def _cuts(name: str, lex: Lexicon) -> bool:
    """Tell whether a name is a bar of the sheet, or the writer's own letter."""
    return lex.pair(name.replace("-", "")) is not None or name in lex.letters


def _section(source: Source, match: re.Match[str], lex: Lexicon) -> tuple[Heading, int]:
    """Read what a section cuts, what it is called and which part is kept."""
    text = source.text
    start, stop = match.span()
    if text[stop : stop + 1] == "=":  # `Cut BE, AE, AC. θ = …` ends before what is defined
        defined = _DEFINED.search(text, start, stop)
        stop = defined.start() if defined else stop
    after = re.compile(r"\s*[;:][^=:;Σ]{0,40}(?=[:;=]|$)").match(text, stop)
    if after and SIDES.search(after.group()):
        stop = after.end()
    body = _DASHED_BARS.sub(" ", text[start:stop])
    told = list(SIDES.finditer(body))
    kept = [match for match in told if not _OF_POINT.match(body, match.end())]
    beside = match.groupdict().get("n") is not None  # `just left of D` says no part
    side = side_of(next(iter(kept if beside else kept or told), None))
    through = _THROUGH.search(body)
    names: tuple[str, ...] = ()
    at = _AT_POINT.search(body) if lex.bodies else None
    if at and canonical(at["n"]) in lex.joints:
        names = (canonical(at["n"]),)
    elif through:
        names = tuple(
            canonical(m.group())
            for m in _WORD_OR_PAIR.finditer(SIDES.sub(" ", through["n"]))
            if not _SMALL.match(m.group())
            and (not m.group()[0].isdigit() or _cuts(canonical(m.group()), lex))
        )
    if not names:
        said = (m.group() for m in _WORD_OR_PAIR.finditer(body))
        names = tuple(canonical(name) for name in said if _cuts(canonical(name), lex))
    if not names:
        word = re.search(rf"(?:{SECTION})\b", body, re.I)
        cut = _CUT_NAME.search(body, word.end() if word else 0)
        names = (cut["n"].replace(" ", ""),) if cut else ()
    while stop > start and text[stop - 1] in " ,.":
        stop -= 1
    return Heading(source.span(start, stop), "section", names, side), stop


_WORD_OR_PAIR = re.compile(
    r"[A-Z][A-Za-z]?[0-9₀-₉]*'*\s?[-–]\s?[A-Z][0-9₀-₉]*'*|[A-Z][A-Za-z0-9₀-₉']*"
    r"|\b\d{1,2}\s?[-–]\s?\d{1,2}\b|\b\d{2,4}\b"
)
_SMALL = re.compile(r"FBD$|[A-Z][a-z]{2,}$|R?L?HS$")


_PIECE = re.compile(r"\b(?:body|leg|arm|frame|wing|column|link)\b", re.I)
_ALONE = re.compile(
    r"(?P<lead>(?:(?:[Cc]onsider(?:ing)?|[Tt]ak(?:e|ing)|[Ii]solat(?:e|ing)|[Nn]ow|[Oo]n|[Ff]or)\s+)?"
    r"(?:[Tt]he\s+)?)(?P<n>[\w'-]+)(?=\s*(?::\s|:?\s*$))"
)


def _body_alone(source: Source, start: int, end: int, lex: Lexicon) -> tuple[Heading, int] | None:
    """Read a body's own name as a heading: `Deck:` or `deck` alone on its line."""
    if not lex.bodies and not lex.members and not lex.joints:
        return None
    match = _ALONE.match(source.text, start, end)
    if match is None:
        return None
    name = canonical(match["n"])
    kind = "body" if name in lex.bodies else "joint" if name in lex.joints else ""
    if match["lead"] and name not in lex.bodies:
        return None
    if not kind:
        lowered = {body.lower(): body for body in lex.bodies}
        if name.lower() not in lowered or len(name) < 3:
            return None
        name, kind = lowered[name.lower()], "body"
    return Heading(source.span(start, match.end()), kind, (name,)), match.end()


_HEAD = re.compile(
    r"[^=:;.,Σ\d]{0,48}[\w'-]+(?:\s+(?:alone|on its own))?(?=\s*(?:[:.,]\s|[:.,]?$))"
)


def _body_in_words(
    source: Source, start: int, end: int, lex: Lexicon
) -> tuple[Heading, int] | None:
    """Read a heading of common words around the name of one body: `Equilibrio di leg2:`."""
    match = _HEAD.match(source.text, start, end) if lex.bodies else None
    if match is None:
        return None
    said = [word.lower() for word in match.group().replace("'", " ").split()]
    lowered = {body.lower(): body for body in lex.bodies}
    named = [lowered[word] for word in said if word in lowered]
    rest = [word for word in said if word not in lowered]
    if len(named) != 1 or not rest or not words.AROUND.issuperset(rest):
        return None
    return Heading(source.span(*match.span()), "body", (named[0],)), match.end()

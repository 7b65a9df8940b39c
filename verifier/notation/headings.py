"""Headings: which free body the lines below are about, in the languages of the trade."""

import re

from verifier.notation.names import Lexicon, canonical
from verifier.notation.patterns import loose
from verifier.notation.source import Source
from verifier.notation.tree import Heading

_JOINT = (
    r"joint|joints|jn?t|Knotengleichgewicht|node|nodes|Knoten|Knotenpunkt|nœud|noeud|nodo"
    r"|nudo|węzeł|wezel"
    r"|węzła|węźle|styčník|uzel"
    r"|узел|узла|вузол|节点|結点|節点|节|pin joint"
)
_SECTION = (
    r"section(?:ing)?|sect|cut(?:ting)?(?: plane)?|Schnitt|Ritterschnitt|Ritter-Schnitt"
    r"|coupe|coupure|sezione"
    r"|corte|sección|seccion|przekrój|przekroj|przecięcie|řez|сечение|переріз|截面|切断"
)
_WHOLE = (
    r"(?:whole|entire|complete|overall|global|full)\s?(?:truss|structure|frame|system"
    r"|beam|body|bracket|mast|figure"
    r"|equilibrium|FBD|free[- ]body(?: diagram)?|thing)?|Gesamtsystem|Gesamttragwerk"
    r"|ganzes (?:System|Tragwerk)"
    r"|ensemble de la structure|structure entière|système entier|ensemble"
    r"|intera struttura|struttura intera"
    r"|estructura completa|conjunto|cała (?:konstrukcja|kratownica)|całość"
    r"|вся (?:ферма|конструкция)|整体|全体"
)
_REACTIONS = (
    r"(?:(?:find|calculate|determine|the|support|external|solve for"
    r"|solving for)\s+)*reactions?(?: at supports?| at the supports?)?"
    r"|supports|Auflager(?:kräfte|reaktionen)?|Lagerkräfte|Lagerreaktionen"
    r"|réactions?(?: d'appui| aux appuis)?|reazioni(?: vincolari)?|reacciones"
    r"|reakcje(?: podporowe)?"
    r"|реакции(?: опор)?|支座反力|反力"
)
_METHOD = (
    r"method of joints|method of sections|Knotenpunktverfahren|Ritterverfahren"
    r"|Rundschnittverfahren|Ritter'?sches Schnittverfahren"
    r"|méthode des nœuds|méthode de Ritter|metodo dei nodi|metodo delle sezioni"
    r"|método de (?:los )?nudos"
    r"|método de (?:las )?secciones|metoda równoważenia węzłów|metoda Rittera"
    r"|equations? of equilibrium|equilibrium(?: equations?)?"
    r"|Gleichgewichtsbedingungen|Gleichgewicht|équilibre|equilibrio|równowaga"
    r"|member forces|bar forces|Stabkräfte"
    r"|geometry|angles|solution|answers?|results?|summary|FBD|free[- ]body diagram"
    r"|given|find|Geometrie|Ergebnisse?"
)
_FBD = (
    r"(?:FBD|F\.B\.D\.?|free[- ]body(?: diagram)?|isolate|isolating|Freischnitt"
    r"|Freikörper(?:bild)?|DCL|diagramme du corps libre|SWO)"
)
_LEAD = (
    r"(?:(?:on isole|isolons|isoler|le|la|il|lo|el|取|考虑|对|now|next|then"
    r"|consider(?:ing)?|look(?:ing)? at|take|taking|go to|at the"
    r"|at|equilibrium of|for|@|step \d+[:.]?"
    r"|Gleichgewicht am|Knotengleichgewicht(?= a)|Rundschnitt(?: um)?"
    r"|équilibre du|equilibrio del?|równowaga|von|am|des|du|al|del"
    r"|the|den|der)\s*)*"
)
_NAME = r"[A-ZΑ-ΩА-Я][A-Za-z]?[0-9₀-₉]*'*|[0-9]{1,3}[A-Za-z]?|[IVX]{1,4}|[a-z]\b'*"
_LIST = (
    rf"(?:{_NAME})(?:\s?[-–]\s?(?:{_NAME}))*(?:\s*(?:,|and|&|und|et|e|y|i"
    rf"|\+)\s*(?:{_NAME})(?:\s?[-–]\s?(?:{_NAME}))*)*"
)
_SIDE = {
    "left": (
        r"left(?:[- ]hand)?|LHS|L\.H\.S\.?|links|linke[rsnm]?|gauche|sinistra|izquierda|lewa"
        r"|lewej|левая|左"
    ),
    "right": (
        r"right(?:[- ]hand)?|RHS|R\.H\.S\.?|rechts|rechte[rsnm]?|droite|destra|derecha|prawa"
        r"|prawej|правая|右"
    ),
    "upper": r"upper|top|above|oben|oberer?|supérieure?|haut|superiore|superior|górna|上",
    "lower": r"lower|bottom|below|unten|unterer?|inférieure?|bas|inferiore|inferior|dolna|下",
}
_SIDE_ANY = "|".join(f"(?P<{side}>\\b(?:{words})(?![\\w]))" for side, words in _SIDE.items())
_SIDES = re.compile(_SIDE_ANY, re.IGNORECASE)
_STOP = (
    r"(?:\s*为研究对象|\s+as a free[- ]body|\s+in equilibrium)?(?=\s*(?:[:;,.(–—]|-\s|=>|⇒|→|$"
    r"|\s(?:and|gives|yields|in|gilt|ergibt|liefert|donne)\b)|\s+[ΣΣ↑→↺↻+\[])"
)

_PART = (
    r"(?:the )?(?:part|piece|portion)(?: of [\w'-]+)? (?:to the )?(?:left|right"
    r"|above|below)(?: of)? "
    r"(?:the )?(?:cut )?(?:through )?[^:;=]{1,40}?(?=[:;=]|$)"
)


def _form(pattern: str, flags: int = 0) -> re.Pattern[str]:
    return re.compile(loose(pattern), flags)


_FORMS: tuple[tuple[str, re.Pattern[str]], ...] = (
    (
        "joint",
        _form(
            (
                rf"{_LEAD}(?:{_FBD}\s*(?:of|:|der|des|du)?\s*)?(?:the )?(?:{_JOINT})(?:\b"
                rf"|(?<=[一-鿿]))\.?\s*:?\s*(?P<n>{_LIST}){_STOP}"
            ),
            re.I,
        ),
    ),
    (
        "joint",
        _form(
            rf"(?:@|[Pp]in|(?:[Cc]onsider )?(?:the )?pin at|[Aa]t|[Aa]m|[Ee]n|[Cc]onsider"
            rf"|[Pp]oint|[Pp]unkt)\s+(?P<n>{_NAME})(?=\s*[:,;↑→←↓]|\s*$)"
        ),
    ),
    (
        "section",
        _form(
            rf"{_LEAD}(?:{_FBD}\s*(?:of|:)?\s*)?(?:{_SECTION})\b[^:;=Σ]{{0,90}}?(?=[:;=Σ]|$)", re.I
        ),
    ),
    ("section", _form(rf"(?:{_FBD}\s*(?:of|:)?\s*)?{_PART}", re.I)),
    (
        "whole",
        _form(rf"{_LEAD}(?:{_FBD}\s*(?:of|:|,)?\s*)?(?:the )?(?:{_WHOLE})\b{_STOP}", re.I),
    ),
    (
        "body",
        _form(
            (
                rf"{_LEAD}(?:{_FBD})\s*(?:of|:|der|des|du|de la|de)?\s*(?:the )?(?:member|bar"
                rf"|body|part|beam|link)?\s*(?P<n>[\w'-]+){_STOP}"
            ),
            re.I,
        ),
    ),
    (
        "body",
        _form(
            (
                rf"{_LEAD}(?:body|part|member|bar|beam|frame|link|arm|strut|piece|disc|Scheibe"
                rf"|Körper|Teil|Stab|Balken|Träger|barre|corps|poutre|asta|corpo|trave|barra|viga"
                rf"|belka|pręt|ciało)\s+(?P<n>{_LIST}|[\w'-]+){_STOP}"
            ),
            re.I,
        ),
    ),
    ("reactions", _form(rf"(?:{_REACTIONS})\b{_STOP}", re.I)),
    ("method", _form(rf"(?:by |using |the )?(?:{_METHOD})\b{_STOP}", re.I)),
)
_FIRST = re.compile(r"[@A-Za-zÀ-ſА-я一-鿿]")
_WORD_NAME = re.compile(rf"\b(?:{_NAME})(?:\s?[-–]\s?(?:{_NAME}))?(?![\w])")


def heading_at(
    source: Source, start: int, end: int, lex: Lexicon, first: bool = True
) -> tuple[Heading, int] | None:
    """Read a heading at plain column `start`; return it with the column where it ends, or None.

    `first` says that nothing stands before it: only there a bare name may be a heading.
    """
    text = source.text
    if not _FIRST.match(text, start, end):
        return None
    for kind, pattern in _FORMS:
        match = pattern.match(text, start, end)
        if match is None:
            continue
        stop = match.end()
        if kind == "section":
            return _section(source, match, lex)
        if kind == "method" and match.group() == "FBD" and _is_member(text, match.end(), end, lex):
            continue
        names = _names(match.groupdict().get("n") or "", kind)
        if kind == "body" and names and _is_word(names[0], lex):
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
    return _side_alone(source, start, end) or (
        _body_alone(source, start, end, lex) if first else None
    )


def _is_word(name: str, lex: Lexicon) -> bool:
    """Tell whether what follows 'FBD of' or 'part' is a common word and no name of the sheet."""
    if lex.pair(name) or name in lex.joints or name.lower() in map(str.lower, lex.bodies):
        return False
    return name[:1].islower() and ((len(name) > 1 and not lex.bare) or name in _COMMON)


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
            rf"\s*[,;(–-]?\s*(?:the )?(?:{_SIDE_ANY})\s*(?:part|side|half|piece|portion"
            rf"|of cut|of section)?\s*\)?(?=\s*(?:[:;,.]|$))"
        ),
        re.I,
    ).match(text, stop, end)
    if match is None:
        return "", stop
    return _side_of(match), match.end()


_SIDE_ALONE = _form(
    rf"(?:{_FBD}\s*(?:of|:|,)?\s*)?(?:using |take |considering )?(?:the )?(?:{_SIDE_ANY})"
    rf"(?:\s*(?:part|side|half|piece|portion|section|Teil(?:system|körper)?|partie|parte|część)"
    rf"(?: of (?:the )?(?:cut|section|truss|structure))?| of (?:the )?(?:cut|section))"
    rf"(?=\s*(?:[:;,.]|$))",
    re.I,
)


def _side_alone(source: Source, start: int, end: int) -> tuple[Heading, int] | None:
    """Read `FBD right part` or `Left side:`, the part kept of a section named before."""
    match = _SIDE_ALONE.match(source.text, start, end)
    if match is None:
        return None
    return Heading(source.span(*match.span()), "section", (), _side_of(match)), match.end()


def _side_of(match: re.Match[str]) -> str:
    return next((side for side in _SIDE if match[side]), "")


_THROUGH = re.compile(
    (
        r"\b(?:through|thru|across|cutting|cuts|of|durch|par|à travers|per|attraverso"
        r"|por|a través de|przez|через)\s+(?P<n>.*)"
    ),
    re.I | re.S,
)
_CUT_NAME = re.compile(
    r"\b(?P<n>(?P<c>[A-Za-z0-9])'*\s?-\s?(?P=c)'*|[IVX]+(?:\s?-\s?[IVX]+)?"
    r"|[0-9]+(?:\s?-\s?[0-9]+)?|[A-Za-z])(?![\w])"
)


def _is_member(text: str, stop: int, end: int, lex: Lexicon) -> bool:
    """Tell whether `FBD` is the force in member BD here and no free-body diagram."""
    return "BD" in lex.members and bool(re.match(r"\s*[-+−–=·×*/(\d]", text[stop:end]))


def _section(source: Source, match: re.Match[str], lex: Lexicon) -> tuple[Heading, int]:
    """Read what a section cuts, what it is called and which part is kept."""
    text = source.text
    start, stop = match.span()
    after = re.compile(r"\s*[;:][^=:;Σ]{0,40}(?=[:;=]|$)").match(text, stop)
    if after and _SIDES.search(after.group()):
        stop = after.end()
    body = text[start:stop]
    side_match = _SIDES.search(body)
    side = _side_of(side_match) if side_match else ""
    through = _THROUGH.search(body)
    names: tuple[str, ...] = ()
    if through:
        names = tuple(
            canonical(m.group())
            for m in _WORD_OR_PAIR.finditer(_SIDES.sub(" ", through["n"]))
            if not _SMALL.match(m.group())
        )
    if not names:
        said = (m.group() for m in _WORD_OR_PAIR.finditer(body))
        names = tuple(canonical(name) for name in said if lex.pair(canonical(name)))
    if not names:
        word = re.search(rf"(?:{_SECTION})\b", body, re.I)
        cut = _CUT_NAME.search(body, word.end() if word else 0)
        names = (cut["n"].replace(" ", ""),) if cut else ()
    while stop > start and text[stop - 1] in " ,.":
        stop -= 1
    return Heading(source.span(start, stop), "section", names, side), stop


_WORD_OR_PAIR = re.compile(
    r"[A-Z][A-Za-z]?[0-9₀-₉]*'*\s?[-–]\s?[A-Z][0-9₀-₉]*'*|[A-Z][A-Za-z0-9₀-₉']*"
)
_SMALL = re.compile(r"FBD$|[A-Z][a-z]{2,}$|R?L?HS$")


def _body_alone(source: Source, start: int, end: int, lex: Lexicon) -> tuple[Heading, int] | None:
    """Read a body's own name as a heading: `Deck:` or `deck` alone on its line."""
    if not lex.bodies and not lex.members and not lex.joints:
        return None
    match = re.compile(r"(?P<n>[\w'-]+)(?=\s*(?::\s|:?\s*$))").match(source.text, start, end)
    if match is None:
        return None
    name = canonical(match["n"])
    kind = "body" if name in lex.bodies else "joint" if name in lex.joints else ""
    if not kind:
        lowered = {body.lower(): body for body in lex.bodies}
        if name.lower() not in lowered or len(name) < 3:
            return None
        name, kind = lowered[name.lower()], "body"
    return Heading(source.span(start, match.end()), kind, (name,)), match.end()

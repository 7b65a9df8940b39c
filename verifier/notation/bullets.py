"""What stands at the ends of a line: bullets, dashes that may be a minus, numbers of equations."""

import re
from dataclasses import replace

from verifier.notation.tree import Add, Expr, Name, Neg, Part, Relation

DASH = re.compile(r"\s*-\s+(?:\[[ xX]\]\s+)?$")
POINTED = re.compile(r"\s*[*·◦▪■□◆►▶▸‣]\s+(?=\S)")
BEGINS = re.compile(r"[^\W\d_]|[Σ∴↑→↓←↺↻↗↘↖↙⊥∥(\[+]")
NAMED = re.compile(r"[^=]{0,60}[A-Zα-ω]")
BULLET = re.compile(
    r"\s*(?:[*·◦▪■□◆►▶▸‣]\s+(?:\[[ xX]\]\s+)?(?=[^\W\d_]|[-Σ∴↑→↓←↺↻↗↘↖↙⊥∥(\[+√~]"
    r"(?!\s*[\d.,]+\s*\)?\s*[=·*×/])|\d[^=]{0,40}[A-Zα-ω])"
    r"|-\s+(?:\[[ xX]\]\s+)?(?=\S)|[+o]\s+(?=[^\W\d_ΣΣ∴↑→↺+(\[])|>\s*|#{1,6}\s+"
    r"|\(?(?:step\s*)?(?:\d{1,2}[.)]|\d{1,2}\.\)|#\d{1,2}:)\s+(?=[^\d\s=+×*/·-]|\d+[.,]\d)|\d{1,2}\)\s*(?=[-+]?\s?[\w½√(])"
    r"|\(?[a-wz]\)\s+(?=\S)|[A-H]\)\s+(?=\S)"
    r"|\(?(?!x\))[ivx]{1,4}[.)]\s+"
    r"|[Ss]tep\s*\d+\s*[:.)-]?\s+|[Ll]ine\s*\d+\s*[:.)]\s+)?"
)
_TAGGED = re.compile(
    r"(?:\s{2,}|\s*(?:\.{2,}|…+|-{2,}|→|⋯+)\s*"
    r"|\s+(?=\(?eq))[(\[]\s?(?:eqn?\.?\s?)?(\d{1,2}|[ivx]{1,4}|[IVX]{1,4}"
    r"|[ABDEFGHabdefghijlnopqrsuvw*])\s?[)\]]\s*\.?$"
)
_THIRD = re.compile(r"(?:\s{2,}|\s*(?:\.{2,}|…+|-{2,}|⋯+)\s*)[(\[]\s?([cC])\s?[)\]]\s*\.?$")
TAG_NEAR = re.compile(r"\s[(\[](\d{1,2}|[ivx]{1,4}|[IVX]{1,4}|[abd-hj-suw*])[)\]]\s*\.?$")
_CITES = re.compile(
    r"(?:gives|yields|becomes|in|into|and|minus|plus|ergibt|donne|then|und|et|y|e|dans|en|w)\b"
)
TAG_FIRST = re.compile(
    r"\s*(?:(?:[Ee]qn?\.?|[ÉéEe]q(?:uation)?\.?|[Gg]l(?:eichung)?\.?)\s?(?=[(\[]?\d{1,2}[)\]]?\s*:))?"
    r"(?:[(\[](\d{1,2}|[ivx]{1,4})[)\]]:?|(?<=[a-z. ])(\d{1,2}):)\s+"
)


COUNTED = re.compile(
    r"\s*(?:[*·•◦-]\s+)?[(\[](?P<n>\d{1,2}|[IVX]{1,4}|[ivx]{1,4})[)\]]:?(?:\s+|(?=[-+Σ↑→↺]))(?=\S)"
)
_COMBINES = re.compile(
    r"\s*[-+](?:\s*\d[\d.,]*\s*[·*×]?)?\s*[(\[](?:\d{1,2}|[IVXivx]{1,4})[)\]]"
    r"\s*(?:[:;,⇒→]|=>|->|gives|yields|ergibt|donne|dà|da\b|$)"
)


def counted(texts: list[str]) -> bool:
    """Tell whether `(1)`, `(2)` or `(I)`, `(II)` before equations count them down the working.

    Each is the next number or one used before (a line that combines them starts with one too).
    """
    last = 0
    for text in texts:
        match = COUNTED.match(text)
        if match is None or "=" not in text:
            continue
        number = _whole(match["n"])
        if not 1 <= number <= last + 1:
            return False
        last = max(last, number)
    return last > 0


def _refers(text: str, at: int, end: int) -> bool:
    """Tell whether what stands behind an equation's number combines it with another."""
    return bool(_COMBINES.match(text, at, end) or _CITES.match(text, at, end))


def _whole(text: str) -> int:
    """Return the number that digits or Roman letters write."""
    if text.isdecimal():
        return int(text)
    values = [{"i": 1, "v": 5, "x": 10}[letter] for letter in text.lower()]
    following = [*values[1:], 0]
    return sum(-one if one < two else one for one, two in zip(values, following, strict=True))


def number_of(
    text: str, end: int, near: bool, lettered: bool = False, front: bool = False
) -> tuple[str, int, int]:
    """Return the number of a line's equation ('' for none), where the rest begins and ends.

    `near` says that one space may stand before a number at the line's end, `lettered` that (c) is
    one too and no sense, `front` that numbers before the equations count them.
    """
    first = COUNTED.match(text, 0, end) if front and "=" in text else None
    if first and text[first.end()] not in "=⇒→∴×*·/" and not _refers(text, first.end(), end):
        return first["n"], first.end(), end
    match = _TAGGED.search(text, 0, end) or (TAG_NEAR.search(text, 0, end) if near else None)
    match = match or (_THIRD.search(text, 0, end) if lettered else None)
    if match and "=" in text[: match.start()]:
        return match.group(1), 0, match.start()
    first = TAG_FIRST.match(text, 0, end)
    if first is None or _CITES.match(text, first.end()):
        return "", 0, end
    if "=" in text[first.end() : end] and text[first.end()] not in "=+-⇒→∴*×·/":
        return first.group(1) or first.group(2), first.end(), end
    return "", 0, end


def either_dash(part: Part, dash: int) -> Part:
    """Take `- A_x = 3` as a list's entry, or else as −A_x = 3; a longer sum keeps its minus.

    Where the dash was taken for a list's already, the reading with the minus at `dash` is added.
    """
    if not isinstance(part, Relation) or part.continues:
        return part
    first = part.sides[0]
    if part.span[0] > dash and isinstance(first, Neg):
        return part
    if part.span[0] > dash:
        return replace(part, others=(_minus(part, dash), *part.others))
    if not isinstance(first, Neg) or not isinstance(first.inner, Name):
        return part
    entry = replace(part, sides=(first.inner, *part.sides[1:]))
    return replace(entry, span=(entry.sides[0].span[0], part.span[1]), others=(part, *part.others))


def _minus(part: Relation, dash: int) -> Relation:
    """Return a relation with a minus, written at `dash`, before its first term."""
    first = part.sides[0]
    span = (dash, first.span[1])
    if isinstance(first, Add):
        (sign, term), *rest = first.terms
        side: Expr = Add(span, ((-sign, term), *rest))
    else:
        side = Neg(span, first)
    return replace(part, span=(dash, part.span[1]), sides=(side, *part.sides[1:]))

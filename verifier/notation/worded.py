"""Sums told in words of many languages: 'Momentengleichgewicht um A:', 'Suma sił pionowych:'."""

import re

from verifier.notation.names import Lexicon, canonical

_LONGEST = 90
_HEAD = re.compile(r"[^=:;\n]{3,90}?(?=\s*(?::|$))")
_MOMENT = re.compile(
    r"moment|mom\.|rotazione|rotación|rotation|obrot|момент|モーメント|力矩|dreh", re.IGNORECASE
)
_ABOUT = re.compile(
    r"(?:\b(?:about|abt\.?|around|at|um|bezüglich|bzgl\.?|bez\.|en|à|au|autour|rapport|rispetto|"
    r"attorno|respecto|alrededor|względem|wokół|o|k|относительно|відносно|вокруг)\b|点|まわり)"
)
_UPRIGHT = re.compile(
    r"vertical|vertik|verticale|vertikal|pionow|вертикал|senkrecht|lotrecht|竖直|鉛直|"
    r"\b[yz][- ](?:axis|direction|richtung|dir\b)"
    r"|(?:in|en|w|direzione|dirección|direction|kierunku|auf)"
    r"\s+[yz]\b",
    re.IGNORECASE,
)
_LEVEL = re.compile(
    r"horizontal|horiz\.|orizzontal|poziom|горизонтал|waag(?:e)?recht|水平|"
    r"\bx[- ](?:axis|direction|richtung|dir\b)"
    r"|(?:in|en|w|direzione|dirección|direction|kierunku|auf)"
    r"\s+x\b",
    re.IGNORECASE,
)
_BALANCE = re.compile(
    r"equil|équil|gleichgew|równowag|равновес|рівноваг|forces?\b|kräfte|fuerzas|forze|sił|\bсил|"
    r"\bsum|\bsom|summe|сумма|resolv|projec|projek|проекц|投影|平衡|力|释|traslaz|translac",
    re.IGNORECASE,
)
_POINT = re.compile(r"([A-Za-zΑ-Ωα-ωА-Я][0-9₀-₉]*'*)\s*(?:点)?$")


def worded(text: str, at: int, end: int, lex: Lexicon) -> tuple[str, str, int] | None:
    """Read a sum told in words from `at` to a colon or the line's end.

    Returns its axis (x, y or moment), the moment point and the column where it ends, or None.
    """
    head = _HEAD.match(text, at, min(end, at + _LONGEST))
    if head is None or any(char.isdigit() for char in head.group()[:4]):
        return None
    words = head.group().rstrip()
    if _MOMENT.search(words):
        point = _POINT.search(words)
        about = _ABOUT.search(words)
        if about is None or point is None or point.start() < about.start():
            return None
        name = canonical(point.group(1))
        known = name in lex.joints or lex.bare or (len(name) == 1 and name.isupper())
        return ("moment", name, head.end()) if known else None
    if len(words.split()) < 2 or not _BALANCE.search(words):
        return None
    if _UPRIGHT.search(words) or re.search(r"\b[yY]\b", words):
        return ("y", "", head.end())
    if _LEVEL.search(words) or re.search(r"\b[xX]\b", words):
        return ("x", "", head.end())
    return None

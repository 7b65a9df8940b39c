"""Sums told in words of many languages: 'Momentengleichgewicht um A:', 'Suma sił pionowych:'."""

import re

from verifier.notation.names import Lexicon, canonical

_HEAD = re.compile(r"[^=:;\n]{3,90}?(?=\s*(?::|$|=\s*0\s*(?:[:;,⇒→]|=>|->)))")
_MOMENT = re.compile(
    r"moment|mom\.|rotazione|rotación|rotation|obrot|момент|モーメント|力矩|dreh", re.IGNORECASE
)
_ABOUT = re.compile(
    r"(?:\b(?:about|abt\.?|around|at|um|bezüglich|bzgl\.?|bez\.|en|em|om|à|au|autour|rapport|rispetto|in|"
    r"kring|runt|oko|"
    r"attorno|intorno|polo|punto|punkcie|wzgl\.?|respecto|alrededor|względem|wokół|o|k|относительно|відносно|вокруг)\b|点|まわり)"
)
_UPRIGHT = re.compile(
    r"vertical|vertik|verticaal|svisl|lodrät|okomit|pionow|вертикал|senkrecht|lotrecht|竖直|鉛直|"
    r"\b[yz][- ](?:axis|direction|richtung|dir\b)"
    r"|(?:in|en|w|direzione|dirección|direction|kierunku|auf)"
    r"\s+[yz]\b",
    re.IGNORECASE,
)
_SQUARE = re.compile(r"senkrecht\s+(?:zu|zur|zum|auf)\b|perpendic|prostopad", re.IGNORECASE)
_LEVEL = re.compile(
    r"horizontal|horiz\.|horizontaal|horisontal|vodorovn|vågrät|vodoravn|orizzontal|poziom|горизонтал|waag(?:e)?recht|水平|"
    r"\bx[- ](?:axis|direction|richtung|dir\b)"
    r"|(?:in|en|w|direzione|dirección|direction|kierunku|auf)"
    r"\s+x\b",
    re.IGNORECASE,
)
_BALANCE = re.compile(
    r"equil|équil|evenwicht|jämvikt|rovnováh|ravnotež|kracht|forças|součet|gleichgew|równowag|равновес|рівноваг|forces?\b|kräfte|fuerzas|forze|sił|\bсил|"
    r"\bsum|\bsom|summe|сумма|resolv|projec|projek|проекц|投影|平衡|力|释|traslaz|translac",
    re.IGNORECASE,
)
_TARGET = (
    r"(?:(?:the|der|die|das|den|dem|zur|zum|la|le|il|lo|el|al|alla|all'|l'|du|de|ad?|à|pręta|prętowi|"
    r"(?:inclined |sloping )?(?:member|bar|rod|cable|rope|link|strut|tie|beam|plane|slope|incline)|"
    r"(?:Rich|Gera)\w+|Stab\w*|Stange|Seil\w*|barre|câble|tige|barra|cable|asta|fune|cavo|liny|"
    r"stabu|vector|direction|directions|direzione|dirección|osi|line|linea|línea|droite)(?:\s+|(?<=')))*"
)
_LINE = r"(?P<bar>[A-Z][A-Za-z]?[0-9₀-₉]*'*\s?[-–]?\s?[A-Z]?[0-9₀-₉]*'*)(?![\w])"
_SUMMED = (
    r"(?:(?:(?:forces?|kräfte|kraft|fuerzas|forze|sił|siły|summe|suma|somme|somma|sum|der|de|des|of|"
    r"delle|las|les|le|equilibrium|gleichgewicht|équilibre|equilibrio|równowaga|resolv\w+|res\.?|"
    r"projection|projektion|proiezione|proyección|rzut\w*|na|sur|auf|on|onto|oś|kierunek|sulla|"
    r"sobre|dans|la|direction)\s+)*)"
)
_ACROSS = re.compile(
    rf"{_SUMMED}(?:perpendicular(?:ly)?(?: to)?|perp\.? to|normal to|square to|senkrecht|normal zu|"
    r"rechtwinklig|perpendiculaire(?:ment)?|normale?(?:ment)? à|perpendicolar(?:e|mente)|"
    rf"perpendicularmente|prostopadł[eaąy]|prostopadle|⊥)\s*(?:(?:to|zu|à|a|do)\s+)?{_TARGET}{_LINE}"
    r"(?=\s*(?:[:,⇒→]|=>|->|$))",
    re.IGNORECASE,
)
_ALONG = re.compile(
    rf"{_SUMMED}(?:along|parallel(?:ly)?|parallel zu|in richtung|entlang|längs|suivant|selon|"
    r"parallèle(?:ment)?|le long|según|paralel[oa]|a lo largo|lungo|parallel[oa]|wzdłuż|równolegle|"
    r"na kierunek|w kierunku|sulla direzione|nella direzione|proiezione su|proyección sobre|"
    r"projection sur|projection onto|∥|//)"
    rf"\s*(?:(?:to|zu|à|a|do|de|von)\s+)?{_TARGET}{_LINE}(?=\s*(?:[:,⇒→]|=>|->|$))",
    re.IGNORECASE,
)
_LONE_AXIS = re.compile(
    r"(?:(?:en|sur|selon|suivant|dans|según|segun|sobre|lungo|in|auf|entlang|längs|wzdłuż|wg|według|"
    r"na|po|w|par|along|on|axe|asse|eje|oś|osi|osią|axis|achse|direction|direzione|dirección|"
    r"richtung|kierunek|kierunku|projections?|projektion|proiezion[ei]|proyeccion(?:es)?|proyección|"
    r"rzut[yów]*|suma|somme|summe|somma|sum|de|des|der|of|delle|la|le|les|las|los|die|the|l'|"
    r"kräfte|forces|fuerzas|forze|sił|siły|components?|вдоль|по|оси|ось|проекции|на)[\s.-]*)+"
    r"\(?(?P<ax>O?[xyzXYZху]|horizontal(?:en?)?|verticale?|vertikalen?|orizzontale|waag\w*|lotrecht\w*"
    r"|poziom\w*|pion\w*)\)?(?:[ -]?(?:richtung|achse|direction|axis|dir\.?))?"
    r"(?=\s*(?:[:⇒→]|=>|->|$))"
    r"|(?P<first>[xyz])[ -](?:richtung|achse|direction|axis|dir\.?)(?=\s*(?:[:⇒→]|=>|->|$))",
    re.IGNORECASE,
)
_TURN_BEHIND = re.compile(  # `Fixing moment at P (acw +)`
    r"\s*\((?=[^()]*(?:\+|posit|clockwise|cw\b|↺|↻|Uhrz|hora|orar|zegar))[^()]{1,30}\)$"
)
_LONE_POINT = re.compile(
    r"(?:bezüglich|bzgl\.?|bez\.|um|autour d[eu']|attorno a[dl]?|rispetto a[dl]?|"
    r"intorno a[dl]?|respecto (?:al?|de)|względem|wzgl\.?|wokół|drehpunkt|bezugspunkt|polo(?: in)?|"
    r"pol(?: in)?|rotazione|относительно)\s*"
    r"(?:des |den |der |du |del |the )?(?:punkt\w*|point|punto|pkt\.?|точки)?\s*"
    r"(?P<pt>[A-ZА-Я][0-9₀-₉]*'*)(?=\s*:)",
    re.IGNORECASE,
)
_POINT = re.compile(r"([A-Za-zΑ-Ωα-ωА-Я][0-9₀-₉]*'*)\s*(?:点)?$")


def inclined(text: str, at: int, end: int, lex: Lexicon) -> tuple[str, int] | None:
    """Read a sum along or square to a bar: its direction in words, and where it ends."""
    for pattern, words in ((_ACROSS, "perpendicular to"), (_ALONG, "along")):
        match = pattern.match(text, at, end)
        if match is None:
            continue
        bar = canonical(match["bar"]).replace("-", "")
        if lex.pair(bar) or (lex.bare and len(bar) > 1) or bar in lex.letters:
            return f"{words} {bar}", match.end("bar") - len(match["bar"]) + len(
                match["bar"].rstrip()
            )
    return None


def worded(text: str, at: int, end: int, lex: Lexicon) -> tuple[str, str, int] | None:
    """Read a sum told in words from `at` to a colon or the line's end.

    Returns its axis (x, y or moment), the moment point and the column where it ends, or None.
    """
    if lone := _LONE_AXIS.match(text, at, end):
        axis = (lone["ax"] or lone["first"]).lower()
        level = axis[-1] in "xх" or axis.startswith(("ho", "or", "po", "wa"))
        return ("x" if level else "y", "", lone.end())
    point = _LONE_POINT.match(text, at, end)
    if point and (canonical(point["pt"]) in lex.joints or lex.bare):
        return ("moment", canonical(point["pt"]), point.end())
    head = _HEAD.match(text, at, end)
    if head is None or any(char.isdigit() for char in head.group()[:4]):
        return None
    words = _TURN_BEHIND.sub("", head.group().rstrip())
    if _MOMENT.search(words):
        named = _POINT.search(words)
        about = _ABOUT.search(words)
        if about is None or named is None or named.start() < about.start():
            return None
        name = canonical(named.group(1))
        known = name in lex.joints or lex.bare or (len(name) == 1 and name.isupper())
        return ("moment", name, head.end()) if known else None
    if len(words.split()) < 2 or not _BALANCE.search(words):
        return None
    if _SQUARE.search(words):
        return None
    if _UPRIGHT.search(words) or re.search(r"\b[yY]\b", words):
        return ("y", "", head.end())
    if _LEVEL.search(words) or re.search(r"\b[xX]\b", words):
        return ("x", "", head.end())
    return None

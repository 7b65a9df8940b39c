"""Spellings that say what plainer ones say: dotted words, capitals, places beside a joint.

Every step keeps the text as long as it was, so that places stay.
"""

import re

_DOTTED_UDL = re.compile(r"(?<![\w.])[UuVvPp]\.\s?[dD]\.\s?[lL]\.?(?![\w])")
_INTENSITY = re.compile(
    r"(?<![\w.])([qwp])\s?\(\s?(?:x\s?=\s?)?\d[\d.,]*\s?m?\s?\)(?=\s*=[^;]*\d\s?(?:k?N/m|plf|klf|lb/ft|daN/m))"
)
"""`q(3) = 6·3/8 = 2.25 kN/m`: the intensity at a place, and no product."""
_SLOPES = re.compile(
    r"\bslopes?:?\s(?:of\s)?[A-Z]{2}\s\d[\d.]*\s?:\s?\d[\d.]*"
    r"(?:,?\s(?:and\s)?[A-Z]{2}\s\d[\d.]*\s?:\s?\d[\d.]*)*"
)
_LIES_AT = re.compile(
    r"\d[\d.,]*\s?(?:k?N|lbs?|kips?|kgf)\s(?:at|acts? at|bei|à|a|en|w)\s(?=[xy]\s?=)"
)
_HEAD_UNIT = re.compile(
    r"^(?P<name>\s*[A-Z]\w*)(?P<unit>\s?[\[(](?:k?N|lbf?|kips?|k?N[·.]?m)[\])])(?=\s*[=:\t]|\s{2,}[-+−\d])"
)
"""`A_x (N)    1625`: the unit stands with the name."""
_BARS_NUMBERED = re.compile(
    r"(?<![\w.,=])(?<!= )\d{1,2}\s?=\s?[A-Z]\d?'?-?[A-Z]\d?'?"
    r"(?:\s*[,;]\s*\d{1,2}\s?=\s?[A-Z]\d?'?-?[A-Z]\d?'?)+(?!\w)"
)
"""`1 = AC, 2 = BC`: which bar has which number, and no equations."""
_PLACE_FIRST = re.compile(r"(?<!\w)at [A-Z]\d?(?=\s+[-−–+]\s?\d[\d.,]*\s?[-+−]\s?\d[^=]*=)")
"""`at B −4 + 10.8 = 6.8`: a place before what is worked out there."""
_OUTPUT_NAME = re.compile(r"(?<=[\w)])\s{2,}(?:<-+|←)\s*[A-Z]_?\{?\w{0,3}\}?\s*$")
"""`= 9.0 kN     <- R_B`: what the row above its arrow gives."""
_PAGE = re.compile(r"\s(?:p|pp|S|s|str|pag|pág)\.\s?\d{1,4}\s*$")
_DOTTED = re.compile(r"(?<![\w.])(?:c\.\s?o?\.?\s?g\.|w\.r\.t\.|[rl]\.h\.s\.|n\.a\.)(?!\w)")
_SHOUTED_UNITS = re.compile(
    r"(?<=\d)(?:\s?['#]?\s?)(?:PLF|KLF|LBS?|FT-LBS?|LB-FT|FT-#|FT-KIPS?|KIPS?|FT|IN)(?![\w])"
)
_SHOUTED_TIMES = re.compile(r"(?<=[\dFTN'#)])\sX(?=\s[\d(])")
_LOWER = re.compile(r"(?<![^\W\d_])[a-z]{2,}")
_BESIDE_JOINT = re.compile(
    r"(?<![\w])(x\s*=\s*\d[\d.,]*\s?(?:mm?|cm|ft|in)?)(?P<side>[-+−⁻⁺])(?=\s{2,}\S|\s*[:,;|]|\s*$)"
)
"""`x = 5-` and `x = 5+`: just beside a place."""
JUST_LEFT, JUST_RIGHT = "\u2002", "\u2003"
"""Blanks that keep the side of a place for who reads on: an en space, an em space."""


def shouted(text: str) -> str:
    """Write units and crosses as they are written elsewhere where a line is all in capitals."""
    if _LOWER.search(text):
        return text
    text = _SHOUTED_UNITS.sub(lambda match: match.group().lower(), text)
    return _SHOUTED_TIMES.sub(" x", text)


def _sided(match: re.Match[str]) -> str:
    return match[1] + (JUST_RIGHT if match["side"] in "+⁺" else JUST_LEFT)


_WAY_SAID = re.compile(  # V = down on the west part
    r"(?<=[\w})] )=(?=\s(?:up|down|left|right|to the (?:left|right))(?:wards?)?"
    r"(?:\s(?:on|at|for)\b|\s*[,;)]|$)(?!.{0,60}\d))"
)
_COMPONENT = re.compile(  # `horizontal comp. in AC = 3`: of the bar, not its force
    r"(?<=\bcomp)(?P<rest>onents?|\.)?\s(?:in|on)\s(?=\(?[A-Z]\w{1,5}\s?=)"
)
_ABOUT_CLOSED = re.compile(  # `about H) 3 V − 12 = 0`, a bracket as a colon
    r"(^\s*(?:(?:moments?\s)?(?:about|at|um|bei)|sum|sums|along|across)\s[A-Za-z]\d?'?)\)(?=\s)"
)
_KILOS = re.compile(  # `40 kg weighs 40(9.81) = 392 N`
    r"(?:^|(?<=[:;,.]\s))\s*\d[\d.,]{0,9}\s?(?:kg|t)\s"
    r"(?:weighs?|wiegt|wiegen|pèse|pesa|weegt|väger|vejer|veier|waży)\s(?=\d[^=]*=)"
)


def spelt(text: str) -> str:
    """Return a line in the spelling that is read elsewhere."""
    if "." in text:
        text = _DOTTED.sub(lambda m: m.group().replace(".", "").ljust(len(m.group())), text)
        text = text if "=" in text else _PAGE.sub(_blank, text)
    if text[:40].count(" = ") and _BARS_NUMBERED.search(text):
        text = _BARS_NUMBERED.sub(_blank, text)
    text = _SLOPES.sub(_blank, text) if "slope" in text else text
    lies = _LIES_AT.search(text) if " x" in text or " y" in text else None
    if lies and "=" not in text[: lies.start()]:  # `Two weights: 3.4 kN at x = 8.7/3.4 = 2.56 m`
        text = text[: lies.start()] + _blank(lies) + text[lies.end() :]
    text = _HEAD_UNIT.sub(lambda m: m["name"].ljust(len(m.group())), text)
    if "at " in text and "=" in text:
        text = _PLACE_FIRST.sub(_blank, text)
    text = _INTENSITY.sub(lambda m: m[1].ljust(len(m.group())), text)
    text = _OUTPUT_NAME.sub(_blank, text)
    if "d.l" in text or "D.L" in text:
        text = _DOTTED_UDL.sub(lambda m: "udl".ljust(len(m.group())), text)
    if "x" in text and "=" in text:
        text = _BESIDE_JOINT.sub(_sided, text)
    if "=" in text:
        text = _WAY_SAID.sub(" ", text)
        text = _COMPONENT.sub(lambda m: f"{m['rest'] or ''} of ", text)
        text = _ABOUT_CLOSED.sub(r"\1:", text)
        text = _KILOS.sub(_blank, text)
    return shouted(text)


def _blank(match: re.Match[str]) -> str:
    return " " * len(match.group())


__all__ = ["JUST_LEFT", "JUST_RIGHT", "spelt"]

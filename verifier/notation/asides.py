"""What people note beside their equations: row operations, numbers of rows, marks of a page.

Every step keeps the text as long as it was, so that places stay.
"""

import re

_OPERATION = re.compile(  # `2 A + B = 7  | ·3`, `…  |: (−2)`
    r"\s*\|\s?(?:[·×*:/÷]|[-+](?=\s?[\d(]))\s?\(?\s?[-+]?[\w.,/√]*\s?\)?[\s.;]*$"
)
_ROMAN = re.compile(r"^(\s*)(I{1,3}|IV|VI{0,3})(?P<gap>[).]\s+|\s{2,})(?=[-+]?[\w(√][^=:]*=)")
_DECOR = re.compile(r"[◄►▲▼◀▶]")
_SLOPE = re.compile(r"[⦨⦣⦤⦥⦦⦧⦩⦪⦫]|△(?=\s?\d[\d.,]*\s?°)")
_TURNS_ABOUT = re.compile(r"(?<=[ΣS])(?P<gap>\s?)[TM]\s?\|\s?(?P<at>[A-Z]\d?'?)(?=\s*[=:])")
_ABOUT = re.compile(r"(?<=[:,;])(?P<about>\s(?:about|um|@)\s[A-Z]\d?'?)\s(?=\s+[-+]?[\w(√])")
_NUMBERS = re.compile(r"\s*[-+]?\d[\d.,]*(?:\s{2,}[-+]?\d[\d.,]*)+\s*")
_BAR_AT = re.compile(
    r"(?P<bar>\b[A-Z]\d?'?-?[A-Z]\d?'?)\s?\((?:joint|node|Knoten|nœud|nodo|nudo)\s[A-Z]\d?'?\)"
)

_TURNED = re.compile(  # `A↺  −4·2 + 3·N = 0`
    r"^(?P<label>\s*[A-Z]\d?'?\s?[↺↻])\s(?=\s*[-+]?\s?[\w(√][^:=]*=)"
)
_PLACE = re.compile(r"\(\s?-?[\d.,]+\s?\|\s?-?[\d.,]+\s?\)")  # A (0|3)
_DIGITS = re.compile(r"\(\s?(?:to )?\d\s?(?:s\.?\s?f\.?|sig\.?)[^()]*\)|\(\d+ in \d+\)")
_COUNT = re.compile(  # `m + r = 7 + 3 = 10 = 2j`: whether statics can solve it
    r"\s*(?:[bmnsp]\s?\+\s?[ra3]\b[^=:;]*=.*\b2\s?[·*×]?\s?[jknp]\b"
    r"|[fn]\s?=\s?[23]\s?[·*]?\s?[nkjp]\b\s?-\s?\(?\s?[\dabmrsvz]).*"
)
_SAID_AS = re.compile(  # `= 15 kN (1.5 t)`
    r"(?P<value>\d\s?(?:[kM]?N|kips?|k|lbs?|lbf|kgf?|t))"
    r"(?P<as>\s?\(\s?[≈~=]?\s?\d[\d.,]*\s?(?:t|to|tonnes?|kgf?|[kM]?N|kips?|lbf?|lbs)\s?\))"
)
_ASKED = re.compile(  # `For which x is R_A = 3 R_B?`
    r"(?:^|(?<=[.;:]\s))\s*(?:for which|which|what|where|how|is|does|why|welche[rsn]?|wo|wie|was"
    r"|für welche|pour quel\w*|quel\w*|où|per quale|quale|dove|cu[áa]l|para qué|dónde|gdzie|jaki)"
    r"\b[^?.;]*\?+",
    re.IGNORECASE,
)
_TOLD_ASIDE = re.compile(r"\((?P<told>\s?[^\W\d]\w?\s?=\s?-?\d[\d.,]*\s?°[^()=]{0,20})\)")
_TOLD_BEHIND = re.compile(  # `S sin β·6 = 240·8 (β = 36.87° to the mast)`
    r"(?<=[\w)])(?P<gap>\s+)\((?P<lead>(?:\s?(?:with|where|for|mit|wobei|für|avec|où|con|dove|gdzie)\s)?)"
    r"(?P<told>\s?[αβγδεθφψω]\s?=\s?\d[\d.,]*\s?°)(?P<rest>[^()=]{0,30})\)(?=[\s.;,]*$)"
)
_ABOUT_SO = re.compile(  # `= circa 17,3 kN`
    r"(?<==)\s*(?:circa|cca|ca\.?|approx\.?|approximately|aprox\.?|aproximadamente|about|roughly|etwa"
    r"|rund|ungefähr|environ|env\.|około|ok\.)\s+(?=[-+−]?\s?[\d(])",
    re.IGNORECASE,
)
_COMPOUND = re.compile(r"(?<=[a-zäöüß]{3})-(?=[A-ZÄÖÜ][a-zäöüß]{3})")  # Abspannseil-Winkel
_MINUTES = re.compile(
    r"(?P<deg>\d{1,3})\s?°\s?(?P<min>[0-5]?\d)\s?['′](?:\s?(?P<sec>[0-5]?\d)\s?(?:''|\"|″))?"
)
_REMARK = re.compile(
    r"(?P<end>;?\s+)(?P<mark>[#%]\s?=?\s?)(?=[-+]?\d[\d.,]*\s*$)"
)  # `RB = P*a/L  # 4.0`
_INDEXED = re.compile(
    r"^\s*Σ\s?[A-Za-z]_?i\s?[·*×]?\s?[a-z]_?i\s*=(?=.*=)"
)  # Σ P_i x_i = 4·3 + 5 = 17
_TOTAL = re.compile(  # `A = ΣF − B = 10 − 3.8`
    r"=\s*Σ\s?[A-Za-z]_?i?\s*(?:[-+]\s*[A-Z]_?\w{0,2}\s*)*(?==)"
)
_HOW = re.compile(  # `BE = 2.83 T   (2/.707)`: how the value was worked out
    r"(?P<value>=[^=()]*\d\s?(?:[kM]?N|kips?|k|lbs?|lbf|kgf?)?\s?\(?[TC]?\)?)(?P<how>\s{2,}\([\d\s.,]*[/*·×+−√-][\d\s.,/*·×+−√-]*\))"
    r"(?=\s*$)"
)
_TRIANGLE = re.compile(  # `AC = 10 ft (3-4-5)`
    r"\(\s?(?P<a>\d{1,3})\s?[-–−:]\s?(?P<b>\d{1,3})\s?[-–−:]\s?(?P<c>\d{1,3})\b[^\d()=+]{0,20}\)"
)
_PICTURES = re.compile("[\U0001f300-\U0001faff\ufe0f❓❗⭐]")
_MEASURED = re.compile(  # `AC: 8,5 cm → −8,5 kN`, in a drawing to scale
    r"^(?P<name>\s*[A-Z]\w{0,4}'?)\s?[:=]?\s*\d[\d.,]*\s?(?:cm|mm|in|Zoll)\s*"
    r"(?:→|->|=>|≙|=|entspr\w+|i\.e\.)\s*(?=[-+]?\s?\d[\d.,]*\s?(?:[kM]?N|kips?|lbf?|kgf)\b)"
)
_VALUED = re.compile(  # `AB: −6 − 7.21·3/√13 = −12 kN`
    r"^(?P<name>\s*(?:(?![MF]|CW|BM|SF|NB|OK|LH|RH)[A-Z][A-Z]|[A-Z]\d[A-Z]\d))\s?:\s(?=[-+\s]*[\d(√][^=:;,]*=\s*[-+]?\s?\d[^=:]*$)"
)
_RATIO = r"[^\s:=;,]+(?:\s[^\s:=;,]+){0,2}"
_RATIOS = re.compile(rf"\s*{_RATIO}\s:\s{_RATIO}(?:\s=\s{_RATIO}\s:\s{_RATIO})+[\s.]*")
_BAR = r"[A-Z]\d?'?-?[A-Z]\d?'?"
_NIL = re.compile(  # `Zero-force members by inspection: BF, DH and CG`
    r"(?P<lead>(?:[Zz]ero[- ][Ff]orce (?:members?|bars?)|Nullst[aä]be?"
    r"|[Bb]arres? (?:inactives?|nulles?)|[Aa]ste scariche|[Bb]arras nulas|[Pp]ręty zerowe)"
    r"[^=:,;.\d]{0,40}?):?"
    rf"(?P<bars>\s+{_BAR}(?:\s*(?:,|\b(?:and|und|et|y|e|i)\b)\s*{_BAR})+)(?=[\s.;]*$)"
)


def cleared(text: str) -> str:
    """Blank out what stands beside an equation, and put what it says in the usual signs."""
    if "(" in text:
        text = _DIGITS.sub(_blank, _PLACE.sub(_blank, text))
        text = _TRIANGLE.sub(_sides, text)
        text = _SAID_AS.sub(lambda m: m["value"] + " " * len(m["as"]), text)
    if "|" in text:
        text = _OPERATION.sub(_blank, text)
        text = _TURNS_ABOUT.sub(lambda m: f"{m['gap']}M_{m['at']}".ljust(len(m.group())), text)
    if _COUNT.fullmatch(text) or (text.strip()[:1] == "{" and "=" not in text):
        return " " * len(text)
    text = _PICTURES.sub(" ", text)
    if "°" in text:
        text = _MINUTES.sub(_in_degrees, text)
    if "=" in text:
        text = _ABOUT_SO.sub(_blank, _COMPOUND.sub(" ", text))
        text = _REMARK.sub(lambda m: "=".rjust(len(m.group())), text)
        text = _HOW.sub(lambda m: m["value"] + " " * len(m["how"]), text)
        text = _TOTAL.sub(_blank, _INDEXED.sub(_blank, text))
    if "?" in text:
        text = _ASKED.sub(_blank, text)
    if "(" in text and "=" not in _TOLD_ASIDE.sub("", text):
        text = _TOLD_ASIDE.sub(lambda m: f";{m['told']};", text)  # `OA (α = 126.9°) and OB`
    elif "(" in text:
        text = _TOLD_BEHIND.sub(_behind, text)
    if ":" in text and _RATIOS.fullmatch(text):
        return text.replace(":", "/")  # 90 : 0.75 = S_AB : 1
    text = _MEASURED.sub(lambda m: m["name"] + "=".rjust(len(m.group()) - len(m["name"])), text)
    if "=" in text:
        text = _VALUED.sub(lambda m: m["name"] + "=".rjust(len(m.group()) - len(m["name"])), text)
        text = _TURNED.sub(lambda m: f"{m['label']}:", text)
        text = _ROMAN.sub(_blank, text)
        text = _ABOUT.sub(lambda m: f"{m['about']}:", text)
    elif _NUMBERS.fullmatch(text):
        return " " * len(text)  # sums under the columns of a table
    if "(" in text:
        text = _BAR_AT.sub(lambda m: m["bar"].ljust(len(m.group())), text)
    if "," in text:
        text = _NIL.sub(_listed, text)
    return _SLOPE.sub("∠", _DECOR.sub(" ", text)).replace("∓", "±")


def _behind(match: re.Match[str]) -> str:
    """Put an angle told in brackets behind its equation as a statement of its own."""
    told = f"{match['gap']};{' ' * len(match['lead'])}{match['told']}"
    return told.ljust(len(match.group()))


def _sides(match: re.Match[str]) -> str:
    """Blank out the sides of a right triangle, which nobody takes from one another."""
    a, b, c = sorted(int(match[side]) for side in "abc")
    return _blank(match) if a * a + b * b == c * c else match.group()


def _in_degrees(match: re.Match[str]) -> str:
    """Write 63°26' as 63.43°, as wide as it was."""
    degrees = int(match["deg"]) + int(match["min"]) / 60 + int(match["sec"] or 0) / 3600
    width = len(match.group())
    places = max(0, width - len(match["deg"]) - 2)
    return f"{degrees:.{places}f}°".ljust(width)


def _listed(match: re.Match[str]) -> str:
    lead = match["lead"].ljust(match.start("bars") - match.start())
    return lead + match["bars"].replace(",", " ")


def _blank(match: re.Match[str]) -> str:
    return " " * len(match.group())

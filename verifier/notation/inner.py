"""Names of inner forces at a place: 'Shear just left of C', `V_C^-`, `Q_C,links`, 'BM at B'."""

import re
from collections.abc import Iterator

from verifier.notation.names import Lexicon, canonical
from verifier.notation.spellings import JUST_LEFT, JUST_RIGHT
from verifier.notation.tokens import Tok

_KINDS = {
    "shear": (
        r"SF|S\.F\.?|[Ss]hear(?:ing)?(?:\sforce)?|V|Q|[Qq]uerkraft|(?:[Ee]ffort\s)?[Tt]ranchant"
        r"|(?:(?:[Ss]forzo|[Ff]orza|[Ss]ollecitazione)\s(?:di\s)?)?[Tt]agli(?:o|ante)"
        r"|(?:(?:[Ff]uerza|[Ee]sfuerzo)\s)?(?:de\s)?[Cc]ortante|(?:[Ss]iła\s)?(?:[Pp]oprzeczna|[Tt]nąca)"
        r"|[Dd]warskracht|[Ee]sforço\s[Cc]ortante|[Пп]оперечная\sсила"
    ),
    "bending": (
        r"(?:[Mm]ax(?:imum)?\.?\s)?(?:BM|B\.M\.?|[Bb]ending\s[Mm]oment)|M_?\{?max\}?\.?|BM|B\.M\.?|[Bb]ending\s[Mm]oment|M|[Bb]iegemoment|[Mm]oment\s(?:fléchissant|de\sflexion|zginający)"
        r"|[Mm]omento\s(?:flettente|flector|fletor)|[Bb]uigend\smoment|[Ии]згибающий\sмомент"
    ),
    "moment": r"[Mm]omento?|MOMENT",
    "axial": (
        r"[Aa]xial(?:\sforce)?|[Nn]ormal\sforce|N|[Nn]ormalkraft|(?:[Ee]ffort|[Ss]forzo|[Ee]sfuerzo)\s(?:normale?|axial)"
        r"|[Ss]iła\s(?:normalna|podłużna|osiowa)"
    ),
}  # fmt: skip
SORT = re.compile(r"(?<![\w])(?=\w\w)(?:" + "|".join(_KINDS.values()) + r")\s$")
"""Words that say of which sort the letter behind them is: `shear force V = 3`."""
_SORTED = re.compile(
    r"(?=\w\w)(?:" + "|".join(_KINDS.values()) + r")\s[VQTNM](?:_?\{?[A-Z]?\d?\}?)\s*="
)
MIDSPAN = "midspan"
_LETTERS = {"V": "shear", "Q": "shear", "T": "shear", "M": "moment", "N": "axial"}
_LEFT = r"left|links|gauche|izquierda|izq\.?|sinistra|sx|lewo|lewej|lewa|li\.?"
_RIGHT = r"right|rechts|droite|derecha|der\.?|destra|dx|prawo|prawej|prawa|re\.?"
_SIDE = (
    r"(?:(?:just|immediately|directly|slightly|a little|unmittelbar|direkt|kurz|knapp|juste"
    r"|immédiatement|subito|immediatamente|justo|inmediatamente|tuż|bezpośrednio)\s)?"
    r"(?:(?:to|on|at)\s(?:the\s)?|à\s|alla\s|a\s(?:la\s)?|na\s|po\s|z\s)?"
    rf"(?:{_LEFT}|{_RIGHT})(?![\w])(?:\s(?:side|hand side|stron[ya]))?"
)
_MIDDLE = (
    r"mid-?\s?span|(?:the\s)?cent(?:re|er)(?:line|\sof\s(?:the\s)?span)?|[Ff]eldmitte|(?:der\s)?Mitte"
    r"|mi-travée|mezzeria|(?:el\s)?centro"
)
_FROM = r"(?:of|von|van|de|du|di|da|dal|do|od|ze|fra|från|neben|from)"
_POINT = rf"(?P<{{}}>[A-Z][a-z]?\d*'*|\d{{{{1,2}}}}|{_MIDDLE})(?![\w])"
_AT = re.compile(
    "(?:" + "|".join(f"(?P<{kind}>{form})" for kind, form in _KINDS.items()) + "|[HRXY])"
    r"(?:\s[VQMN])?\s+(?:"
    rf"(?P<before>{_SIDE})\s{_FROM}\s"
    r"|(?:at|over|above|in|bei|über|en|à|sur|a|sopra|sobre|w|nad|im|au|nel|an der|@)\s"
    r"(?:(?:the\s)?(?:point|joint|pin|support|section|Punkt|Stelle|Knoten|punto|punkcie|przekroju"
    r"|pt\.?)\s)?)"
    rf"{_POINT.format('one')}(?:\s?[,(]?\s?(?P<behind>{_SIDE})\s?\)?)?(?=\s*[=≈])"
)
_SIDED = (
    r"(?P<letter>[VQTMN])\s?_?\s?(?:\{|\((?=[A-Z]\d?\s?[-+−⁻⁺]\)))?"
    r"(?P<two>[A-Z]\d?'*)\}?(?:"
    rf"[,;]\s?\{{?(?P<comma>{_LEFT}|{_RIGHT}|[lrLRgd])\}}?(?![\w])|_(?P<under>{_LEFT}|{_RIGHT})(?![\w])"
    rf"|\s?\^\s?[({{]{{0,2}}(?P<raised>{_LEFT}|{_RIGHT}|[-+lrLRgd])[)}}]{{0,2}}"
    rf"|\s?(?P<sup>[⁻⁺])[)}}]?|\s?(?P<sign>[-+])[)}}]|(?P<glued>{_LEFT}|{_RIGHT})\}}?"
    rf"|\s?\(\s?(?P<note>{_SIDE})(?:\s(?:of|von|de|di|od)\s(?P=two))?\s?\)|\s(?P<word>{_SIDE}))"
)
_SUB = re.compile(_SIDED + r"(?=\s*[=≈])")
_WITHIN = re.compile(rf"(?<![\w.]){_SIDED}(?=\s*(?:[-+·*×/=≈),;]|$))")  # `V_D,right = V_D,left − 6`
_BENDING = re.compile(r"M_?\{?[fg]\}?_?\s?[({]?(?P<one>[A-Z]\d?'*)[)}]?(?=\s*[=≈])")
"""`Mf(B) = −3`, moment fléchissant; `Mg_B`, moment gnący."""
_IS_LEFT = re.compile(rf"(?:^|\s)(?:{_LEFT})(?:\s|$)|^[-⁻lLg]$")
_VALUE_ALONE = re.compile(r"\s*[=≈]\s*[-+]?\s?\d[\d.,]*\s?[\w·*./-]{0,6}(?:\s[a-z]{1,2})?\s*$")
_WORKED = re.compile(  # `Moment at D = 516(5) - 60(5)(2.5) = 1830`
    r"(?:\s*[=≈]\s*[-+−]?[\s\d.,()\[\]+*/×·x^−-]*\d[)\]]*){1,4}"
    r"\s*[=≈]\s*[-+−]?\s?(?=\d*[.,]?\d*[1-9])\d[\d.,]*\s?(?:[kM]?N[\s·.*-]?m{1,2}|ft-\S+|k-ft|lb-ft|\S{0,8})"
    r"(?:\s+\([^()=]*\))?\s*$"
)
_OF_SUPPORTS = ("V", "H", "R", "X", "Y")
_FIRST = re.compile(r"[VQTMNSBACEFHRXYaefnqbcmstdpПИ]")


_LETTER_BEHIND = re.compile(
    "(?:" + "|".join(_KINDS.values()) + r")(?:\s[VQMN])?\s+(?:"
    rf"{_SIDE}\s{_FROM}\s|(?:at|in|bei|en|à|a|w|im)\s)[A-Z]\d?'*"
    rf"(?:\s?[,(]?\s?{_SIDE}\s?\)?)?(?P<letter>\s*:\s*(?:[VQTMN]|BM|SF)\s*)(?==)"
)


_WORKED_OUT = re.compile(
    r"\s*[VNQ]_?\{?[A-Z]\d?'*\}?\s?(?P<colon>:)\s*[-+−]?[\d(][-+−\d.,\s·×*/()]*=\s*[-+−]?\s?\d"
)
_MOMENT_AT = re.compile(
    rf"\s*(?:{_KINDS['moment']})\s+(?:at|in|bei|en|à|a|w|im)\s(?P<at>[A-Z]\d?'*)\s*:\s*(?:M|BM)\s*(?==)"
)
_ALONG = re.compile(
    r"(?P<f>[VQTMN])\s?\(\s?(?:x\s?=\s?)?(?P<at>\d+(?:[.,]\d+)?)(?:\s?(?:mm?|cm|ft|in))?\s?\)(?=\s*=)"
)
_RUNNING = re.compile(
    r"(?P<f>[VQTMN])(?:[₀-₉]|_?\{?(?:\d|I{1,3}|[A-Z]{2}|[bfx])\}?)?\s?\(\s?(?P<at>[xszξ])(?:[₀-₉]|_?\{?\d\}?)?\s?\)"
    r"(?=\s*=)"
)
"""`M(x) = 4x − 3x²`, `V_2(x_2) = …`: an inner force at any place along a stretch."""
_HEADED = re.compile(r"\s*[^=:]{1,80}:\s*")
_RANGE = re.compile(
    r"[\s,;([]*(?:\b(?:[Ff]or|[Ff]ür|[Pp]our|[Pp]er|[Pp]ara|[Dd]la|[Ii]n)\s)?(?:[\w.,/]+\s?[<≤]=?\s?)"
    r"[xszξ](?:[₀-₉]|_?\d)?(?:\s?[<≤]=?\s?[\w.,/]+(?:\s(?:m|mm|cm|ft|in)\b)?)[\s,;:)\]]*"
)
"""`0 ≤ x ≤ 5 m:` before a function, or behind it: where it holds."""
_FUNCTIONS = re.compile(r"(?<![\w])([VQTMN])\s?\(\s?x\s?\)")
_SIDED_FUNCTIONS = re.compile(r"(?<![\w])([VQTMN])\s?\(\s?[A-Z]\d?\s?[-+−⁻⁺]\s?\)\s*=")
"""`T(B−) = …`: the inner forces are functions of the place here, and T(D) is one as well."""
_PLACED = re.compile(
    r"\s*(?:(?:at|bei|en|à|w|in|for|für|pour|per|dla)\s)?x\s*=\s*(?P<at>\d+(?:[.,]\d+)?)"
    rf"(?:\s?(?:mm?|cm|ft|in))?(?P<side>[{JUST_LEFT}{JUST_RIGHT}])?(?=\s{{2,}}|\s*[:;|,]\s)"
)
_AT_PLACE = re.compile(r"(?P<f>[VQTM])(?=\s*[=≈])")
"""`x = 5     V = 215.8     M = 1829`: a row of inner forces at a place."""
_MOMENT_THERE = re.compile(r"(?m)^\s*M\s?\(\s?\d+(?:[.,]\d+)?\s?m?\s?\)\s*=(?!\s*0)")
"""`M(3) = 13.6·3 − 3.4`: the moment at 3, since nobody multiplies a moment by a length."""
_AT_POINT = re.compile(r"(?P<f>[VQTMN])\s?\(\s?(?P<at>[A-Z]\d?'*)\s?\)(?=\s*[=≈])")


def functions_of(text: str) -> frozenset[str]:
    """Return the inner forces that a working gives along x, as `V@`: V(2) is V at 2 there.

    Where it gives one of them along x it may name the others so as well.
    """
    along = _FUNCTIONS.search(text) or _SIDED_FUNCTIONS.search(text) or _MOMENT_THERE.search(text)
    return frozenset(f"{letter}@" for letter in "VQTMN") if along else frozenset()


_BEGUN = re.compile(r"(?:^|[.;:)•*-])\s*\Z")
_VALUE_BEHIND = re.compile(
    "(?:" + "|".join(form for kind, form in _KINDS.items() if kind != "moment") + r")\s+(?:"
    rf"{_SIDE}\s{_FROM}\s|(?:at|over|above|in|bei|über|en|à|sur|a|sopra|sobre|w|nad|im)\s)[A-Z]\d?'*"
    rf"(?:\s?[,(]?\s?{_SIDE}\s?\)?)?(?P<colon>\s*:)(?=\s*[-+(]?\s?\d[\d.,\s()+*/×·x-]*=)"
)


_GIVEN = re.compile(
    r"(?:^|(?<=:))\s*(?:[Aa]xial(?:\sforce)?|[Nn]ormal\sforce|[Nn]ormalkraft|[Ss]hear(?:\sforce)?"
    r"|[Qq]uerkraft|SF|[Bb]ending\smoment|[Bb]iegemoment|BM)(?P<gap>\s)"
    r"(?=\s*[-+−]?\d[\d.,]*\s?(?:[kM]?Nm{0,2}|k?N·m{1,2}|lbf?|kips?|k|kgf)\b[^=]*$)"
)


def spelt(text: str) -> str:
    """Blank a letter behind a place that says it: `Shear left of D: V = 3`, `BM at B: M = 4`.

    `V_K: 1.2·1.5 − 2 = −0.2` and `BM at B: −4(0.7) = −2.8` give a value by numbers alone, as
    with an `=`; so does `shear 12 kN`.
    """
    if (headed := _HEADED.match(text)) and _RUNNING.match(text, headed.end()):
        text = " " * headed.end() + text[headed.end() :]
    if ("<" in text or "≤" in text) and _RUNNING.search(text):
        text = _RANGE.sub(lambda m: " " * len(m.group()), text)
    if worked := _WORKED_OUT.match(text):
        place = worked.start("colon")
        return f"{text[:place]}={text[place + 1 :]}"
    found = _VALUE_BEHIND.search(text) if ":" in text else None
    if found and _BEGUN.search(text, 0, found.start()):
        start, stop = found.span("colon")
        return text[:start] + "=".rjust(stop - start) + text[stop:]
    if given := _GIVEN.search(text):
        return f"{text[: given.start('gap')]}={text[given.end() :]}"
    match = _LETTER_BEHIND.match(text)
    if match is None:
        return text
    start, stop = match.span("letter")
    if (whole := _MOMENT_AT.match(text)) and whole.end() == stop:  # no heading of a sum
        return f"M_{whole['at']} ".rjust(stop) + text[stop:]
    return text[:start] + " " * (stop - start) + text[stop:]


def sorted_letter(text: str, start: int, end: int) -> bool:
    """Tell whether an inner force's letter stands behind its sort: `taglio V_P = −21.7`."""
    return _SORTED.match(text, start, end) is not None


def named(text: str, start: int, end: int, lex: Lexicon) -> Tok | None:
    """Read an inner force's name before an `=` as the sheet says it, or return None.

    `shear at C`, `moment at B, left`, `axial at K, right` (the joint in its canonical writing).
    `V at C` is V_C, which may be a reaction as well.
    A bare `Moment at C` is one only where its value alone follows; it may head a sum.
    """
    if not _FIRST.match(text, start, end):
        return None
    if (along := _ALONG.match(text, start, end)) and f"{along['f']}@" in lex.letters:
        place = float(along["at"].replace(",", "."))
        return Tok("NAME", f"{_LETTERS[along['f']]} at x={place:g}", start, along.end())
    if at_place := _in_row(text, start, end, lex):
        return at_place
    there = _AT_POINT.match(text, start, end)
    if there and f"{there['f']}@" in lex.letters and canonical(there["at"]) in lex.joints:
        name = f"{_LETTERS[there['f']]} at {canonical(there['at'])}"
        return Tok("NAME", name, start, there.end())
    if running := _RUNNING.match(text, start, end):
        name = f"{_LETTERS[running['f']]} along {running['at']}"
        return Tok("NAME", name, start, running.end())
    match = _AT.match(text, start, end)
    if match is None:
        return _with_side(text, start, end, lex)
    point, side = canonical(match["one"]), match["before"] or match["behind"] or ""
    word = match.group().split()[0]
    if re.fullmatch(_MIDDLE, match["one"]):
        point = MIDSPAN
    own = bool(side) and not lex.bodies  # no sheet, and `V left of D` says it all
    if point not in lex.joints and point != MIDSPAN and not own:
        return None
    if len(word) == 1 and word in lex.letters:
        return None
    if word in _OF_SUPPORTS and not side and point != MIDSPAN:
        return Tok("NAME", f"{word}_{point}", match.start(), match.end())
    kind = next((kind for kind in _KINDS if match[kind]), "")
    if not kind:
        return None
    alone = _VALUE_ALONE.match(text, match.end(), end) or _WORKED.match(text, match.end(), end)
    if kind == "moment" and not side and not alone:
        return None
    return _token(kind, point, side, match)


def _in_row(text: str, start: int, end: int, lex: Lexicon) -> Tok | None:
    """Read V in `x = 5     V = 215.8     M = 1829` as the shear at that place."""
    there, row = _PLACED.match(text), _AT_PLACE.match(text, start, end)
    if there is None or row is None or row["f"] in lex.letters or start <= there.end():
        return None
    place = float(there["at"].replace(",", "."))
    side = {JUST_LEFT: ", left", JUST_RIGHT: ", right"}.get(there["side"] or "", "")
    return Tok("NAME", f"{_LETTERS[row['f']]} at x={place:g}{side}", start, row.end())


def points_of(text: str) -> set[str]:
    """Return the points at which a line names inner forces: D in `V at D (left) = 3`, `Q_D,li`."""
    text = spelt(text)
    found = [(match, match["one"]) for match in _AT.finditer(text)]
    found += [(match, match["two"]) for match in _SUB.finditer(text)]
    return {point for match, point in found if not text[: match.start()][-1:].isalnum()}


def _with_side(text: str, start: int, end: int, lex: Lexicon) -> Tok | None:
    bending = _BENDING.match(text, start, end)
    if bending and canonical(bending["one"]) in lex.joints:
        return _token("moment", canonical(bending["one"]), "", bending)
    return _sided(_SUB.match(text, start, end), lex)


def within(text: str, start: int, end: int, lex: Lexicon) -> Iterator[Tok]:
    """Yield the inner forces with their side that stand within sums: `V_D,left − 6`."""
    for match in _WITHIN.finditer(text, start, end):
        found = _sided(match, lex) if match["word"] is None else None
        if found is not None:
            yield found


def _sided(match: re.Match[str] | None, lex: Lexicon) -> Tok | None:
    if match is None or match["letter"] in lex.letters:
        return None
    told = match["comma"] or match["under"]
    own = not lex.bodies and told is not None  # no sheet, and `V_D,li` says it all
    if canonical(match["two"]) not in lex.joints and not own:
        return None
    said = ("comma", "under", "raised", "sup", "sign", "glued", "note", "word")
    side = next(match[group] for group in said if match[group])
    return _token(_LETTERS[match["letter"]], canonical(match["two"]), side, match)


def _token(kind: str, point: str, side: str, match: re.Match[str]) -> Tok:
    place = f", {'left' if _IS_LEFT.search(side) else 'right'}" if side else ""
    name = f"{'moment' if kind == 'bending' else kind} at {point}{place}"
    return Tok("NAME", name, match.start(), match.end())

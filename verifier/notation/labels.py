"""Labels of sums: ΣF_x = 0, R(↑):, ↺+ ΣM_A, 'Taking moments about B', →: and their kin."""

import re
from dataclasses import dataclass

from verifier.notation.names import Lexicon, canonical
from verifier.notation.source import Source
from verifier.notation.tree import SumLabel
from verifier.notation.worded import worded

_CCW = (
    r"↺|anti-?\s?clockwise|counter-?\s?clockwise|a\.?c\.?w\.?|c\.?c\.?w\.?|ACW|CCW"
    r"|gegen den Uhrzeigersinn|antihoraire|antiorario|antihorario"
)
_CW = r"↻|clockwise|cw|c\.w\.|CW|im Uhrzeigersinn|horaire|orario|horario"
_ARROW = rf"(?:[↑↓→←↗↘↖↙]|{_CCW}|{_CW}|up(?:wards?)?|down(?:wards?)?|right|left)"
_PLUS = r"(?:\+\s?(?:ve)?|is positive|taken positive|(?:as )?positive|pos\.?|is \+|=\s?\+)"
SENSE = (
    rf"(?:\^?[({{\[]{{0,2}})\s*(?:{_PLUS}\s?{_ARROW}|{_ARROW}\s?(?:moments? "
    rf"|forces? )?(?:is |are |taken |as )*{_PLUS}|[↑↓→←↺↻↗↘↖↙])\s*[)\]}}]{{0,2}}"
)
_SIG = (
    r"(?:Σ(?:_\{[^{}]{0,6}\})?(?:\^\([^()]{0,4}\))?\s?|\b(?:[Ss]um|SUM|[Ss]umme|[Ss]omme|[Ss]omma|[Ss]uma|[Ss]igma)\b\s?(?:of"
    r"|der|des|de|delle|of the)?\s?(?:all )?|\b[ES]\s?(?=[FM]))"
)
_AX = r"(?:k?[xyhvXYHVхуz]|kx|ky|hor\w*\.?|vert?\w*\.?)"
_DIR = (
    r"(?:[xyXY]\b(?:[- ](?:direction|dir\.?|axis))?|(?:the )?(?:horiz\w*\.?"
    r"|vert\w*\.?)(?: direction)?|[xy][- ]direction)"
)
_OF = r"(?:_?\{?\(?\s?F(?:_?\{?[kni]\}?)?\s?\)?\}?)?"
_FORCE = [
    (
        rf"{_SIG}\(?\s?[FPRf]\s?(?:_?\s?[{{(]?/?"
        rf"|\\_)?\s?[ik]?,?(?P<ax>{_AX})(?:,?[ikn])?(?![A-Za-z0-9])[}})]?\)?"
    ),
    rf"{_SIG}\(?(?P<ax>[HVXYxy])(?:_?\{{?[kni]\}}?)?(?![\w])\)?",
    rf"{_SIG}F?\s?_?\{{?\(?(?P<ax>[↑→↓←])\)?\}}?",
    (
        rf"{_SIG}(?:forces|Kräfte|forze|fuerzas|sił|F)\s?(?:in|along|auf|en|w"
        rf"|,)?\s?(?:the |kierunku |direction )?(?P<ax>{_DIR}|vertically|horizontally"
        rf"|up\b)"
    ),
    rf"{_SIG}(?P<ax>horizontal|vertical|horiz\.?(?![a-z])|vert\.?(?![a-z]))\s?(?:forces?|components?)?",
]
_BARE_FORCE = [
    r"F\s?_?\s?[{(]?(?P<ax>[xyhvHVXY])[})]?(?=\s*(?:=\s*0\s*)?[:\]])",
    r"R\s?\(\s?(?P<ax>[↑→↓←↗↘↖↙])\s?\)",
    r"(?P<ax>[↑→↓←])(?=\s*[:\]])",
    r"\(\s?(?P<ax>[↑→↓←])\s?\)",
    r"(?P<ax>[HVXYxy])(?=\s*[:\]])",
    (
        r"(?:[Rr]es(?:olv(?:e|ing)|\.)?|[Rr]esolution)\s?(?:forces )?\(?(?P<ax>↑|→|←|↓"
        r"|vert\w*\.?|horiz\w*\.?|in [xy]|up\w*|[xy]\b)\)?(?:\s?direction)?"
    ),
    (
        r"(?P<ax>[Vv]ert(?:ical(?:ly)?)?\.?|[Hh]oriz(?:ontal(?:ly)?)?\.?|[Hh]or\.?"
        r"|[xy][- ](?:direction|dir\.?|axis))\s?(?:equil(?:ibrium|ib?\.?|\.)?|forces?"
        r"|direction|dir\.?|balance)?(?=\s*[:,])"
    ),
    (
        r"(?P<ax>[Vv]ertikal|[Hh]orizontal|[Ww]aagerecht|[Ss]enkrecht|[Vv]erticalement"
        r"|[Hh]orizontalement|[Vv]erticalmente|[Oo]rizzontalmente|[Hh]orizontalmente"
        r"|[Pp]ionowo|[Pp]oziomo)(?=\s*[:,]?)"
    ),
    (
        r"(?:(?:[Ff]or|[Ff]rom|[Bb]y|[Ee]quating|[Bb]alancing"
        r"|[Uu]sing) (?:the )?)?(?P<ax>[Vv]ertical|[Hh]orizontal) (?:equilibrium|forces"
        r"|balance|equil\.?)"
    ),
    (
        r"(?:[Tt]otal |[Ff]orces? (?:acting )?|[Ss]um of )?(?P<ax>[Uu]p(?:wards?)?|UP"
        r"|[Ll]eft|[Rr]ight|↑|→|←)\s?(?:forces?)?\s?=\s?(?:total |forces? (?:acting )?"
        r"|sum of )?(?:[Dd]own(?:wards?)?|DOWN|[Ll]eft|[Rr]ight|↓|→"
        r"|←)(?![\w])\s?(?:forces?)?"
    ),
]
_ABOUT = re.compile(r"(?:about|at) (?:point )?([A-Z]\w?)")
_TOTAL = r"(?:[Tt]otal |[Ss]um of (?:the )?|Σ\s?)?"
_TURNING = r"(?:M\b|moments?|total)?(?: (?:about|at) (?:point )?[A-Z]\w?)?"
_POINTY = r"[A-Za-zΑ-Ωα-ωА-Я][0-9₀-₉]*'*"
_MOMENT = [
    rf"{_SIG}(?:the )?(?:moments?|Momente|momenti|momentos|momentów|Mom\.?"
    rf"|M)\s?(?:about|at|um|en|wrt|autour de|"
    r"par rapport [àa]|rispetto a[d]?|respecto (?:al?|de)|względem)\s?(?:the )?"
    r"(?:point |Punkt |support |joint |pin |pkt )?(?P<pt>POINT|[a-z]{2,})",
    rf"{_SIG}\(?\s?(?:Mom\.?|[Mm](?![a-z]{{2}}))\s?(?:_?[ik]\^?(?=[A-Z({{]))?(?:_|@|/|\|"
    rf"|\^)?\s?\(?\{{?\(?\s?(?P<pt>POINT)\s?\)?\}}?\)?{_OF}"
    r"(?:\s?\^?\(?(?P<turn>[↺↻])(?!\s*\+)\)?)?",
    r"\(?Σ\s?[Mm]\s?\)\s?_?\{?(?P<pt>POINT)\}?",
    rf"{_SIG}M\b",
]
_BARE_MOMENT = [
    r"[Mm]\s?\(\s?(?P<pt>POINT)\s?\)(?=\s*[:;,↺↻])",
    r"(?:[Mm]|[Mm]om(?:ents?|\.)?)\s?[@/]\s?(?P<pt>POINT)",
    r"[Mm]\s?\(\s?(?P<pt>POINT)\s?[;,]\s?\+?(?P<turn>[↺↻])\+?\s?\)",
    r"M_?\{?(?P<pt>POINT)\}?(?=\s*(?:=\s*0\s*)?[:\]])",
    r"(?:[Mm]om(?:ents?|\.)?|[Aa]bout)\s?\(?(?P<pt>POINT)\)?(?=\s*[:\]])",
    r"\(\s?(?P<turn>[↺↻])\s?(?P<pt>POINT)\s?\)",
    r"(?P<pt>POINT)\s?(?P<turn>[↺↻])(?=\s*[:+])",
    r"(?P<turn>[↺↻])\s?(?:about |um )?_?\(?(?P<pt>POINT)\)?(?=\s*[:+])",
    r"M\s?\(?(?P<turn>[↺↻])\)?\s?_?(?P<pt>POINT)\s?(?=:)",
    (
        r"(?:[Tt]ak(?:e|ing)\s|[Bb]y\s|[Uu]sing\s"
        r"|[Cc]onsider(?:ing)?\s)?\s?(?:[Mm]oments?|[Mm]om\.?|M|[Mm]omente?|[Mm]omenti?"
        r"|[Mm]omentos?|[Mm]omenty)(?![a-z])\s?(?:equilibrium |eqn?\.? "
        r"|equation )?(?:about|abt\.?|at|um|autour d[eu']|en|par rapport [àa]u?|au point"
        r"|rispetto a[dl]?|attorno a[dl]?|in|respecto (?:al?|de)|względem"
        r"|o)\s?(?:the )?(?:point |Punkt |punto |punktu |support |joint |node |pin "
        r"|pkt\.? |nudo |nodo )?(?P<pt>POINT(?![a-z])|[a-zé]+(?: [A-Z]\b)?)"
    ),
    r"(?:[Tt]aking moments|[Tt]ake moments)\b",
    (
        rf"(?P<bal>{_TOTAL}(?:{_CCW}|ACM|CCWM|ACWM)\s?{_TURNING})\s?=\s?{_TOTAL}(?:{_CW}"
        rf"|CM|CWM)\s?{_TURNING}(?=\s*(?:[:,]|$))"
    ),
    (
        rf"(?P<bal>{_TOTAL}(?:{_CW}|CM|CWM)\s?{_TURNING})\s?=\s?{_TOTAL}(?:{_CCW}|ACM"
        rf"|CCWM|ACWM)\s?{_TURNING}(?=\s*(?:[:,]|$))"
    ),
]
_ALONG = [
    rf"{_SIG}F\s?_?\{{?\(?(?P<dir>∥|⊥|[tn](?![a-z])|[↗↘↖↙])\)?\}}?",
    (
        rf"(?:{_SIG}(?:forces?|F)?|[Rr]esolv(?:e|ing)|[Rr]es\.?)\s?(?P<dir>(?:parallel to"
        rf"|perpendicular to|perp\.? to|along|normal to|∥|⊥)\s?(?:the )?[\w]+(?:,? (?:at"
        rf"|@) \d+(?:\.\d+)?\s?(?:°|deg(?:rees)?\b)?)?|(?:at|@) \d+(?:\.\d+)?°?)"
    ),
    r"R?\s?\(\s?(?P<dir>[↗↘↖↙∥⊥][^()]{0,12})\)",
    r"(?P<dir>[↗↘↖↙])(?=\s*[:\]])",
    rf"{_SIG}F\b(?![\w(])",
    r"Σ\s?(?P<dir>[A-Za-z]\w{0,6})(?=\s*(?:=\s*0\s*)?(?:[:;,\]]|$))",
]
_ZERO = re.compile(r"\s*=\s*0(?![.,]?\d)(?!\s*[=≈·*×])\s*")
_SENSE_AFTER = re.compile(rf"\s*,?\s*(?P<s>{SENSE}(?:\s*ve)?|\(?(?:{_CCW}|{_CW})\)?(?=\s*[:\]]))")
_PUNCT = re.compile(r"\s*(?:[:;,.]|⇒|=>|→(?!\s*\+)|->|\|)?\s*")
_PRE = re.compile(rf"(?P<s>{SENSE})\s*[:;,]?\s*")
_BRACKET = re.compile(r"\[\s*|[({]\s*(?=Σ|[Ss]um\b)")
_CLOSE = re.compile(r"\s*[\])}]")
_NOUGHT = re.compile(r"0\s*=\s*(?=Σ)")


@dataclass(frozen=True)
class Found:
    """A label, and the plain column where the rest of the line goes on."""

    label: SumLabel
    end: int
    balanced: bool = False


def label_at(
    source: Source, start: int, end: int, lex: Lexicon, brackets: bool = True
) -> Found | None:
    """Read a sum's label at plain column `start`, or return None.

    `brackets` lets a bracket around the whole label be opened.
    """
    text = source.text
    at, bracket = start, False
    if nought := _NOUGHT.match(text, at, end):
        at = nought.end()
    if brackets and (opened := _BRACKET.match(text, at, end)):
        at, bracket = opened.end(), True
    pre = _PRE.match(text, at, end)
    after_pre = pre.end() if pre else at
    core = _core(text, after_pre, end, lex, bool(pre))
    if core is None and pre:
        pre, core = None, _core(text, at, end, lex, False)
    if core is None and bracket:
        return label_at(source, start, end, lex, brackets=False)
    if core is None:
        return _sense_alone(source, at, end) or _in_words(source, at, end, lex)
    match, axis = core
    stop = match.end()
    positive = sense(pre["s"]) if pre else ""
    if after := _SENSE_AFTER.match(text, stop, end):
        positive, stop = positive or sense(after["s"]), after.end()
    if zero := _ZERO.match(text, stop, end):
        stop = zero.end()
        after = _SENSE_AFTER.match(text, stop, end)
        if after and not _implies(text, after, end):
            positive, stop = positive or sense(after["s"]), after.end()
    elif _swallows(text, stop, end, match):
        return None
    if bracket:
        close = _CLOSE.match(text, stop, end)
        if close is None:
            return label_at(source, start, end, lex, brackets=False)
        stop = close.end()
    label = _label(source, start, stop, match, axis, positive, lex)
    return Found(label, _go_on(text, stop, end), "bal" in match.groupdict() and bool(match["bal"]))


def _in_words(source: Source, at: int, end: int, lex: Lexicon) -> Found | None:
    told = worded(source.text, at, end, lex)
    if told is None:
        return None
    axis, about, stop = told
    return Found(SumLabel(source.span(at, stop), axis, about), _go_on(source.text, stop, end))


_ALONE = re.compile(
    rf"(?:[Tt]aking |[Tt]ake |[Ww]ith )?(?P<s>{SENSE})\s*(?:ve)?\s*(?=[:\]]|$)"
    r"|(?P<a>[↑→↓←↺↻]\s*\+|\+\s*[↑→↓←↺↻]|[↑↓](?=\s+[^=]+=))(?=\s*[^\s,;:.])"
)


def _sense_alone(source: Source, at: int, end: int) -> Found | None:
    """Read a positive sense that stands for the whole label: `clockwise +ve:`, `+↑:`."""
    match = _ALONE.match(source.text, at, end)
    if match is None or not (match["a"] or re.search(r"\+|pos|[↺↻]", match.group())):
        return None
    positive = sense(match["s"] or match["a"])
    axis = {"up": "y", "down": "y", "left": "x", "right": "x"}.get(positive, "moment")
    label = SumLabel(source.span(at, match.end()), axis, "", positive)
    return Found(label, _go_on(source.text, match.end(), end))


def _swallows(text: str, stop: int, end: int, match: re.Match[str]) -> bool:
    """Tell whether the writing goes on so that it was no label: `M_A = 5`, `Fx cos`."""
    rest = text[stop:end].lstrip()
    if match.group()[:1] in "Σ" or match.group()[:3].lower() in ("sum", "som", "tak", "mom", "res"):
        return False
    if match.group()[:1] in "ES" and match.group()[1:].lstrip()[:1] in "FM":
        return not rest.startswith(("=", ":", ";"))  # a typed Σ, or a name such as EF_x
    return rest.startswith("=") and ":" not in match.group() and not match.groupdict().get("bal")


def _implies(text: str, after: re.Match[str], end: int) -> bool:
    """Tell whether the arrow behind `= 0` leads on to an equation instead of naming a sense."""
    return after["s"].strip() == "→" and bool(re.match(r"\s*[^\s:;,+)]", text[after.end() : end]))


def _go_on(text: str, stop: int, end: int) -> int:
    punct = _PUNCT.match(text, stop, end)
    stop = punct.end() if punct else stop
    again = re.compile(rf"{SENSE}\s*:?\s*(?=$|[^\s])").match(text, stop, end)
    if again and "+" in again.group():
        return again.end()
    lead = re.compile(r"[=≡≈]\s*(?=[^=])").match(text, stop, end)
    return lead.end() if lead else stop


def sense(text: str) -> str:
    """Return the positive sense that a sense mark declares: '↺+' is anticlockwise."""
    if re.search(_CCW, text):
        return "anticlockwise"
    if re.search(_CW, text):
        return "clockwise"
    for word, name in (("↑", "up"), ("↓", "down"), ("→", "right"), ("←", "left"), ("up", "up"),
                       ("down", "down"), ("right", "right"), ("left", "left")):  # fmt: skip
        if word in text:
            return name
    return text.strip("()[]+ :")


_AXES = {"x": "x", "y": "y", "h": "x", "v": "y", "→": "x", "←": "x", "↑": "y", "↓": "y", "o": "x",
         "w": "x", "s": "y", "p": "y", "u": "y", "l": "x", "r": "x", "k": "",
         "х": "x", "у": "y", "z": "y"}  # fmt: skip


def _axis(written: str) -> str:
    word = written.lower().removeprefix("in ").removeprefix("the ").removeprefix("k")
    if word.startswith(("poziom", "orizz", "waag")):
        return "x"
    return _AXES.get(word[:1], "x")


_KINDS = (("force", _FORCE), ("moment", _MOMENT), ("along", _ALONG), ("force", _BARE_FORCE),
          ("moment", _BARE_MOMENT))  # fmt: skip
_CACHE: dict[frozenset[str], list[tuple[str, re.Pattern[str]]]] = {}


def _patterns(lex: Lexicon) -> list[tuple[str, re.Pattern[str]]]:
    """Compile the label patterns with the joints of this sheet as moment points, once a sheet."""
    if lex.joints not in _CACHE:
        if len(_CACHE) > 32:
            _CACHE.clear()
        known = sorted(map(re.escape, lex.joints), key=len, reverse=True)
        point = "(?:" + "|".join([*known, _POINTY]) + ")(?![a-z0-9])"
        _CACHE[lex.joints] = [
            (kind, re.compile(_grouped(form.replace("POINT", point))))
            for kind, forms in _KINDS
            for form in forms
        ]
    return _CACHE[lex.joints]


def _grouped(form: str) -> str:
    """Let any spaces stand where one does."""
    return re.sub(r"(?<![\[-])(?<!\[-) (?=[^\]?])", r"\\s+", form.replace(r"\s?", r"\s{0,4}"))


_START = re.compile(r"[ΣA-Zs-yamlrbcuophv↑→↓←↺↻↗↘↖↙(\[+]|sum")


def _core(
    text: str, at: int, end: int, lex: Lexicon, sensed: bool
) -> tuple[re.Match[str], str] | None:
    if not _START.match(text, at, end):
        return None
    for kind, pattern in _patterns(lex):
        match = pattern.match(text, at, end)
        if match is None or match.group().strip() in lex.members:
            continue
        if kind == "force":
            return match, _axis(match["ax"])
        return match, kind
    return None


def _label(
    source: Source,
    start: int,
    stop: int,
    match: re.Match[str],
    axis: str,
    positive: str,
    lex: Lexicon,
) -> SumLabel:
    groups = match.groupdict()
    about = canonical(groups.get("pt") or "")
    if groups.get("bal") and (point := _ABOUT.search(match.group())):
        about = point.group(1)
    turn = groups.get("turn") or ""
    if turn and not positive:
        positive = sense(turn)
    written = groups.get("ax") or ""
    if written in "↑→↓←" and written and not positive:
        positive = sense(written)
    direction = (groups.get("dir") or "").strip()
    degrees = re.search(r"(?:at|@) (\d+(?:\.\d+)?)", direction)
    while stop > start and source.text[stop - 1] == " ":
        stop -= 1
    return SumLabel(
        source.span(start, stop),
        axis,
        about,
        positive,
        float(degrees.group(1)) if degrees else None,
        direction,
    )

"""Labels of sums: ΣF_x = 0, R(↑):, ↺+ ΣM_A, 'Taking moments about B', →: and their kin."""

import re
from dataclasses import dataclass

from verifier.notation.heading_forms import SIDE_ANY, SIDES, side_of
from verifier.notation.label_forms import (
    ALONG,
    BARE_FORCE,
    BARE_MOMENT,
    CCW,
    CW,
    FORCE,
    MOMENT,
    POINTY,
    SENSE,
)
from verifier.notation.names import Lexicon, canonical
from verifier.notation.patterns import loose
from verifier.notation.source import Source
from verifier.notation.tree import SumLabel
from verifier.notation.worded import inclined, worded

_ALONG_NAME = re.compile(r"^F_?\{?([A-Z]\w+)\}?$")
_SHORT = re.compile(r"^([∥⊥]|//)\s?(?:to\s)?(\w+)$")
_SIDES = {"//": "parallel", "∥": "parallel", "⊥": "perpendicular"}
_ABOUT = re.compile(r"(?:about|at)\s+(?:point\s+)?([A-Z]\w?)")
_ZERO = re.compile(r"\s*=\s*0(?![.,]?\d)(?!\s*(?:=(?!>)|[≈·*×]))\s*\??\s*(?:\)(?=\s))?\s*")
_SENSE_AFTER = re.compile(
    loose(rf"\s*,?\s*(?P<s>{SENSE}(?:\s*ve)?|\(?(?:{CCW}|{CW})\)?(?=\s*[:\]]))")
)
_PUNCT = re.compile(r"\s*(?:[:;,.]|⇒|=>|→(?!\s*\+)|->|\|)?\s*")
_PRE = re.compile(loose(rf"(?P<s>{SENSE})\s*[:;,]?\s*"))
_BRACKET = re.compile(r"\[\s*|[({]\s*(?=Σ|[Ss]um\b)")
_CLOSE = re.compile(r"\s*[\])}]")
_PLUS_FIRST = re.compile(r"\+\s*(?=Σ)")
_SLOPING = re.compile(
    r"[Ss]enkrecht\s|[Rr]es|[Kk]räfte\s|[⊥∥]|[Pp]erp|[Nn]ormal\s|[Aa]long\s|[EeIi]n\s"
)
_POINT_FIRST = re.compile(
    r"[(\[]\s*(?P<pt>[^\W_]{1,3})\s*(?P<turn>[↺↻])\s*\+?\s*(?P<close>[)\]])\s*:?\s*(?=[^\s=])"
)
_NOUGHT = re.compile(r"0\s*=\s*(?=Σ)")


@dataclass(frozen=True)
class Found:
    """A label, the plain column where the rest of the line goes on, and the part that it names."""

    label: SumLabel
    end: int
    side: str = ""


def label_at(
    source: Source, start: int, end: int, lex: Lexicon, brackets: bool = True
) -> Found | None:
    """Read a sum's label at plain column `start`, or return None.

    `brackets` lets a bracket around the whole label be opened.
    """
    text = source.text
    if point := _POINT_FIRST.match(text, start, end):
        span = source.span(start, point.end("close"))
        label = SumLabel(span, "moment", canonical(point["pt"]), sense(point["turn"]))
        return Found(label, point.end())
    at, bracket = start, False
    if text.startswith("+", at) and (plus := _PLUS_FIRST.match(text, at, end)):
        at = plus.end()
    if nought := _NOUGHT.match(text, at, end):
        at = nought.end()
    if brackets and (opened := _BRACKET.match(text, at, end)):
        at, bracket = opened.end(), True
    pre = _PRE.match(text, at, end)
    after_pre = pre.end() if pre else at
    if (
        at == start
        and (_SLOPING.match(text, at, end))
        and (told := _in_words(source, at, end, lex))
    ):
        return told
    core = _core(text, after_pre, end, lex, bool(pre))
    if core is None and pre:
        pre, core = None, _core(text, at, end, lex, False)
    if core is None and bracket:
        return label_at(source, start, end, lex, brackets=False)
    if core is None:
        return _sense_alone(source, at, end) or _in_words(source, at, end, lex)
    match, axis = core
    stop, side = _part(text, match, end, axis)
    positive = sense(pre["s"]) if pre else ""
    after = _SENSE_AFTER.match(text, stop, end)
    if after and not _implies(text, after, end):
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
    goes_on, behind = _go_on(text, stop, end)
    return Found(_label(source, start, stop, match, axis, positive or behind, lex), goes_on, side)


_PART = re.compile(
    rf"\s?(?:,\s?|\^\s?[({{]{{0,2}}|\(\s?(?:the\s|only\s)?(?P<o>(?:parte|partie|część"
    rf"|lado|lato|côté|strona)\s)?)(?:{SIDE_ANY}|(?P<li>li|g|l)|(?P<re>re|d|r))"
    r"(?![^\W_])\.?\s?(?P<w>part|side|half|piece|portion|leg|body|only|Teil|Seite|Hälfte|partie|parte"
    r"|lato|lado|część|strona)?\s?[)}]{0,2}(?=\s*(?:=\s*0|[:;]|$))",
    re.I,
)


_RAISED = re.compile(
    r"\^\s?[({]{0,2}(?:(?P<left>[LGSlgs]|links|li\.?|esq\.?|izq\.?|sx)|(?P<right>[RDPrdp]|rechts|re\.?|dir\.?|der\.?|dx))[)}]{0,2}$"
)


_RAISED_WORDS = re.compile(
    r"\s?\^\s?[({]{1,3}\s?(?P<said>[^\W\d_][\w .-]{2,24}?)\s?[)}]{1,3}(?=\s*(?:=\s*0|[:;]|$))"
)
"""`ΣF_y^{(outer)} = 0`: the body told above its sum."""


def _part(text: str, core: re.Match[str], end: int, axis: str) -> tuple[int, str]:
    """Read the part that a label names behind its point: `ΣM_C (right) = 0`, `ΣM_C,rechts`."""
    stop = core.end()
    if "^" in core.group() and axis == "moment":
        raised = _RAISED.search(core.group())
        side = SIDES.search(core.group(), core.group().index("^"))
        if raised or side:
            return stop, (raised.lastgroup or "") if raised else side_of(side)
    if words := _RAISED_WORDS.match(text, stop, end):
        side = SIDES.search(words["said"])
        return words.end(), side_of(side)
    match = _PART.match(text, stop, end)
    if match is None or (axis != "moment" and not (match["w"] or match["o"])):
        return stop, ""
    return match.end(), side_of(match) or ("left" if match["li"] else "right")


def _in_words(source: Source, at: int, end: int, lex: Lexicon) -> Found | None:
    if sloping := inclined(source.text, at, end, lex):
        direction, stop = sloping
        stop_at, positive = _go_on(source.text, stop, end)
        label = SumLabel(source.span(at, stop), "along", "", positive, None, direction)
        return Found(label, stop_at)
    told = worded(source.text, at, end, lex)
    if told is None:
        return None
    axis, about, stop = told
    zero = _ZERO.match(source.text, stop, end)
    stop_at, positive = _go_on(source.text, zero.end() if zero else stop, end)
    return Found(SumLabel(source.span(at, stop), axis, about, positive), stop_at)


_ALONE = re.compile(
    loose(
        rf"(?:[Tt]aking |[Tt]ake |[Ww]ith )?(?P<s>{SENSE})\s*(?:ve)?\s*(?=[:\]]|$)"
        rf"|(?P<b>(?:{CCW}|{CW}|[Uu]p|[Dd]own)(?:\s(?:moments?|forces?))?)(?=\s*:)"
        rf"|(?P<t>{CCW}|{CW})\s(?:moments?\s)?(?:about|round|um)\s(?:point\s)?(?P<pt>[A-Z]\d?'?)(?=\s*:)"
        rf"|(?P<c>\(\s?(?:{CCW}|{CW}|[Uu]p(?:wards?)?|[Rr]ight|rechtsdrehend|linksdrehend)\s"
        r"(?:moments? )?(?:(?:is|as|taken|counted) )*(?:positi(?:ve|v[oae]?|f)|\+\s?(?:ve)?|pos\.?)"
        r"\s?\))(?=\s*[-+−\d(A-Z])"
        r"|(?P<a>[↑→↓←↺↻]\s*\+|\+\s*[↑→↓←↺↻]|\(\s?(?:[↑→↓←↺↻]\s?\+|\+\s?[↑→↓←↺↻])\s?\)"
        r"|[↑↓←](?=\s+[^=]+=))(?=\s*[^\s,;:.])"
    )
)


def _sense_alone(source: Source, at: int, end: int) -> Found | None:
    """Read a positive sense that stands for the whole label: `clockwise +ve:`, `+↑:`."""
    match = _ALONE.match(source.text, at, end)
    if match is not None and match["pt"]:  # `clockwise about C: 6(5) − 4(2) = 0`
        span = source.span(at, match.end())
        label = SumLabel(span, "moment", canonical(match["pt"]), sense(match["t"]))
        return Found(label, _go_on(source.text, match.end(), end)[0])
    if match is None or not (
        match["a"] or match["b"] or match["c"] or re.search(r"\+|pos|[↺↻]", match.group())
    ):
        return None
    positive = sense(match["s"] or match["a"] or match["b"] or match["c"])
    axis = {"up": "y", "down": "y", "left": "x", "right": "x"}.get(positive, "moment")
    label = SumLabel(source.span(at, match.end()), axis, "", positive)
    return Found(label, _go_on(source.text, match.end(), end)[0])


def _swallows(text: str, stop: int, end: int, match: re.Match[str]) -> bool:
    """Tell whether the writing goes on so that it was no label: `M_A = 5`, `Fx cos`."""
    rest = text[stop:end].lstrip()
    if match.group()[:1] in "Σ" or match.group()[:3].lower() in ("sum", "som", "tak", "mom", "res"):
        return False
    if match.group()[:1] in "ESZ" and match.group()[1:].lstrip()[:1] in "FM":
        return not rest.startswith(("=", ":", ";"))  # a typed Σ, or a name such as EF_x
    return rest.startswith("=") and ":" not in match.group() and not match.groupdict().get("bal")


def _implies(text: str, after: re.Match[str], end: int) -> bool:
    """Tell whether the arrow behind `= 0` leads on to an equation instead of naming a sense."""
    return after["s"].strip() == "→" and bool(re.match(r"\s*[^\s:;,+)]", text[after.end() : end]))


def _go_on(text: str, stop: int, end: int) -> tuple[int, str]:
    """Return where what the label heads begins, and a positive sense told behind the colon."""
    punct = _PUNCT.match(text, stop, end)
    stop = punct.end() if punct else stop
    again = _AGAIN.match(text, stop, end)
    if again and "+" in again.group():
        return again.end(), sense(again.group())
    lead = _LEAD_EQUALS.match(text, stop, end)
    return (lead.end() if lead else stop), ""


_AGAIN = re.compile(loose(rf"{SENSE}\s*:?\s*(?=$|[^\s])"))
_LEAD_EQUALS = re.compile(r"[=≡≈]\s*(?=[^=])")


def sense(text: str) -> str:
    """Return the positive sense that a sense mark declares: '↺+' is anticlockwise."""
    if re.search(CCW, text):
        return "anticlockwise"
    if re.search(CW, text):
        return "clockwise"
    for word, name in (("↑", "up"), ("↓", "down"), ("→", "right"), ("←", "left"), ("up", "up"),
                       ("down", "down"), ("right", "right"), ("left", "left")):  # fmt: skip
        if word in text:
            return name
    return text.strip("()[]+ :")


_AXES = {"x": "x", "y": "y", "h": "x", "v": "y", "→": "x", "←": "x", "↑": "y", "↓": "y", "o": "x",
         "w": "x", "s": "y", "p": "y", "u": "y", "l": "x", "r": "x", "k": "",
         "х": "x", "у": "y", "z": "y", "i": "x", "î": "x", "j": "y", "ĵ": "y"}  # fmt: skip


def _axis(written: str) -> str:
    word = written.lower().removeprefix("in ").removeprefix("the ").removeprefix("k")
    if word.startswith(("poziom", "orizz", "waag")):
        return "x"
    return _AXES.get(word[:1], "x")


_KINDS = (("force", FORCE), ("moment", MOMENT), ("along", ALONG), ("force", BARE_FORCE),
          ("moment", BARE_MOMENT))  # fmt: skip
_POINTY = re.compile(POINTY)
_LOWERED = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")
_CACHE: dict[frozenset[str], list[tuple[str, re.Pattern[str]]]] = {}


def _patterns(lex: Lexicon) -> list[tuple[str, re.Pattern[str]]]:
    """Compile the label patterns with the joints of this sheet as moment points, once for all.

    Joints named by a letter, as most are, are points for every sheet.
    """
    own = frozenset(joint for joint in lex.joints if not _POINTY.fullmatch(joint))
    if not any(joint.isdigit() for joint in own) and not lex.joints - own:
        own |= {"1", "2", "3", "4", "5", "6", "7", "8", "9"}  # no sheet says how joints are called
    if own not in _CACHE:
        if len(_CACHE) > 32:
            _CACHE.clear()
        low = {joint.translate(_LOWERED) for joint in own if joint.isdigit()}  # ΣM₁
        known = sorted(map(re.escape, own | low), key=len, reverse=True)
        point = "(?:" + "|".join([*known, POINTY]) + ")(?![a-z0-9])"
        _CACHE[own] = [
            (kind, re.compile(loose(form.replace("POINT", point))))
            for kind, forms in _KINDS
            for form in forms
        ]
    return _CACHE[own]


_START = re.compile(r"[/ΣA-Zs-yamlrbcuophvijîĵ↑→↓←↺↻↗↘↖↙(\[+]|sum|\d{1,2}\s?[↺↻]")


def _core(
    text: str, at: int, end: int, lex: Lexicon, sensed: bool
) -> tuple[re.Match[str], str] | None:
    if not _START.match(text, at, end):
        return None
    for kind, pattern in _patterns(lex):
        match = pattern.match(text, at, end)
        if match is None or _is_member(match.group().strip(), lex):
            continue
        if kind == "force":
            return match, _axis(match["ax"])
        return match, kind
    return None


def _is_member(text: str, lex: Lexicon) -> bool:
    """Tell whether what looks like a label is a bar: EF is no typed Σ where E and F are joints."""
    return text in lex.members or (text[:1] in "ESZ" and lex.pair(text) is not None)


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
    if about not in lex.joints and about.upper() in lex.joints:
        about = about.upper()  # ΣMa for a joint A
    if groups.get("bal") and (point := _ABOUT.search(match.group())):
        about = point.group(1)
    turn = groups.get("turn") or ""
    if turn and not positive:
        positive = sense(turn)
    written = groups.get("ax") or ""
    if written in "↑→↓←" and written and not positive:
        positive = sense(written)
    direction = (groups.get("dir") or "").strip()
    direction = _ALONG_NAME.sub(r"along \1", direction)
    direction = _SHORT.sub(lambda m: f"{_SIDES[m[1]]} to {m[2]}", direction)
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

"""What can only be written one way in a line by hand: a slash like a 1, a root like a v, = like +.

Spelling alone: nobody writes a factor 1 between a bracket and what it is divided by, nor adds a
name to a number to round that number alone.
"""

import re
from functools import partial

from verifier.notation.tree import Names
from verifier.reading import amending, lookalikes, strange, wording
from verifier.reading.lines import ReadLine

_SLASH = re.compile(r"(?<=[)\]])[1lI|](?=sin|cos|tan|[(√])")
_FACTOR = re.compile(r"(?<![\d.,])(\d[\d.,]*)1(?=sin|cos|tan|√)")
_AS_SLASH = 0.3  # how likely the last 1 of a figure before a function is a slash
_ROOT = re.compile(r"(?<![\w)}])[vr](?=\((?:\d|\())")
_TWICE = re.compile(r"(?<![\d.,])(\d+)(?P<sign>[.,])(\d+)(?P=sign)(\d{1,2}|\d{4,})(?![\d.,])")
_PARTED = re.compile(r"(?<=\d)\s*;\s*(?=\d[\d.,]*\s*=)")
_AS_MINUS, _AS_DOT = 0.5, 0.3
_THOUSANDS = re.compile(r"([=+]\s?\d{1,3})/(\d{3}(?:[.,]\d+)?\s?\[?(?:k?N|lb|kgf))")
_AS_COMMA = 0.7
_NUMERAL = re.compile(
    r"(?:(?<=[^\W\d] )|(?<=[°}\])] )|(?<== 0 ))\([1I]{2,3}\)$|^\s*\([1I]{2,3}\)(?=\s?:)"
)
_AS_NUMERAL = 0.8
_UNIT = r"(\d\s?(?:[kM]?N|[kM]?Nm|lb|kip|m|mm|cm))"
_LOW_COMMA = re.compile(_UNIT + r"_\{?1\}?(?!\w)")  # no unit has an index
_UNIT_IN = re.compile(_UNIT + r"in\b")
_PLUS = re.compile(r"(?<=[a-z0-9)}])t(?=[A-Z]_?\{?[A-Za-z0-9])")
_POUND = re.compile(r"(\d\s?\[?lb)(?:t(?!\w)|\+(?=\s?\([^\W\d]{3}))")  # no other unit has an lb
_UNSIGNED = re.compile(  # N_{DE}+-H+4: a name set equal to what begins with a minus
    r"((?:^|[⇒→∴:;,])\s*[^\W\d]\w{0,2}(?:_\{\w+\})?) ?\+(?=[-−][\w(])(?!.*=\s*0(?![.,\d]))"
)
_RESULT = re.compile(  # so V_{B}+4.5 kN (↓) at a line's end: a result, whose = is short
    r"((?:^|\b(?:so|giving|gives|hence|thus|whence|also|daher|donc|soit|luego|quindi|cui)\b|[⇒→∴])"
    r"\s*[^\W\d]\w{0,2}(?:_\{\w+\})?)\s?\+\s?(\d[\d.,]*\s?"
    r"\[?(?:[kM]?N|[kM]?Nm|lbf?|kips?|kgf)\]?(?:\s?\([^()]\)|\s?[←→↑↓])?)$"
)
_OPEN = re.compile(  # (4.2 kN(3 m), (4.2 kN] sin 30°
    r"(\(-?\d[\d.,]*\s?(?:k?N|lbf?|kips?|kgf|k?Nm|m|mm|ft|in))(?:\]|(?=\(|\s?(?:sin|cos|tan)))"
)
_ARROW = re.compile(r"(?<=[\]Nbfpsmt])(\s?\()[1lI|](\))$")  # -5.5 [kN] (1)
_AS_ARROW = 0.9
_AS_COMMA_ALONE = 0.45
_COMMA_AS_ONE = re.compile(  # V·2 = 2.81 giving V = 1.4
    r"(?<=\d[.,]\d)(\d*)1(?=\s(?:giving|gives|which|so|hence|then|thus|daher|also|donc|luego)\b)"
)
_NO_OPENING = re.compile(r"(?<=\d)\s?((?:[kM]?N|[kM]?Nm|[kM]?N·m|lbf?|kips?|kgf)\])")
_MOST = 24  # other readings of a line
_BEFORE_TAG = re.compile(  # = 0 n (6), = 0 111 (6): points on the way to an equation's number
    r"(?<==\s0)(?:\s[nmuwiIl1:+∴.↺]{1,3}|∴)\s?(?=\(\w{1,3}\)$)"
)
_POINTS = re.compile(r"(?<==\s0)\.1{1,2}\s?(?=\(\w{1,3}\)$)")  # = 0.11 (6)
_AS_POINTS = 0.6
_DEGREE = re.compile(r"((?:sin|cos|tan|sen|tg)\s?\d{1,3}[.,]\d)0(?![\d°.,])")  # sin 122.10
_AS_DEGREE, _AS_DEGREE_ALONE = 0.7, 0.3
_GIVEN = r"[^\W\d]\d?\s?[=+]\s?\d[\d.]*\d"
_GIVENS = re.compile(rf"\s*(?:{_GIVEN}\s?[,;/]\s?){{2,}}{_GIVEN}")  # a+3.0/b = 2.5,C+1.0
_LETTERS_ADDED = re.compile(r"\([a-z](?:[t+][a-z])+\)")  # (atbtc)
_ROUNDED = re.compile(
    r"((?:^|[⇒→∴:;])\s*[^\W\d]\w*'?(?:_\{\w+\})?\s*)[+*÷](\s*(\d+[.,]\d+)\s*≈\s*(\d+(?:[.,]\d+)?))"
    r"(?![\d.,]*\d)"
)


def settled(line: ReadLine, names: Names) -> ReadLine:
    """Return a line by hand with such signs settled in all its readings; equal ones are one.

    >>> line = ReadLine("P = -(3)1sin30", 1, (0, 0, 9, 9), 0.8, (("P = -(3)/sin30", 0.1),))
    >>> settled(line, Names()).text
    'P = -(3)/sin30'
    """
    ways: dict[str, float] = {}
    for text, chance in [(line.text, line.confidence), *line.alternatives]:
        for way, share in _ways(spelt(text, names), names):
            ways[way] = ways.get(way, 0.0) + share * chance
    ways = dict(sorted(_with_arrows(ways).items(), key=lambda way: -way[1]))
    (text, sure), *others = ways.items()
    if text == line.text and len(others) == len(line.alternatives):
        return line
    return line.saying(text, min(1.0, sure), tuple(others[:_MOST]))


def _ways(text: str, names: Names) -> list[tuple[str, float]]:
    """Return what a reading may stand for, with the shares of its chance."""
    found = [(text, 1.0)]
    for split in (
        _with_slash,
        _with_times,
        _with_minus,
        _with_numeral,
        _with_points,
        _with_degree,
        _with_thousands,
        _with_comma,
        partial(strange.ways, names=names),
        partial(strange.components, names=names),
        partial(lookalikes.ways, names=names),
    ):
        found = [(way, own * share) for one, own in found for way, share in split(one)]
    return found


def _with_minus(text: str) -> list[tuple[str, float]]:
    """Return a sum or product for `6.5 - 5 ; 8 = …`: nothing begins so after a semicolon."""
    minus, dot = _PARTED.sub(" - ", text), _PARTED.sub("·", text)
    if minus == text:
        return [(text, 1.0)]
    return [(minus, _AS_MINUS), (dot, _AS_DOT), (text, 1 - _AS_MINUS - _AS_DOT)]


def _with_numeral(text: str) -> list[tuple[str, float]]:
    """Return an equation's number for `… = 0 (11)` and `(111): …`: I and 1 are one stroke."""
    other = _NUMERAL.sub(lambda found: found[0].replace("1", "I"), text)
    return [(text, 1.0)] if other == text else [(other, _AS_NUMERAL), (text, 1 - _AS_NUMERAL)]


def _with_points(text: str) -> list[tuple[str, float]]:
    """Return `= 0 (2)` for `= 0.11 (2)`: points that lead on to the equation's number."""
    other = _POINTS.sub(" ", text)
    return [(text, 1.0)] if other == text else [(other, _AS_POINTS), (text, 1 - _AS_POINTS)]


def _with_degree(text: str) -> list[tuple[str, float]]:
    """Return sin 122.1° for `sin 122.10`, likelier where the line has other degrees."""
    other = _DEGREE.sub(r"\1°", text)
    share = _AS_DEGREE if "°" in text else _AS_DEGREE_ALONE
    return [(text, 1.0)] if other == text else [(other, share), (text, 1 - share)]


def _with_times(text: str) -> list[tuple[str, float]]:
    """Return the products that a number with two points may be: 10.3.2, 2.51.8."""
    twice = _TWICE.search(text)
    if twice is None:
        return [(text, 1.0)]
    first, sign, middle, last = twice.groups()
    inside = [
        f"{first}{sign}{middle[:at]}·{middle[at:]}{sign}{last}"
        for at in range(1, len(middle))
        if middle[at] != "0"
    ]
    products = [f"{first}·{middle}{sign}{last}", f"{first}{sign}{middle}·{last}", *inside]
    return [
        (text[: twice.start()] + product + text[twice.end() :], 1 / len(products))
        for product in products
    ]


def _with_thousands(text: str) -> list[tuple[str, float]]:
    """Return 1,220 for `1/220 [lbf]`: a result is no fraction of three figures."""
    other = _THOUSANDS.sub(r"\1,\2", text)
    return [(text, 1.0)] if other == text else [(other, _AS_COMMA), (text, 1 - _AS_COMMA)]


def _with_comma(text: str) -> list[tuple[str, float]]:
    """Return `2.8, giving` for `2.81 giving`, with the shares of both."""
    other = _COMMA_AS_ONE.sub(r"\1,", text)
    if other == text:
        return [(text, 1.0)]
    return [(text, 1 - _AS_COMMA_ALONE), (other, _AS_COMMA_ALONE)]


def _with_arrows(ways: dict[str, float]) -> dict[str, float]:
    """Give arrows what a (1) behind a force has, where the same line is read with one as well.

    Equations are numbered, results are not.
    """
    found = dict(ways)
    for text, chance in ways.items():
        arrows = [way for arrow in "↑↓←→" if (way := _ARROW.sub(rf"\1{arrow}\2", text)) in ways]
        total = sum(ways[way] for way in arrows)
        if text in arrows or not total:
            continue
        for way in arrows:
            found[way] += _AS_ARROW * chance * ways[way] / total
        found[text] = chance * (1 - _AS_ARROW)
    return found


def _with_slash(text: str) -> list[tuple[str, float]]:
    """Return a reading and, where `71sin30` may be `7/sin30`, that one too, with their shares."""
    other = _FACTOR.sub(r"\1/", text)
    return [(text, 1.0)] if other == text else [(text, 1 - _AS_SLASH), (other, _AS_SLASH)]


def spelt(text: str, names: Names) -> str:
    """Return a reading with such signs settled."""
    text = lookalikes.unlike(_ROUNDED.sub(_equal, _SLASH.sub("/", text)), names)
    text = _PLUS.sub("+", _RESULT.sub(r"\1 = \2", text))
    text = _UNSIGNED.sub(r"\1 = ", _POUND.sub(r"\1f", text))
    text = _UNIT_IN.sub(r"\1 in", _LOW_COMMA.sub(r"\1,", text))
    if text.count("(") > text.count(")"):
        text = _OPEN.sub(r"\1)", text)
    known = names.letters | names.joints | names.extra
    text = _BEFORE_TAG.sub(" ", text)
    if _GIVENS.fullmatch(text):
        text = re.sub(r"\s?[=+]\s?", " = ", re.sub(r"\s?[,;/]\s?", ", ", text))
    if "t" not in known:
        text = _LETTERS_ADDED.sub(lambda found: found[0].replace("t", "+"), text)
    if text.count("]") > text.count("["):
        text = _NO_OPENING.sub(r" [\1", text, count=1)
    text = amending.amended(wording.worded(text, names))
    return _ROOT.sub(lambda found: found[0] if found[0] in known else "√", text)


def _equal(found: re.Match[str]) -> str:
    """Return `E = 7,4483 ≈ 7,45` for `E + 7,4483 ≈ 7,45`; other sums stay."""
    before, after, exact, rounded = found.groups()
    value, near = (float(one.replace(",", ".")) for one in (exact, rounded))
    places = len(rounded.replace(",", ".").partition(".")[2])
    fewer = places < len(exact.replace(",", ".").partition(".")[2])
    half = 0.5 * 10.0**-places
    return f"{before}={after}" if fewer and abs(value - near) <= 1.02 * half else found[0]

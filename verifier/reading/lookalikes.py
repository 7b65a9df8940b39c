"""Signs by hand that cannot be what they look like where they stand, and the names behind them.

A cross at a name's end is an x, a figure with an index is a letter, an r between figures a root.
Spelling and the sheet's names alone: nothing here knows what a line should say.
"""

import re

from verifier.notation.tree import Names

_CROSS = re.compile(  # F1× = 3, R_{A},× (2): a product has two factors
    r"([A-Z])(\d?)(?:_\{([A-Z\d]*)\})?(,?)\s?×(?=\s*(?:[=≈+\-−,;⇒→∴]|$|\s\(\w\)$))"
)
_BEFORE_BRACKET = re.compile(r"(?<![A-Za-z\d])([A-Z]\d?)×(?=\()")
_ROOT = re.compile(r"(?<![\d.,])(\d)([rv])-?(?=\d\)?\s?(?:[A-Za-z(/·×]|$|[=+\-]))")
_ROOT_OF_SQUARES = re.compile(  # no force stands before a sum of squares
    r"(?<![\w}\])])(?:[σδ](?=\([^()=]*\^2\s?\+)"
    r"|[FfVvrTt]'?(?=\([^()=]*\^2\s?\+[^()=+]*\^2\)\s?(?:[=≈]|$)))"
)
_IMPLIED = re.compile(r"=\s?>|⇒\s?>")
_THAT_IS = re.compile(  # 24.1kN,1:8·24.1kN
    r"(?<=[A-Za-z\]])\s?(?:[,;]|(?<=N)[J1](?=\s)|_\{1\})\s?"
    r"[1lIi]{1,2}[.:·,]?(?:[ern8]{0,2}[eE8]|(?<=:)[\d.]?)[.:·,\-]?\s?"
    r"(?=-?\d[\d.,]*\s?\[?(?:[kM]?N|lb|kip|kgf))"
)
_THAT_IS_BADLY = re.compile(  # [lb], ∴e. 1 370 [lb]; -12.9kNiinen 12.9kN
    r"(?:(?<=[A-Za-z\]]),\s?[^\s\d=+\-−()|{}_]{1,3}[eE][.,:·\-]{0,2}\s?"
    r"|(?<=\dkN)[ji,;1l][^\W\d_]{1,5}[.,]?\s)"
    r"(?=-?\d[\d., ]*\s?\[?(?:[kM]?N|lb|kip|kgf))"
)
_TICK = re.compile(r"(?<=\d)'(?=\d)")  # a product's dot
_LOW_JOINT = re.compile(r"(?<![A-Za-z_{])([RVHF])([0568])(?![\d.,·(×A-Za-z])")
_LETTER_IN_NUMBER = re.compile(r"(?<=\d)([sSQOo])(?![A-Za-z_{(])|(?<=\d[.,])([sSQOo])(?=\d)")
_AS_FIGURE = {"s": "5", "S": "5", "Q": "0", "O": "0", "o": "0"}
_COMMA_LOW = re.compile(r"_\{([A-Z])([,/Il1|]?)\}([,/Il1|]?)([xy])(?![A-Za-z])")  # R_{D,}y
_PRODUCT_IN_SUM = re.compile(r"(\([^();=]*\d)\s?;\s?(?=\d[\d.,]*\s?[+\-−·×][^();=]*\))")
_NOTHING = re.compile(  # a side that is a round stroke alone
    r"(?:(?<=^)|(?<=[=:→⇒∴]\s)|(?<=[→⇒∴:=])|(?<=\b[Ss]o\s)|(?<=\bthus\s)|(?<=\bhence\s))[σOo](?=\s?=)"
    r"|(?<==\s)[σOo](?=\s?(?:$|[,;:→⇒∴]|\(\w\)$))"
)
_D_H = re.compile(r"(?<=[,;])\s?d[.:,toe]?\s?h[.:,;]\s?(?=-?\d)")  # das heißt
_UNIT_COMMA = re.compile(r"(?<=\dN),(?=m(?!\w))|(?<=\[N),(?=m\])|(?<=kN),(?=m(?!\w))")
_MOMENT = re.compile(r"(?<=[}N])\s?:\s?(?=\d[\d.,]*\s?(?:m|mm|cm|ft|in)\b)")
_BULLET = re.compile(
    r"^\s*(?:×\s+(?=[^\W\d_]{4,})|[xX]\s+(?=[A-Z][^\W\d_]{3,}\s\w)"
    r"|[xX]\s+(?!dir|comp|axis|axe|eje|achse|richt|force|sum)(?=[^\W\d_]{5,}\s))"
)
_EDGE = re.compile(r"^\s*[1lI](?=\s?\|[^|]*\|)|(?<=\|\s)[1lI]\s*$")  # of a table's row
_TWO = re.compile(r"(?<![\w}.,])[zZ](?=([A-Za-z])(?![a-z_]))")  # 3P·a+3P·za
_FEET = re.compile(r"(?<=\d)(\s?)f_?\{?[TtIl]\}?(?=[)\]\s=,;]|$)")  # (2.4 f_{T})
_TIMES = re.compile(r"(?<=[A-Z]{2})x (?=\(\d)|(?<=\}) ?x (?=\(\d)")  # FLPx (2.5/4.717)
_BAR_TIMES = re.compile(r"([A-Z])_?\{?([A-Z])\}? ?x(?=\(\d)")  # FACx(1.45/2.304)
_IN_NUMBER = re.compile(r"(?<=\d[.,])\((?=\d)")  # 2.(83
_IN_FIGURES = re.compile(r"(?<=\d)\((?=\d)")
_SLOPE = re.compile(r"(?<=/)5(?=\d{1,3}\))")  # (7/574) for (7/√74)
_STRAY = re.compile(r"(?<=\))\s?[|,]\s?([A-Z])([A-Z])(?![A-Za-z])(?=[^,|]*=)")  # (5/7) | DG = 3
_ROOT_OF_MINUS = re.compile(r"(?<=√\()-(?=\d)")
_TANGENT = re.compile(r"(?<![A-Za-z])[t+]q\s?(?=[αβγδθφλ])")  # tq φ, 16,7+qφ
_KIPS = re.compile(r"(?<=\d)(\s?\[|\s)K(?=\]|[-·/]\s?ft\]|\s?(?:[TC](?!\w)|[,;]|$))")
_TENSION = re.compile(r"(?<=[\dNbfps\]])(\s?[(\[])F(?=[)\]]$)")  # 61.7 kN (F)
_STROKES = re.compile(r"(?<![\w.,])1\)(?=[A-Z]\s?=)")  # 1)L = 974: a D in two strokes
_WITH_INDEX = re.compile(r"(?<![\w}])(\d[\d.,]*?)?([0125-9])_\{([^{}]+)\}")
_COMPONENT = re.compile(r"(?<![\w.,}])([0125-9])([xy])(?=\s?[=+\-)(,]|$)")
_AS_LETTER = {
    "0": "DOQ", "1": "IJT", "2": "Z", "5": "S", "6": "G", "7": "FT", "8": "BR", "9": "P",
}  # fmt: skip
_ALONE = re.compile(r"(?<![\w.,°])([69201])(?![\w.,°\s]|\s?[A-Za-z°])")
_LETTER_ALONE = {"6": "b", "9": "g", "2": "z", "0": "", "1": "l"}
_DOTTED = re.compile(r"\d·\d")
_LONG = re.compile(r"(?<![\d.,·])(\d{2,4})([.,]\d+)(?![\d.,])")
_SAME_SHAPE = "cosuvwxzkp"
_ALIKE = ("MWNH", "UV", "RK", "PD")
_SINGLE = re.compile(r"(?<![A-Za-z_{\]])([A-Za-z])(?![a-z_'²\d]|N|gf)")
_MOST_PRODUCTS = 6
_IS_PRODUCT, _IS_LETTER, _IS_OFFERED, _IS_CASE = 0.04, 0.15, 0.25, 0.6
_IS_INDEX, _IS_TIMES, _IS_FIGURE, _IS_ROOT, _IS_PULL = 0.7, 0.5, 0.9, 0.1, 0.7


def unlike(text: str, names: Names) -> str:
    """Return a reading with the signs settled that can only be written one way.

    >>> unlike("ΣF_{y} = 0 = >0 = F1× (2)", Names())
    'ΣF_{y} = 0 ⇒ 0 = F1x (2)'
    >>> unlike("N = 3r2P/2", Names())
    'N = 3√2P/2'
    >>> unlike("ΣF_{y}: 0 = F-3, so O = 4-3", Names())
    'ΣF_{y}: 0 = F-3, so 0 = 4-3'
    """
    known = names.letters | names.joints | names.extra
    text = _CROSS.sub(_crossed, text)
    if "r" not in known and "v" not in known:
        text = _ROOT.sub(r"\1√", text)
    text = _NOTHING.sub(lambda found: found[0] if found[0] in known else "0", text)
    text = _UNIT_COMMA.sub(".", _D_H.sub(" d.h. ", _MOMENT.sub("·", text)))
    text = _IMPLIED.sub("⇒ ", _ROOT_OF_SQUARES.sub("√", text)).replace("  ", " ")
    if "D" in names.joints and text.count(")") > text.count("("):
        text = _STROKES.sub("D", text)
    text = _ROOT_OF_MINUS.sub("", text)
    text = _TANGENT.sub("tg ", _TENSION.sub(r"\1T", text))
    if names.units[0] == "kip":
        text = _KIPS.sub(r"\1k", text)
    if names.units[1] == "ft":
        text = _FEET.sub(r"\1ft", text)
    if not {"z", "Z"} & (names.letters | names.joints):
        text = _TWO.sub(lambda found: "2" if found[1] in names.letters else found[0], text)
    if text.count("|") >= 2:
        text = _EDGE.sub("|", text)
    text = _COMMA_LOW.sub(_with_comma, _PRODUCT_IN_SUM.sub(r"\1·", text))
    text = _LETTER_IN_NUMBER.sub(
        lambda found: found[0] if found[0] in known else _AS_FIGURE[found[0]], text
    )
    text = _TICK.sub("·", _THAT_IS_BADLY.sub(", i.e. ", _THAT_IS.sub(", i.e. ", text)))
    return _BULLET.sub("* ", _LOW_JOINT.sub(lambda found: _of_joint(found, names), text))


def _with_comma(found: re.Match[str]) -> str:
    """Return R_{D,y} for R_{D,}y; an index without a comma is another name."""
    joint, low, main, axis = found.groups()
    return f"_{{{joint},{axis}}}" if low or main else found[0]


def _of_joint(found: re.Match[str], names: Names) -> str:
    """Return RD for R0 where the sheet has a joint D, and none else that looks like a nought."""
    joints = [one for one in _AS_LETTER[found[2]] if one in names.joints]
    known = names.letters | names.extra
    return found[1] + joints[0] if len(joints) == 1 and found[0] not in known else found[0]


def _crossed(found: re.Match[str]) -> str:
    letter, number, index, comma = found.groups()
    if comma and index is None and not number:
        return f"_{{{letter},x}}"
    inner = f"{index or ''}{comma}x"
    return f"{letter}{number}_{{{inner}}}" if index is not None else f"{letter}{number}{comma}x"


def ways(text: str, names: Names) -> list[tuple[str, float]]:
    """Return what a reading may say with look-alikes of the sheet's letters, with their shares."""
    found = [(text, 1.0)]
    for change, share in (
        (_with_x, _IS_INDEX), (_lettered, _IS_INDEX), (_cased, _IS_CASE), (_named, _IS_LETTER),
        (_offered, _IS_OFFERED), (_parted, _IS_PRODUCT), (_times, _IS_TIMES),
        (_figured, _IS_FIGURE), (_sloped, _IS_ROOT),
        (_pulled, _IS_PULL),
    ):  # fmt: skip
        more: list[tuple[str, float]] = []
        for one, own in found:
            others = [other for other in change(one, names) if other != one]
            more += [(other, own * share / len(others)) for other in others]
            more.append((one, own * (1 - share) if others else own))
        found = more
    return found


def _with_x(text: str, names: Names) -> list[str]:
    """Return F1x(2) for `F1×(2)` beside an F1y: the other component."""
    del names
    return [
        _BEFORE_BRACKET.sub(
            lambda found: (
                found[1] + "x" if found[1] + "y" in text.replace("_{y}", "y") else found[0]
            ),
            text,
        )
    ]


def _times(text: str, names: Names) -> list[str]:
    """Return a product for `FLPx (2.5/4.717)`, and for `FACx(1.45/2.304)` where AC is a bar."""

    def product(found: re.Match[str]) -> str:
        ends = found[1], found[2]
        return f"{found[0][:-1]}×" if {ends, ends[::-1]} & names.members else found[0]

    return [_BAR_TIMES.sub(product, _TIMES.sub("×", text))]


def _sloped(text: str, names: Names) -> list[str]:
    """Return `(7/√74)` for `(7/574)`: a share of a slope, its root's sign like a five."""
    del names
    return [_SLOPE.sub("√", text)]


def _pulled(text: str, names: Names) -> list[str]:
    """Return `(5/7)T_{DG}` for `(5/7) | DG`: a T of which the stem alone was seen."""

    def pull(found: re.Match[str]) -> str:
        ends = found[1], found[2]
        known = {ends, ends[::-1]} & names.members
        return f"T_{{{found[1]}{found[2]}}}" if known else found[0]

    return [_STRAY.sub(pull, text)]


def _figured(text: str, names: Names) -> list[str]:
    """Return figures for a bracket within a number: 2.683 for `2.(83`, none of which opens so."""
    del names
    ways = []
    for figure in "61":
        way = _IN_NUMBER.sub(figure, text)
        if way.count("(") > way.count(")"):
            way = _IN_FIGURES.sub(figure, way, count=1)
        ways.append(way)
    return ways


def _lettered(text: str, names: Names) -> list[str]:
    """Return letters for figures with an index: G_{y} for 6_{y} where the sheet has a G."""
    text = _COMPONENT.sub(lambda found: _component(found, names), text)
    found = []
    for which in range(2):

        def letter(found: re.Match[str], which: int = which) -> str:
            before, figure, index = found.groups()
            offered = [one for one in _AS_LETTER[figure] if one in names.joints | names.letters]
            ways = offered or _AS_LETTER[figure]
            return f"{before or ''}{ways[which % len(ways)]}_{{{index}}}"

        found.append(_WITH_INDEX.sub(letter, text))
    return [*dict.fromkeys(found)]


def _component(found: re.Match[str], names: Names) -> str:
    """Return G_{y} for 6y where the sheet has a joint G."""
    joints = [one for one in _AS_LETTER[found[1]] if one in names.joints]
    return f"{joints[0]}_{{{found[2]}}}" if len(joints) == 1 else found[0]


def _cased(text: str, names: Names) -> list[str]:
    """Return the sheet's letters for those that differ in their size alone: C for c."""
    known = names.letters | names.joints | names.extra

    def cased(found: re.Match[str]) -> str:
        own, other = found[1], found[1].swapcase()
        shape = own.lower() in _SAME_SHAPE
        return other if shape and own not in known and other in known else own

    return [_SINGLE.sub(cased, text)]


def _named(text: str, names: Names) -> list[str]:
    """Return the sheet's letters for single figures that look like them: a+b for `a+6`."""

    def named(found: re.Match[str]) -> str:
        letter = _LETTER_ALONE[found[1]]
        return letter if letter and letter in names.letters else found[1]

    return [_ALONE.sub(named, text)]


def _offered(text: str, names: Names) -> list[str]:
    """Return the sheet's own letter for one that looks like it and means nothing: W for M."""

    def offered(found: re.Match[str]) -> str:
        if found[1] in names.letters | names.joints | names.extra:
            return found[1]
        alike = {one for group in _ALIKE if found[1] in group for one in group} - {found[1]}
        near = alike & names.letters
        return near.pop() if len(near) == 1 else found[1]

    return [_SINGLE.sub(offered, text)]


def _parted(text: str, names: Names) -> list[str]:
    """Return products for long numbers beside other products: 4·2,4 for `42,4`."""
    del names
    if not _DOTTED.search(text):
        return []
    return [
        f"{text[: found.start() + at]}·{text[found.start() + at :]}"
        for found in _LONG.finditer(text)
        for at in range(1, len(found[1]))
        if found[1][at] != "0"
    ][:_MOST_PRODUCTS]

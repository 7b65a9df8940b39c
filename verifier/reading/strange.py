"""Names that the sheet does not offer, by hand, and the one look-alike that it does offer.

A bar PG where no joint is called P, but D–G is a bar: a P and a D are told apart by little. The
reading as it was seen stays possible; nothing here knows what a line should say.
"""

import re

from verifier.notation.tree import Names

_ALIKE = (
    "DPOQ", "CGE", "HKN", "AH", "MNW", "UV", "IJLT", "BRE", "PR", "FTP", "XYK", "SG", "ZL", "VY",
    "BD",
)  # fmt: skip
_PART = re.compile(  # forces are called F N R S T V H
    r"(?<![A-Za-z])([A-EGI-MO-QU-Z])_\{([AU]|(?<=K_\{)K)\}"
)
_AS_PART = {"A": "H", "U": "V", "K": "H"}
_IS_PART = 0.5
_SEEN = 0.15  # how likely such a name is what was meant all the same
_PAIR = re.compile(r"(?<![A-Za-z\d.])([A-Z]_?\{?)?([A-Z]{2})(?![A-Za-z\d])")
_INDEX = re.compile(r"(?<=[A-Z]_\{)([A-Z])(?=[xyhv]?\})")
_FIGURE = re.compile(  # no bars
    r"(?<=[RVHMXY]_\{)([0568])(?=[xyhv]?\})|(?<=M\()([0568])(?=\))|(?<=M@)([0568])"
)
_AS_FIGURE = {"0": "ODQ", "5": "S", "6": "G", "8": "B"}


def ways(text: str, names: Names) -> list[tuple[str, float]]:
    """Return a reading and, before it, the one in which strange names are the sheet's.

    >>> ways("PG = 3", Names(joints=frozenset("DG"), members=frozenset({("D", "G")})))
    [('DG = 3', 0.85), ('PG = 3', 0.15)]
    """
    if not names.joints or any(len(joint) != 1 for joint in names.joints):
        return [(text, 1.0)]
    bars = {a + b for a, b in names.members} | {b + a for a, b in names.members}
    known = names.letters | names.extra | names.bodies

    def bar(found: re.Match[str]) -> str:
        pair = found[2]
        whole = pair[0] != pair[1] and set(pair) <= names.joints
        if pair in bars or pair in known or whole or found[0] in known:
            return found[0]
        near = {
            other
            for at, letter in enumerate(pair)
            for like in _like(letter)
            if (other := pair[:at] + like + pair[at + 1 :]) in bars
        }
        same = len({frozenset(one) for one in near}) == 1  # BD and DB are one bar
        return (found[1] or "") + (max(near) if same else pair)

    def joint(found: re.Match[str]) -> str:
        near = _like(found[0]) & names.joints
        strange = found[0] not in names.joints and found[0] not in known
        return near.pop() if strange and len(near) == 1 else found[0]

    def figure(found: re.Match[str]) -> str:
        near = set(_AS_FIGURE[found[0]]) & names.joints
        return near.pop() if len(near) == 1 else found[0]

    other = _FIGURE.sub(figure, _INDEX.sub(joint, _PAIR.sub(bar, text)))
    return [(text, 1.0)] if other == text else [(other, 1 - _SEEN), (text, _SEEN)]


def components(text: str, names: Names) -> list[tuple[str, float]]:
    """Return a reading and the one in which a joint's name has H or V behind it, with shares.

    >>> components("B_{A} = 3", Names(joints=frozenset("AB")))
    [('B_{A} = 3', 0.5), ('B_{H} = 3', 0.5)]
    >>> components("K_{K}-2 = 0", Names(joints=frozenset("AK")))
    [('K_{K}-2 = 0', 0.5), ('K_{H}-2 = 0', 0.5)]
    """
    bars = {a + b for a, b in names.members} | {b + a for a, b in names.members}

    def part(found: re.Match[str]) -> str:
        joint, index = found.groups()
        meant = joint not in names.joints or joint + index in bars | names.letters
        return found[0] if meant else f"{joint}_{{{_AS_PART[index]}}}"

    other = _PART.sub(part, text)
    if other == text:
        return [(text, 1.0)]
    return [(text, 1 - _IS_PART), (other, _IS_PART)]


def _like(letter: str) -> set[str]:
    return {other for group in _ALIKE if letter in group for other in group} - {letter}

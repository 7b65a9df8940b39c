"""How likely it is that a fault on a picture was only misread: doubt at the judged term alone.

All the other terms fit what statics expects as they were read, which misread ones would not. So a
line's fault is in doubt as far as reading may have made what is written out of what is expected.
"""

import math
import re
from collections.abc import Mapping
from difflib import SequenceMatcher

from verifier.checking.reckoned import borne_out_by_reckoning
from verifier.checking.state import Slip
from verifier.checking.written import Written
from verifier.notation.tree import Relation, Span

_TOKENS = re.compile(r"\d+(?:[.,·]\d+)*|[^\W\d_]+|[^\s\w]")
_WORKED_OUT = frozenset({
    "arithmetic", "algebra", "rounding", "geometry", "inconsistent", "unit", "extra-force",
    "missing-force",
})  # fmt: skip
"""Kinds for which each sign of the chain counts, not just what differs from what is expected."""


_SIGNS, _AS_SIGN = "+-−±", 0.25
"""A plus is seldom read as a minus: no planted one was in 178 lines by hand."""
_READ_WELL = 0.9  # in a line less sure the name may be another one, whatever the numbers say
_OF_RECKONING = frozenset({"arithmetic", "algebra", "rounding", "unit", "inconsistent"})
"""Kinds at which what a line comes to is itself at odds, or says nothing."""
_NUMBERS = re.compile(r"\d+(?:[.,]\d+)?")
_CLOSE = 2e-3
_UNKNOWN = 0.3
"""How often, where a line was misread, none of its other readings is right either."""
_ENOUGH, _KNOWN, _ELSEWHERE = 6, 0.1, 0.02
"""So many other readings show where a line is doubtful: what else it may say stands there, …

Counted with the weights of 2026-11-30 on 30 pages of the fitting hands, 6 of 412 figures and signs
of which another reading was known were none of those known; of the others 7 of 2,033 were misread
(of the other hands 2 of 500 and 6 of 2,598). These are six times as much.
"""
_WHOLE_TERM = 0.2
"""A reader passes over no whole term, and hardly reads a sum as the one that lacks a term."""
LOST_POINT = 0.5
"""How likely a reader lost the point between two factors where they explain a number."""


def misread(slip: Slip, written: Mapping[int, Written]) -> float:
    """Return the probability, 0 to 1, that a line has this fault only as it was read.

    `written` are the lines by number; their other readings are held to share the fault.
    """
    one = written[slip.line]
    text, doubts = one.line.whole, _doubts(one, written)
    if slip.explanation.kind not in _OF_RECKONING and one.chance() >= _READ_WELL:
        doubts = _beside_reckoning(one, doubts)
    start, end = slip.explanation.span
    if one.confidence is not None and _lost_point(text[start:end], slip.explanation.expected):
        return LOST_POINT
    events = _differing(text[start:end], slip.explanation.expected)
    if slip.explanation.kind in _WORKED_OUT or start >= end or not events:
        begin = start if slip.explanation.kind == "unit" else _chain(one, (start, end))
        part = doubts[begin:end] if start < end else doubts
        whole = 1 - math.prod(1 - doubt for doubt in part)
        whole = min(whole, 1.0 if one.certainties else _most(one, doubts))
        whole *= _WHOLE_TERM if slip.explanation.kind == "missing-force" else 1.0
        return 1 - (1 - whole) * (1 - _begun(one, written))
    turned = all(text[start + at] in _SIGNS for event in events for at in event)
    found = math.prod(max(doubts[start + at] for at in event) for event in events)
    return max(found * (_AS_SIGN if turned else 1.0), _read_as_expected(slip, one))


def _read_as_expected(slip: Slip, one: Written) -> float:
    """Return how likely another reading has at the fault what is expected there.

    Such a one is at fault elsewhere in the line, which may have been misread at several places.
    """
    text, (start, end) = one.line.whole, slip.explanation.span
    wanted = _plain(slip.explanation.expected)
    if one.confidence is None or one.line.above or not wanted:
        return 0.0
    told = [
        chance for other, chance in one.others
        if len(other.whole) == len(text) and _plain(other.whole[start:end]) == wanted
    ]  # fmt: skip
    return max(told, default=0.0) / (one.confidence + max(told, default=0.0) or 1.0)


def _plain(text: str) -> str:
    return "".join(text.split()).replace(",", ".")


def _lost_point(read: str, expected: str) -> bool:
    """Tell whether a number is what is expected once it is parted: 2,75 for 2,7·5 = 13,5."""
    wanted = [float(number.replace(",", ".")) for number in _NUMBERS.findall(expected)]
    for number in _NUMBERS.findall(read):
        for at in range(1, len(number)):
            one, two = number[:at].replace(",", "."), number[at:].replace(",", ".")
            if one[-1] == "." or two[0] == "." or max(one.count("."), two.count(".")) > 1:
                continue
            product = float(one) * float(two)
            if any(abs(product - value) <= _CLOSE * value for value in wanted):
                return True
            if float(one) in wanted and float(two) in wanted:
                return True
    return False


def _begun(one: Written, written: Mapping[int, Written]) -> float:
    """Return how likely the line above was misread, where a chain goes on from there with =."""
    goes_on = any(isinstance(part, Relation) and part.continues for part in one.line.parts)
    before = max((n for n in written if n < one.line.number), default=None)
    return max(_own(written[before]), default=0.0) if goes_on and before is not None else 0.0


def _most(one: Written, doubts: list[float]) -> float:
    """Return how likely a line is misread at all, where no sign is sure by itself."""
    return max(_left(one) if all(doubts) else 0.0, *doubts)


def _beside_reckoning(one: Written, doubts: list[float]) -> list[float]:
    """Return the doubts of a line but where its own reckoning bears out what was read.

    What is said of a line as a whole is its signs' together, so the others have their share of it.
    """
    left = list(doubts)
    for part in one.line.parts:
        for start, end in borne_out_by_reckoning(part) if isinstance(part, Relation) else ():
            left[start:end] = [0.0] * (end - start)
    share = (
        1.0 if one.certainties else sum(d > 0 for d in left) / max(1, sum(d > 0 for d in doubts))
    )
    return [share * doubt for doubt in left]


def _chain(one: Written, span: Span) -> int:
    """Return where the chain begins in which the span stands."""
    for part in one.line.parts:
        if isinstance(part, Relation) and part.span[0] <= span[0] <= part.span[1]:
            return part.span[0]
    return 0


def _doubts(one: Written, written: Mapping[int, Written]) -> list[float]:
    """Return how likely each character of the whole of a line was misread."""
    found: list[float] = []
    for number, text in one.line.above:
        own = written.get(number)
        found += _own(own) if own and own.line.text == text else [0.0] * len(text)
        found.append(0.0)
    return found + _own(one)


def _own(one: Written) -> list[float]:
    """Return how likely each character is another one than in all readings known of the line."""
    text = one.line.text
    if one.confidence is None:
        return [0.0] * len(text)
    if len(one.certainties) != len(text):
        return [_left(one) * share for share in _open(one)]
    doubts = [1 - certain for certain in one.certainties]
    for other, chance in one.others:
        for at in _changed(text, other.text):
            doubts[at] = max(0.0, doubts[at] - chance)
    return doubts


def _left(one: Written) -> float:
    """Return how likely a line is none of its known readings, where no sign is sure by itself."""
    if one.confidence is None or one.certainties:
        return 0.0
    doubt = 1 - one.confidence
    left = doubt - sum(chance for _, chance in one.others)
    # Where its readings say the same, what else it may be lies in how that is dressed as well.
    apart = (1 - min(1.0, one.chance())) / doubt if doubt else 1.0
    return apart * max(_UNKNOWN * doubt, left)


def _open(one: Written) -> list[float]:
    """Return how much of that may stand at each character, 0 to 1."""
    text = one.line.text
    if len(one.others) < _ENOUGH or not one.by_hand:
        return [1.0] * len(text)
    known = {at for other, _ in one.others for at in _changed(text, other.text)}
    return [_KNOWN if at in known else _ELSEWHERE for at in range(len(text))]


def _differing(read: str, expected: str) -> list[list[int]]:
    """Return in which characters a term differs from the one expected, by single misreadings.

    Terms are held against each other word by word and figure by figure, since the expected one may
    be dressed otherwise; nothing where they are built otherwise.
    """
    own = [(found[0].replace(",", "."), found.start()) for found in _TOKENS.finditer(read)]
    wanted = [found[0].replace(",", ".") for found in _TOKENS.finditer(expected)]
    for token, _ in [*own]:
        if token in wanted:
            wanted.remove(token)
            own.remove(next(pair for pair in own if pair[0] == token))
    if len(own) != len(wanted):
        return []
    events = []
    for token, start in own:
        near = max(wanted, key=lambda other: _alike(token, other))
        wanted.remove(near)
        events += [[start + at for at in event] for event in _misreads(token, near)]
    return events


def _misreads(text: str, other: str) -> list[list[int]]:
    """Return which characters of a text a reader must have misread, each, had it been the other."""
    found = []
    for what, start, end, _, _ in SequenceMatcher(None, text, other, autojunk=False).get_opcodes():
        if what == "insert":
            found.append([at for at in (start - 1, start) if 0 <= at < len(text)])
        elif what != "equal":
            found += [[at] for at in range(start, end)]
    return found


def _alike(one: str, other: str) -> float:
    return SequenceMatcher(None, one, other, autojunk=False).ratio()


def _changed(text: str, other: str) -> set[int]:
    """Return the characters of a text that another one has otherwise, beside those it lacks."""
    return {at for event in _misreads(text, other) for at in event}

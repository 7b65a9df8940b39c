"""Which line holds an item's answer, and which item's marks a fault touches.

A result does not say either; both follow from the lines as written. A fault belongs to the first
item, in the order of the working, whose answer is not simply right and whose working holds the
faulty line, preferring an item that the line names.
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from verifier.findings import Answer, Assumed, Finding, LineVerdict, Result

_NUMBER = re.compile(r"(?<![\w.,])(?<!_\{)\d+(?:[.,]\d+)*(?:\s*[x×·]\s*10\^?[-−]?\d+)?")
_WORD = re.compile(r"[^\W\d_](?:[\w'{}\\,-]|_)*")
_DRESS = re.compile(r"[_{}\\\s,-]|mathrm|text")
_LONGEST = 2000
"""Characters of a line that are looked through."""
_SILENT = ("remark", "unread")
_LETTERS = {"x": "xhu", "y": "yvrn", "moment": "m"}
_AXES = {"right": "x", "left": "x", "upwards": "y", "downwards": "y"}


@dataclass(frozen=True)
class Links:
    """`answers[item]` is the line of an item's answer; `blamed[item]` its faults, in order.

    `named[item]` are the lines that name the item. `loose` are faults that touch no marked item.
    """

    answers: Mapping[str, int]
    blamed: Mapping[str, tuple[Finding, ...]]
    named: Mapping[str, frozenset[int]]
    loose: tuple[Finding, ...]


def link(result: Result, items: Iterable[str], faults: Sequence[Finding]) -> Links:
    """Link a result's answers and the given faults (or charged remarks) for the marked items."""
    answers = {answer.item: answer for answer in result.answers}
    wanted = [item for item in items if item in answers]
    names = _names_of(result.assumed)
    lines = [line for line in result.lines if line.status not in _SILENT]
    tokens = {line.line: _tokens(line) for line in lines}
    named = {
        item: frozenset(row for row, words in tokens.items() if _names(item, words, names))
        for item in wanted
    }
    found = {item: _answer_line(answers[item], lines, named[item]) for item in wanted}
    places = {item: row for item, row in found.items() if row is not None}
    blamed: dict[str, list[Finding]] = {item: [] for item in wanted}
    loose: list[Finding] = []
    for fault in faults:
        item = _touched(fault, wanted, answers, places, named)
        (blamed[item] if item else loose).append(fault)
    return Links(places, {k: tuple(v) for k, v in blamed.items()}, named, tuple(loose))


@lru_cache(maxsize=512)
def numbers_in(text: str) -> tuple[tuple[float, float, int, int], ...]:
    """Return a line's numbers as (value, half a unit of the last figure, start, end)."""
    found = []
    for match in _NUMBER.finditer(text[:_LONGEST]):
        plain = re.split(r"\s*[x×·]", match.group())[0]
        if plain.count(",") == 1 and "." not in plain and len(plain.split(",")[1]) != 3:
            plain = plain.replace(",", ".")
        plain = plain.replace(",", "")
        if plain.count(".") > 1 or len(plain) > 40:
            continue
        decimals = len(plain.partition(".")[2])
        found.append((float(plain), 0.5 * 10.0**-decimals, match.start(), match.end()))
    return tuple(found)


def answer_span(answer: Answer, line: LineVerdict) -> tuple[int, int] | None:
    """Return the columns of an answer's number in its line (the last such), or None."""
    spans = [span for span in numbers_in(line.text) if _same(answer.written, span)]
    return (spans[-1][2], spans[-1][3]) if spans else None


def _answer_line(answer: Answer, lines: Sequence[LineVerdict], named: frozenset[int]) -> int | None:
    if isinstance(answer.written, str):  # letters: the last line that names it
        return max(named, default=None)
    if answer.written is None:
        return None
    best, found = -1, None
    for line in lines:
        span = answer_span(answer, line)
        if span is None:
            continue
        last = span[0] == numbers_in(line.text)[-1][2]
        result = last and any(sign in line.text[: span[0]] for sign in "=≈")
        worth = 2 * (line.line in named) + result
        if worth > best:
            best, found = worth, line.line
    return found


def _same(written: float | str | None, number: tuple[float, float, int, int]) -> bool:
    """Tell whether a number as written may be the value, whatever power of ten its unit holds."""
    value, half, _, _ = number
    if not isinstance(written, float | int):
        return False
    size = abs(float(written))
    if size == 0.0 or value == 0.0:
        return size == value
    scales = (1.0, 1000.0, 0.001) if value >= 20 * half else (1.0,)
    return any(abs(size * k - value) <= half * 1.001 + 1e-9 * value for k in scales)


def _touched(
    fault: Finding,
    wanted: Sequence[str],
    answers: Mapping[str, Answer],
    places: Mapping[str, int],
    named: Mapping[str, frozenset[int]],
) -> str | None:
    rows = (fault.line, *fault.repeats)
    after = [item for item in wanted if places.get(item, 0) >= fault.line]
    wrong = [item for item in after if answers[item].status != "agrees"]
    here = [item for item in wrong if any(row in named[item] for row in rows)]
    if not here and (stated := _stated_again(fault, answers, places, named)):
        return stated
    open_ones = [item for item in wanted if item not in places and answers[item].status != "agrees"]
    for choice in (here, wrong):
        if choice:
            return min(choice, key=lambda item: (places[item], wanted.index(item)))
    of_open = [item for item in open_ones if any(row in named[item] for row in rows)]
    if of_open or open_ones:
        return (of_open or open_ones)[0]
    right = [item for item in after if any(row in named[item] for row in rows)]
    return min(right, key=lambda item: places[item]) if right else None


def _stated_again(
    fault: Finding,
    answers: Mapping[str, Answer],
    places: Mapping[str, int],
    named: Mapping[str, frozenset[int]],
) -> str | None:
    """Return the item whose wrong answer was found above and that the faulty line states anew."""
    again = [
        item
        for item, row in places.items()
        if row < fault.line and fault.line in named[item] and answers[item].status != "agrees"
    ]
    return max(again, key=lambda item: places[item]) if len(again) == 1 else None


def _tokens(line: LineVerdict) -> frozenset[str]:
    return frozenset(
        _bare(word)
        for text in (line.text[:_LONGEST], line.reads_as[:_LONGEST])
        for word in _WORD.findall(text)
    )


def _bare(word: str) -> str:
    return _DRESS.sub("", word)


def _names(item: str, words: frozenset[str], assumed: Mapping[str, frozenset[str]]) -> bool:
    return bool(words & assumed.get(item, frozenset())) or any(_is(item, word) for word in words)


def _is(item: str, word: str) -> bool:
    """Tell whether a bare word is a usual name of an item: PR, FPR, RP; Sx, HS, RSx; MA."""
    parts = item.split(" ")
    if len(parts) == 1 and "-" in item:
        start, _, end = item.partition("-")
        pairs = (start + end, end + start)
        return word in pairs or (word[:1] in "FTSN" and word[1:] in pairs)
    if parts[0] in ("reaction", "pin") and len(parts) >= 2:
        joint, axis = parts[1], parts[2] if len(parts) > 2 else ""
        letters = _LETTERS.get(axis, "rnvhxy")
        low = word.casefold()
        bare = joint.casefold()
        forms = {f"{bare}{s}" for s in letters} | {f"{s}{bare}" for s in letters}
        forms |= {f"r{bare}{axis[:1]}", f"f{bare}{axis[:1]}"}
        return low in forms or (not axis and low in (bare, f"r{bare}"))
    if parts[1:2] == ["at"] and len(parts) == 3:
        initials = {"axial": "NP", "shear": "VQT", "moment": "M"}.get(parts[0], "")
        return any(word in (s, f"{s}{parts[2]}") for s in initials)
    return False


def _names_of(assumed: Iterable[Assumed]) -> dict[str, frozenset[str]]:
    """Return the writer's names of each item, from what the report took them to mean."""
    found: dict[str, set[str]] = {}
    for name in assumed:
        for item in _items_meant(name.means):
            found.setdefault(item, set()).add(_bare(name.name))
    return {item: frozenset(names) for item, names in found.items()}


def _items_meant(means: str) -> list[str]:
    """Return the item that the report's words for a name stand for, however it may be spelt."""
    words, _, sense = means.removesuffix(", drawn the other way").partition(", ")
    match words.split(" "):
        case ["reaction", "at", joint]:
            axis = _AXES.get(sense.rpartition(" ")[2], "")
            return [f"reaction {joint} {axis}" if axis else f"reaction {joint}"]
        case ["fixing", "moment", "at", joint]:
            return [f"reaction {joint} moment"]
        case ["force", "in", pair]:
            start, _, end = pair.partition("-")
            return [pair, f"{end}-{start}"]
    return [words]

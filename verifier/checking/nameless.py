"""Answers told with their sense but under no name: `vertical: 4.8 − 3.5 = 1.3 kN downwards`."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial

from verifier import units
from verifier.checking.bysize import told_by_size
from verifier.checking.derived import bare_number, same
from verifier.checking.figure import SENSES, Figure
from verifier.checking.state import Outcome
from verifier.checking.written import Written
from verifier.findings import Answer
from verifier.notation.marks import mark_at
from verifier.notation.tree import Mark, Name, Num, Relation, Unread, walk

_NEAR = 5e-3
_EACH = re.compile(
    r"\b(?:each|both|either) (?:support|end|reaction|side|foot|post|bearing|leg|prop)s?\b"
    r"|\b(?:supports?|ends?|reactions?|feet|bearings?)\b[^.;]{0,40}\beach\b"
    r"|\bje(?:des|weils)? (?:Auflager|Lager|Stütze|Seite)\b|\b(?:Auflager|Lager)\b[^.;]{0,40}\bje\b"
    r"|\bchaque appui\b|\bcada apoyo\b|\bciascun (?:appoggio|vincolo)\b|\bkażd[aey] podpor\w+"
    r"|\belke oplegging\b|\bcada apoio\b",
    re.IGNORECASE,
)


def told_without_name(
    figure: Figure, written: Sequence[Written], outcome: Outcome, answers: tuple[Answer, ...]
) -> tuple[Answer, ...]:
    """Fill in answers that right lines of numbers end in, each with its sense in words.

    So do words without an equation: `Hinge, on the left half: 54 kN to the left, 13 kN up`. Only
    where such a value is that of a single item without an answer, in its own sense.
    """
    found = list(answers)
    told = (*_told(figure, written, outcome), *_in_words(figure, written, outcome))
    for size, meaning in told if any(one.status == "missing" for one in answers) else ():
        fits = [
            index
            for index, answer in enumerate(found)
            if answer.status == "missing" and _is(figure, answer.item, size, meaning)
        ]
        if len(fits) == 1:
            answer = found[fits[0]]
            found[fits[0]] = replace(answer, written=answer.value, status="agrees")
    found = [_headed(figure, written, outcome, answer) for answer in found]
    found = [_of_each(figure, written, outcome, answer) for answer in found]
    found = [_beside(figure, written, outcome, answer) for answer in found]
    return told_by_size(figure, written, outcome, found)


def _headed(figure: Figure, written: Sequence[Written], outcome: Outcome, answer: Answer) -> Answer:
    """Fill in a reaction's answer that a right line of numbers gives behind its joint.

    `B: 9·2/6 = 3 kN`. Only upward or to the right, as nothing says otherwise.
    """
    words, truth = answer.item.split(), figure.true.get(figure.variable(answer.item)[0], 0.0)
    if answer.status != "missing" or words[0] != "reaction" or truth <= 0 or words[-1] == "x":
        return answer
    head = re.compile(rf"\s*{re.escape(words[1])}\s*:")
    for one in written:
        right = outcome.lines[one.line.number].status == "agrees"
        if not right or not head.match(one.line.text):
            continue
        for part in one.line.parts:
            named = isinstance(part, Relation) and part.named
            size = _size(figure, part) if isinstance(part, Relation) and not named else None
            if size is not None and same(size, truth, _NEAR):
                return replace(answer, written=answer.value, status="agrees")
    return answer


def _of_each(
    figure: Figure, written: Sequence[Written], outcome: Outcome, answer: Answer
) -> Answer:
    """Fill in a reaction's answer that is told for all supports: `each support carries 8 kN`."""
    words, truth = answer.item.split(), figure.true.get(figure.variable(answer.item)[0], 0.0)
    if answer.status != "missing" or words[0] != "reaction" or truth <= 0 or words[-1] == "x":
        return answer
    for one in written:
        wrong = outcome.lines[one.line.number].status in ("fault", "undecided", "unread")
        if wrong or not _EACH.search(one.line.text):
            continue
        for match in _FORCE.finditer(one.line.text):
            unit = units.FORCE.get({"k": "kip", "kips": "kip", "lb": "lbf", "lbs": "lbf"}.get(
                match["unit"], match["unit"]
            ))  # fmt: skip
            size = float(match["size"].replace(",", ".")) * (unit or 0.0)
            if same(size / units.FORCE[figure.structure.force_unit], truth, _NEAR):
                return replace(answer, written=answer.value, status="agrees")
    return answer


def _beside(figure: Figure, written: Sequence[Written], outcome: Outcome, answer: Answer) -> Answer:
    """Fill in a bar's answer that stands in a right line with its sense, the bar named beside it.

    `F = 310 N, compression in OP and in OQ`, `Rod CD holds 21600/120 = 180 N, in compression`.
    """
    ends = answer.item.split("-")
    if answer.status != "missing" or len(ends) != 2 or not figure.true.get(answer.item):
        return answer
    named = re.compile(rf"(?<![^\W\d_])(?:{'-?'.join(ends)}|{'-?'.join(ends[::-1])})(?![^\W_])")
    wanted = "tension" if figure.true[answer.item] > 0 else "compression"
    for one in written:
        right = outcome.lines[one.line.number].status == "agrees"
        if not right or not named.search(one.line.text):
            continue
        relations = [part for part in one.line.parts if isinstance(part, Relation)]
        senses = {m.meaning for r in relations for marks in r.marks for m in marks}
        senses |= {m.meaning for m in one.line.parts if isinstance(m, Mark)}
        sizes = [value for value in map(partial(_size, figure), relations) if value is not None]
        if senses & {"tension", "compression"} == {wanted} and any(
            same(size, abs(figure.true[answer.item]), _NEAR) for size in sizes
        ):
            return replace(answer, written=answer.value, status="agrees")
    return answer


def _size(figure: Figure, relation: Relation, *more: str) -> float | None:
    """Return the size of the force in which a relation ends, or of `more`; None for others."""
    end = bare_number(relation.sides[-1])
    if not isinstance(end, Num) or end.unit is None or end.unit.kind not in ("force", *more):
        return None
    scale = units.FORCE[figure.structure.force_unit]
    if end.unit.kind == "moment":
        scale *= units.LENGTH[figure.structure.length_unit]
    return abs(end.value) * end.unit.factor / scale


def _is(figure: Figure, item: str, size: float, meaning: str) -> bool:
    """Tell whether a size in a sense is that of an item."""
    truth = figure.true.get(item, 0.0)
    if ("clockwise" in meaning) != item.endswith(" moment"):
        return False
    body = item.rpartition(" on ")[2] if item.startswith("pin ") else ""
    sense = figure.claimed_sense(item, meaning, body)
    axis = {"left": "x", "right": "x", "up": "y", "down": "y"}.get(meaning, "")
    across = axis and item.startswith(("pin ", "reaction ")) and f" {axis}" not in f"{item} "
    roller = item.startswith("reaction ") and len(item.split()) == 2
    if not truth or sense * truth <= 0 or (across and not roller):
        return False
    return same(size, abs(truth), _NEAR)


def _told(
    figure: Figure, written: Sequence[Written], outcome: Outcome
) -> Iterator[tuple[float, str]]:
    """Yield the size and the sense in which right chains of plain numbers end."""
    for one in written:
        if outcome.lines[one.line.number].status != "agrees":
            continue
        for part in one.line.parts:
            if not isinstance(part, Relation) or not part.marks:
                continue
            if len(part.sides) < 2 and not part.continues:
                continue
            if any(isinstance(node, Name) for side in part.sides for node in walk(side)):
                continue
            senses = {m.meaning for m in part.marks[-1] if m.meaning in SENSES}
            size = _size(figure, part, "moment")
            if size is not None and len(senses) == 1:
                yield size, senses.pop()


_FORCE = re.compile(
    r"(?<![\w.,])(?P<size>\d+(?:[.,]\d+)?)\s?(?P<unit>[kM]?N|kips?|k|lbf?|lbs|kgf?|kp)(?![\w·*])"
)
_MOMENT = re.compile(
    r"(?<![\w.,])(?P<size>\d+(?:[.,]\d+)?)\s?(?P<force>[kM]?N|kips?|lbf?|kgf)[ ·*.-]?"
    r"(?P<long>m|mm|ft|in)"
    r"(?![\w·*])"
)
_WAY_AHEAD = re.compile(  # `pushes left with 8 kN`
    r"(?P<way>(?:to the |nach )?[^\W\d]+) (?:with|mit|avec|con|by|of)\s$", re.IGNORECASE
)
_LOADS = re.compile(
    r"\b(?:loads?|applied|weighs?|weight|Last(?:en)?|Gewicht\w*|charges?|poids|carg[ao]s?|caric[oh]i?"
    r"|obciąż\w+|belasting|last)\b",
    re.IGNORECASE,
)


def _in_words(
    figure: Figure, written: Sequence[Written], outcome: Outcome
) -> Iterator[tuple[float, str]]:
    """Yield forces with their senses from words that speak of no load, in lines or beside sums."""
    kilos = figure.structure.force_unit == "kgf"
    for one in written:
        text = one.line.text
        parts = one.line.parts
        reckons = "=" in text and any(isinstance(part, Relation) for part in parts)
        unread = any(isinstance(part, Unread) for part in parts)
        wrong = reckons and outcome.lines[one.line.number].status in ("fault", "undecided")
        if wrong or unread or _LOADS.search(text):
            continue
        for part in parts if reckons and text == one.line.whole else ():
            start, end = part.span if isinstance(part, Relation) else (0, 0)
            text = text[:start] + " " * (end - start) + text[end:]
        if reckons and "=" in text:
            continue
        yield from _turns(figure, text)
        for match in _FORCE.finditer(text):
            unit = units.FORCE.get({"k": "kip", "kips": "kip", "lb": "lbf", "lbs": "lbf"}.get(
                match["unit"], "kgf" if kilos else match["unit"]
            ))  # fmt: skip
            ahead = _WAY_AHEAD.search(text, 0, match.start())
            told = mark_at(text, ahead.start("way"), len(text)) if ahead else None
            mark = told or mark_at(text, match.end(), len(text))
            if unit is not None and mark is not None and mark.meaning in SENSES:
                size = float(match["size"].replace(",", "."))
                yield size * unit / units.FORCE[figure.structure.force_unit], mark.meaning


def _turns(figure: Figure, text: str) -> Iterator[tuple[float, str]]:
    """Yield moments with their senses: `10 kNm ↺`."""
    sheet = figure.structure
    for match in _MOMENT.finditer(text):
        force = units.FORCE.get({"kips": "kip", "lb": "lbf"}.get(match["force"], match["force"]))
        mark = mark_at(text, match.end(), len(text))
        if force is not None and mark is not None and "clockwise" in mark.meaning:
            size = float(match["size"].replace(",", ".")) * force * units.LENGTH[match["long"]]
            scale = units.FORCE[sheet.force_unit] * units.LENGTH[sheet.length_unit]
            yield size / scale, mark.meaning


__all__ = ["told_without_name"]

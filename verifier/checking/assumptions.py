"""Senses that a working declares in words: 'assume AB pulls', 'all members in tension'."""

import re
from collections.abc import Iterator, Sequence
from typing import TypeGuard

from verifier.checking.declared import drawn_so
from verifier.checking.figure import Figure
from verifier.checking.names import Dictionary, Unknown, key_of
from verifier.checking.written import Written
from verifier.notation.tree import Assumption, Line, Name, Neg, Num, Part, Relation, Statement

_EVERY = re.compile(r"\b(?:all|every|each|alle|tous|toutes|todas|todos|tutte|tutti|wszystkie)\b")
_MEMBERS = re.compile(
    r"\b(?:members?|bars?|rods?|forces?|st[äa]be|barres|barras|aste|pręty|unknowns?)\b"
)
_PULL = re.compile(
    r"tension|tensile|pull|zug|traction|tracción|trazione|rozciąg|\btes[aeio]\b|tendu|traccionad"
)
_HYPOTHESIS = re.compile(
    r"hypoth|hipót|ipotes|assum|suppos|suppon|supon|annahme|angenommen|założ|zakład", re.IGNORECASE
)
_PUSH = re.compile(r"compress|push|druck|compresión|ściska|\bcompri[mt]")


def declared_senses(
    written: Sequence[Written], figure: Figure, names: Dictionary
) -> dict[str, float]:
    """Return the sign of each force's positive sense where the working declares one."""
    found: dict[str, float] = {}
    members = [member.name for member in figure.structure.members]
    below_zero: set[str] = set()
    for one in written:
        below_zero |= {key_of(name) for part in one.line.parts for name in _below_zero(part)}
        sense = all_members(one.line)
        if sense:
            found |= {name: sense for name in members}
        for part in one.line.parts:
            if not assumed(part, one.line):
                continue
            mark = mark_of(part)
            if not part.names and mark in ("tension", "compression"):
                found |= {name: 1.0 if mark == "tension" else -1.0 for name in members}
            for name in part.names:
                meaning = names.meanings(name)[0]
                if isinstance(meaning, Unknown) and key_of(name) not in below_zero:
                    claimed = figure.claimed_sense(meaning.variable, mark)
                    if claimed:
                        found[meaning.variable] = claimed * (1.0 if meaning.factor > 0 else -1.0)
    return found


def _below_zero(part: Part) -> Iterator[Name]:
    """Yield the name that a part gives a value below zero: words behind it tell how it acts."""
    if not isinstance(part, Relation) or not isinstance(part.sides[0], Name):
        return
    if isinstance(part.sides[-1], Neg) and isinstance(part.sides[-1].inner, Num):
        yield part.sides[0]


def assumed(part: Part, line: Line) -> TypeGuard[Assumption | Statement]:
    """Tell whether a part declares a sense: 'assume AB pulls', 'AB in tension (hypothesis)'."""
    if isinstance(part, Statement):
        if part.names and len(set(part.marks)) and drawn_so(part, line.whole):
            return True
        told = any(isinstance(one, Assumption) for one in line.parts)
        return not told and len(part.marks) == 1 and _HYPOTHESIS.search(line.text) is not None
    return isinstance(part, Assumption)


def all_members(line: Line) -> float:
    """Return the sense that a sentence without an equation gives to all members, 0 for none."""
    if any(isinstance(part, Relation) for part in line.parts):
        return 0.0
    said = line.text.lower()
    if not _EVERY.search(said) or not _MEMBERS.search(said):
        return 0.0
    return 1.0 if _PULL.search(said) else -1.0 if _PUSH.search(said) else 0.0


def mark_of(part: Assumption | Statement) -> str:
    """Return what a declared sense says."""
    return part.mark.meaning if isinstance(part, Assumption) else part.marks[0].meaning

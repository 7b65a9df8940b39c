"""Several tasks in one file: what is about another figure than the sheet's is words here."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from verifier.checking.figure import Figure
from verifier.checking.names import Dictionary, Local
from verifier.checking.written import Written
from verifier.notation.tree import Heading, Prose, Relation

_TASK = re.compile(
    r"\W*(?:task|problem|exercise|question|example|Aufgabe|Übung|Beispiel|exercice|problème|esercizio"
    r"|problema|ejercicio|zadanie|oppgave|opgave|Q|Ex\.)\s?(?:no\.?\s?)?\d{0,2}\s?[.)]?\s?[a-h]?\b",
    re.IGNORECASE,
)
_BAR = re.compile(r"[A-Z][A-Z]")


def own_task(written: Sequence[Written], figure: Figure, names: Dictionary) -> list[Written]:
    """Return the lines with those of tasks about other figures as words.

    Such a task names a joint that the sheet lacks and nothing that the sheet has.
    """
    starts = [i for i, one in enumerate(written) if _TASK.match(one.line.text)]
    if len(starts) < 2:
        return list(written)
    ends = (*starts[1:], len(written))
    foreign = {
        at
        for start, end in zip(starts, ends, strict=True)
        if _is_foreign(written[start:end], figure, names)
        for at in range(start, end)
    }
    if len(foreign) == len(written) - starts[0]:
        return list(written)
    return [_as_words(one) if at in foreign else one for at, one in enumerate(written)]


def _is_foreign(lines: Sequence[Written], figure: Figure, names: Dictionary) -> bool:
    said = set(_joints(lines))
    relations = [p for one in lines for p in one.line.parts if isinstance(p, Relation)]
    named = (name for relation in relations for name in relation.named)
    own = all(isinstance(names.meanings(name)[0], Local) for name in named)
    return bool(said) and not said & figure.points.keys() and own


def _joints(lines: Sequence[Written]) -> Iterator[str]:
    for one in lines:
        for part in one.line.parts:
            if isinstance(part, Heading) and part.kind == "joint":
                yield from part.names
            elif isinstance(part, Relation):
                for name in part.named:
                    text = name.sub or name.base
                    yield from text if _BAR.fullmatch(text) else ()


def _as_words(one: Written) -> Written:
    words = tuple(Prose(part.span) for part in one.line.parts)
    return replace(one, line=replace(one.line, parts=words))

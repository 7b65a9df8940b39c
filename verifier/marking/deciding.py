"""The marks that count: the tool's, with every marker's decision laid over them."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from verifier.errors import UsageError
from verifier.marking.awarding import total_of
from verifier.marking.options import Override
from verifier.marking.scheme import Scheme
from verifier.marking.scored import ItemMarks, Reason, ScriptMarks


@dataclass(frozen=True)
class Final:
    """A script's marks as they stand. `decided` are the markers' decisions in force."""

    marks: ScriptMarks
    decided: tuple[Override, ...] = ()

    @property
    def total(self) -> float:
        """The script's total."""
        return self.marks.total


def in_force(overrides: Iterable[Override]) -> tuple[Override, ...]:
    """Return the latest decision on each item, leaving out those that were taken back."""
    latest: dict[tuple[str, str], Override] = {}
    for one in overrides:
        if not one.part:
            for part in ("method", "answer"):
                latest.pop((one.item, part), None)
        latest.pop((one.item, one.part), None)
        latest[one.item, one.part] = one
    return tuple(one for one in latest.values() if one.marks is not None)


def decide(marks: ScriptMarks, overrides: Iterable[Override], scheme: Scheme) -> Final:
    """Lay decisions over the tool's marks; one on an item that is not marked is left out."""
    standing = in_force(overrides)
    items = tuple(_item(item, standing) for item in marks.items)
    total, bounds = total_of([item.total for item in items], marks.reasons, scheme)
    known = {item.item for item in items}
    whole = next((one for one in standing if not one.item), None)
    if whole is not None and whole.marks is not None:
        bounds = (Reason(None, _said(whole), round(whole.marks - total, 4)),)
        total = whole.marks
    decided = tuple(one for one in standing if not one.item or one.item in known)
    return Final(replace(marks, total=total, items=items, bounds=bounds), decided)


def blank(scheme: Scheme) -> ScriptMarks:
    """Return the marks of a script that the tool could not judge: nothing, for a marker to set."""
    items = tuple(
        ItemMarks(item, 0.0, marks.method, 0.0, marks.answer)
        for item, marks in scheme.items.items()
    )
    return ScriptMarks(0.0, scheme.out_of, items, provisional=True)


def checked(override: Override, scheme: Scheme) -> Override:
    """Return a decision that the scheme allows. Raises `UsageError` for any other."""
    item = " ".join(override.item.split())
    item, part = item, override.part
    for ending in ("method", "answer"):
        if item not in scheme.items and item.endswith(f" {ending}"):
            item, part = item.removesuffix(f" {ending}"), ending
    item = "" if item.casefold() == "total" else item
    if item and item not in scheme.items:
        raise UsageError(
            f"{item!r} has no marks", f"those that have: {', '.join(scheme.items)}, total"
        )
    most = _most(item, part, scheme)
    if override.marks is not None and not 0 <= override.marks <= most:
        raise UsageError(
            f"{item or 'total'} cannot have {override.marks:g} marks", f"it can have 0 to {most:g}"
        )
    return replace(override, item=item, part=part)


def _most(item: str, part: str, scheme: Scheme) -> float:
    if not item:
        return scheme.out_of
    marks = scheme.items[item]
    return {"method": marks.method, "answer": marks.answer}.get(part, marks.total)


def _item(item: ItemMarks, standing: tuple[Override, ...]) -> ItemMarks:
    for one in standing:
        if one.item != item.item or one.marks is None:
            continue
        method, answer = item.method, item.answer
        match one.part:
            case "method":
                method = one.marks
            case "answer":
                answer = one.marks
            case _:
                answer = min(one.marks, item.answer_of)
                method = one.marks - answer
        why = Reason(None, _said(one), round(method + answer - item.total, 4))
        item = replace(item, method=method, answer=answer, reasons=(*item.reasons, why))
    return item


def _said(one: Override) -> str:
    marks = 0.0 if one.marks is None else one.marks
    what = f"{one.part} " if one.part else ""
    by = f" by {one.who}" if one.who else ""
    return f"{what}set to {marks:g}{by}: {one.why}"

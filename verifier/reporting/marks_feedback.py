"""One script's feedback: its marks, each explained by line, for the candidate to read."""

import textwrap
from collections.abc import Iterable

from verifier.findings import Finding, Result
from verifier.marking.book import Book, Entry
from verifier.marking.scored import ItemMarks, Reason

WIDTH = 78


def feedback(entry: Entry, book: Book) -> str:
    """Return a script's feedback as text, at most 78 columns wide where words allow."""
    lines = [*([book.title] if book.title else []), f"Script: {entry.shown}", ""]
    if entry.final is None:
        lines += _wrapped(f"Not marked: {entry.reason or 'it could not be judged'}.")
        return "\n".join(_inert(line) for line in lines) + "\n"
    total = f"Marks: {entry.final.total:g} out of {entry.final.marks.out_of:g}"
    provisional = entry.final.marks.provisional and not entry.final.decided
    lines += [total + (" (provisional: some lines are in doubt)" if provisional else ""), ""]
    for item in entry.final.marks.items:
        lines += _item(item)
    more = (*entry.final.marks.reasons, *entry.final.marks.bounds)
    if more:
        lines += ["Whole script", *_reasons(more)]
    if entry.result is not None:
        lines += ["", *_faults(entry.result)]
    lines += ["", *_wrapped("A marker's decision stands over these marks.")]
    return "\n".join(_inert(line) for line in lines) + "\n"


def _item(item: ItemMarks) -> list[str]:
    parts = [f"{item.total:g} of {item.method_of + item.answer_of:g}"]
    if item.method_of and item.answer_of:
        method = f"method {item.method:g}/{item.method_of:g}"
        parts.append(f"({method}, answer {item.answer:g}/{item.answer_of:g})")
    return [f"{item.item}: {' '.join(parts)}", *_reasons(item.reasons)]


def _reasons(reasons: Iterable[Reason]) -> list[str]:
    lines = []
    for reason in reasons:
        where = f"line {reason.line}: " if reason.line is not None else ""
        change = f" [{reason.change:+g}]" if reason.change else ""
        lines += _wrapped(f"{where}{reason.text}{change}", "  - ")
    return lines


def _faults(result: Result) -> list[str]:
    if not result.faults:
        said = {
            "agrees": "No fault was found.",
            "unfinished": "No fault was found, but not every answer is there.",
        }
        return [said.get(result.verdict, "No fault was found for certain.")]
    lines = ["Where it first goes wrong"]
    lines += _fault(result.faults[0], result)
    if result.faults[1:]:
        lines += ["", "Also"]
        for fault in result.faults[1:]:
            lines += _fault(fault, result)
    return lines


def _fault(fault: Finding, result: Result) -> list[str]:
    text = next((line.text for line in result.lines if line.line == fault.line), "")
    lines = [f"  line {fault.line}: {text.strip()}"]
    start = len(text) - len(text.lstrip())
    first, last = (max(0, column - start) for column in fault.columns)
    if last > first and len(lines[0]) <= WIDTH and text.isprintable():
        lines.append(" " * (len(f"  line {fault.line}: ") + first) + "^" * (last - first))
    said = f"{fault.kind}: {fault.message}" + (
        "" if fault.certainty == "proved" else f" ({fault.certainty})"
    )
    if fault.repeats:
        said += f" The same again in line {', '.join(str(row) for row in fault.repeats)}."
    return lines + _wrapped(said, "    ")


def _wrapped(text: str, indent: str = "") -> list[str]:
    return textwrap.wrap(
        text, WIDTH, initial_indent=indent, subsequent_indent=" " * len(indent)
    ) or [indent]


def _inert(line: str) -> str:
    """Keep control characters of a working out of whatever shows this file."""
    return "".join(letter if letter.isprintable() else "�" for letter in line)

"""One script's feedback: its marks, each explained by line, for the candidate to read."""

import textwrap
from collections.abc import Iterable

from verifier.findings import KINDS, Finding, Result
from verifier.marking.book import Book, Entry
from verifier.marking.scored import ItemMarks, Reason
from verifier.reporting.sentences import certainty, kind_name, why
from verifier.reporting.words import spoken

WIDTH = 78


def feedback(entry: Entry, book: Book) -> str:
    """Return a script's feedback as text, at most 78 columns wide where words allow."""
    tell = spoken().text
    lines = [*([book.title] if book.title else []), tell("Script: {name}", name=entry.shown), ""]
    if entry.final is None:
        reason = spoken().message(entry.reason or "it could not be judged")
        lines += _wrapped(tell("Not marked: {reason}.", reason=reason))
        return "\n".join(_inert(line) for line in lines) + "\n"
    most = entry.final.marks.out_of
    total = tell("Marks: {marks:g} out of {most:g}", marks=entry.final.total, most=most)
    provisional = entry.final.marks.provisional and not entry.final.decided
    lines += [total + (tell(" (provisional: some lines are in doubt)") if provisional else ""), ""]
    for item in entry.final.marks.items:
        lines += _item(item)
    more = (*entry.final.marks.reasons, *entry.final.marks.bounds)
    if more:
        lines += [tell("Whole script"), *_reasons(more)]
    if entry.result is not None:
        lines += ["", *_faults(entry.result)]
    lines += ["", *_wrapped(tell("A marker's decision stands over these marks."))]
    return "\n".join(_inert(line) for line in lines) + "\n"


def _item(item: ItemMarks) -> list[str]:
    tell, most = spoken().text, item.method_of + item.answer_of
    said = tell("{marks:g} of {most:g}", marks=item.total, most=most)
    if item.method_of and item.answer_of:
        said += tell(
            " (method {method:g}/{method_of:g}, answer {answer:g}/{answer_of:g})",
            method=item.method, method_of=item.method_of,
            answer=item.answer, answer_of=item.answer_of,
        )  # fmt: skip
    return [f"{spoken().phrase(item.item)}: {said}", *_reasons(item.reasons)]


def _reasons(reasons: Iterable[Reason]) -> list[str]:
    lines = []
    for reason in reasons:
        where = spoken().text("line {line}: ", line=reason.line) if reason.line is not None else ""
        change = f" [{reason.change:+g}]" if reason.change else ""
        lines += _wrapped(f"{where}{told(reason.text)}{change}", "  - ")
    return lines


def told(reason: str) -> str:
    """Return why marks were given or lost, in the language spoken.

    A reason that begins with a fault's kind (`sign: …`) is told by the kind's name.
    """
    say = spoken()
    kind, parted, rest = reason.partition(": ")
    if parted and kind in KINDS:
        return f"{kind_name(kind, say)}: {_each(rest)}"
    return kind_name(reason, say) if reason in KINDS else _each(reason)


def _each(reason: str) -> str:
    whole = spoken().message(reason)
    if whole != reason:
        return whole
    said, parted, more = reason.rpartition(": ")
    return f"{spoken().message(said)}: {spoken().message(more)}" if parted else reason


def _faults(result: Result) -> list[str]:
    tell = spoken().text
    if not result.faults:
        said = {
            "agrees": "No fault was found.",
            "unfinished": "No fault was found, but not every answer is there.",
        }
        return [tell(said.get(result.verdict, "No fault was found for certain."))]
    lines = [tell("Where it first goes wrong")]
    lines += _fault(result.faults[0], result)
    if result.faults[1:]:
        lines += ["", tell("Also")]
        for fault in result.faults[1:]:
            lines += _fault(fault, result)
    return lines


def _fault(fault: Finding, result: Result) -> list[str]:
    text = next((line.text for line in result.lines if line.line == fault.line), "")
    say = spoken()
    head = f"  {say.text('line {line}: ', line=fault.line)}"
    lines = [head + text.strip()]
    start = len(text) - len(text.lstrip())
    first, last = (max(0, column - start) for column in fault.columns)
    if last > first and len(lines[0]) <= WIDTH and text.isprintable():
        lines.append(" " * (len(head) + first) + "^" * (last - first))
    said = f"{kind_name(fault.kind, say)}: {' '.join(why(fault, say))}"
    if fault.certainty != "proved":
        said += f" ({certainty(fault, say)})"
    if fault.repeats:
        again = say.ranges(list(fault.repeats))
        said += " " + say.count("check.fault.repeats", len(fault.repeats), lines=again)
    return lines + _wrapped(said, "    ")


def _wrapped(text: str, indent: str = "") -> list[str]:
    return textwrap.wrap(
        text, WIDTH, initial_indent=indent, subsequent_indent=" " * len(indent)
    ) or [indent]


def _inert(line: str) -> str:
    """Keep control characters of a working out of whatever shows this file."""
    return "".join(letter if letter.isprintable() else "�" for letter in line)

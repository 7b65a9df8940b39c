"""What each kind of fault is, on the terminal; the text comes from the fault's own file."""

import difflib
from collections.abc import Sequence

from rich.console import Console

from verifier.checking.faults import FaultKind
from verifier.errors import UsageError
from verifier.reporting.layout import WIDEST, Paper
from verifier.reporting.sentences import kind_name
from verifier.reporting.words import Words, words


def report_kinds(
    kinds: Sequence[FaultKind], console: Console, *, language: str | Words = "en"
) -> None:
    """Print every kind with its summary."""
    say = language if isinstance(language, Words) else words(language)
    paper = Paper(min(console.width, WIDEST))
    paper.say(say("faults.title"), "title")
    paper.gap()
    width = max((len(kind.kind) for kind in kinds), default=0)
    for kind in kinds:
        paper.pair(kind.kind, say.get(f"why.{kind.kind}") or kind.summary, width + 4)
    paper.gap()
    paper.say(say("faults.hint"))
    paper.print(console)


def report_kind(
    kinds: Sequence[FaultKind], name: str, console: Console, *, language: str | Words = "en"
) -> None:
    """Print one kind with its examples; raises `UsageError` for a kind that there is not."""
    say = language if isinstance(language, Words) else words(language)
    kind = next((kind for kind in kinds if kind.kind == name.strip().lower()), None)
    if kind is None:
        names = [kind.kind for kind in kinds]
        near = difflib.get_close_matches(name, names, 1)
        remedy = f"did you mean {near[0]}" if near else f"there are {', '.join(names)}"
        raise UsageError(f"there is no kind of fault {name!r}", remedy)
    paper = Paper(min(console.width, WIDEST))
    name_in_words = kind_name(kind.kind, say)
    code = "" if name_in_words == kind.kind else f" ({kind.kind})"
    paper.say(name_in_words + code, "title")
    summary = f"{kind.summary[:1].upper()}{kind.summary[1:].rstrip('.')}."
    paper.say(say.get(f"why.{kind.kind}") or summary)
    for paragraph in str(kind.about).split("\n\n"):
        paper.gap()
        paper.say(say.note(" ".join(paragraph.split())))
    labels = [say(f"faults.{key}") for key in ("wrong", "right", "why")]
    at = max(map(len, labels)) + 4
    for example in kind.examples:
        paper.gap()
        paper.pair(labels[0], example.wrong, at, style="wrong")
        paper.pair(labels[1], example.right, at, style="right")
        paper.pair(labels[2], say.note(example.why), at)
    paper.print(console)

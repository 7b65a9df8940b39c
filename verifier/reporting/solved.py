"""The independent solution on the terminal, and the same as one JSON object."""

from collections.abc import Sequence
from typing import Any

from rich.console import Console

from verifier.findings import Answer
from verifier.reporting.layout import WIDEST, Paper
from verifier.reporting.numbers import statics_says
from verifier.reporting.sentences import as_sentence, given_by
from verifier.reporting.words import Words, words
from verifier.statics.solution import Step
from verifier.structure.model import Structure


def report_solution(
    given: str,
    structure: Structure,
    answers: Sequence[Answer],
    steps: Sequence[Step],
    console: Console,
    *,
    notes: Sequence[str] = (),
    language: str | Words = "en",
) -> None:
    """Print what the sheet asks for and the equations that lead there, in a person's order.

    `notes` are what a reader should know besides, such as a cable that would have to push.
    """
    say = language if isinstance(language, Words) else words(language)
    paper = Paper(min(console.width, WIDEST))
    if structure.title:
        paper.say(structure.title, "title")
    paper.say(say("solve.headline", given=given), "right")
    paper.say(say("solve.units", force=structure.force_unit, length=structure.length_unit))
    paper.gap()
    paper.say(say("solve.answers"), "title")
    width = max((len(say.phrase(answer.item)) for answer in answers), default=0)
    for answer in answers:
        paper.pair(say.phrase(answer.item), say.phrase(statics_says(answer)), width + 5)
    if notes:
        paper.gap()
        paper.say(say("check.cautions"), "title")
        for note in notes:
            paper.say(as_sentence(say.note(note)), "open", 2, 4)
    paper.gap()
    paper.say(say("solve.steps"), "title")
    body = None
    for step in steps:
        if step.free_body != body:
            paper.gap()
            paper.say(say.phrase(step.free_body), indent=2)
            body = step.free_body
        total = f"{say.phrase(step.sum)}: " if step.sum else ""
        paper.say(total + step.text, indent=4, hang=8)
        if step.gives:
            paper.say(given_by(step.gives, say), indent=8)
    paper.print(console)


def solution_json(
    given: str,
    structure: Structure,
    answers: Sequence[Answer],
    steps: Sequence[Step],
    notes: Sequence[str] = (),
) -> dict[str, Any]:
    """Return the solution in plain JSON types, with the field names of a check's answers."""
    return {
        "given": given,
        "title": structure.title,
        "answers": [
            {"item": one.item, "value": one.value, "unit": one.unit, "sense": one.sense}
            for one in answers
        ],
        "equations": [
            {
                "free_body": step.free_body,
                "sum": step.sum,
                "text": step.text,
                "gives": list(step.gives),
            }
            for step in steps
        ],
        "notes": list(notes),
    }

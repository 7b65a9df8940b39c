"""What every report says alike, whatever it is printed on: headline, kind, why, how sure."""

import re
from collections.abc import Sequence

from verifier.findings import Answer, Finding, LineVerdict, Result, begun
from verifier.reporting.words import Words

OPEN = ("doubtful", "unread", "undecided")
"""The line statuses that ask for a look at the paper."""

MOST_SHOWN = 3
"""Other readings of a line that are shown; JSON has them all."""


def headline(result: Result, say: Words) -> str:
    """Return the verdict in one sentence: right or not, and where it first goes wrong."""
    key: str = result.verdict
    if key == "agrees" and all(line.status == "remark" for line in result.lines):
        key = "empty"
    elif key == "agrees" and result.given is None:
        key = "agrees_alone"
    elif result.another_sheet:
        key = "another"
    first = result.first_fault
    return say(f"check.headline.{key}", working=result.working, line=first.line if first else "")


def subheads(result: Result, say: Words) -> list[str]:
    """Return the sentences that belong to the verdict."""
    said: list[str] = []
    alone = result.given is None
    claims = [line for line in result.lines if line.status != "remark"]
    match result.verdict:
        case "agrees" if claims:
            said.append(say.count(f"check.sub.{'alone' if alone else 'agrees'}", len(claims)))
        case "unfinished":
            missing = [answer.item for answer in result.answers if answer.status == "missing"]
            if missing:
                items = [say.phrase(item) for item in missing]
                said.append(say("check.sub.missing", items=say.join(items)))
        case "undecided":
            count = sum(line.status in OPEN for line in result.lines)
            if count:
                said.append(say.count("check.sub.open", count))
    if result.lines and not claims:
        said.insert(0, say("check.sub.nothing"))
    first = result.first_fault
    if first is not None and not result.another_sheet:
        before = sum(line.line < first.line and line.status == "agrees" for line in claims)
        if before:
            said.append(say.count("check.sub.before", before))
        if result.answers and all(answer.status == "agrees" for answer in result.answers):
            said.append(say("check.sub.right_anyway"))
    if alone:
        said.append(say("check.sub.figure"))
    return said


def doubt(line: LineVerdict, say: Words) -> str:
    """Return what asks for a look at a line: what else it may say, how surely it was read."""
    if line.status != "doubtful":
        return say(f"check.open.{line.status}")
    said = say("check.open.doubtful" if line.alternatives else "check.open.doubtful_alone")
    if line.confidence is None or not 0.05 <= line.confidence < 0.95:
        return said
    return f"{said} ({say('check.open.sure', percent=round(100 * line.confidence))})"


def doubt_marked(line: LineVerdict) -> str:
    """Return a line with its doubtful places as `⟦likeliest|other⟧`, as `read` prints them."""
    from verifier.reading.doubt import marked
    from verifier.reading.lines import ReadLine

    if line.status != "doubtful" or not line.alternatives:
        return line.text
    others = tuple((text, 0.1) for text in line.alternatives[:MOST_SHOWN])
    return marked(ReadLine(line.text, line.page or 1, line.box or (0, 0, 1, 1), 0.5, others))


def plain_name(name: str) -> str:
    """Return a name as a person writes it, without the braces of an index.

    >>> plain_name("F_{BC}"), plain_name("T_1")
    ('F_BC', 'T_1')
    """
    return re.sub(r"_\{([^{}]*)\}", r"_\1", name)


def kind_name(kind: str, say: Words) -> str:
    """Return a fault kind's name in words, or the kind itself where it has none yet."""
    return say.get(f"kind.{kind}") or kind


def is_a_term(fault: Finding) -> bool:
    """Say whether a finding marks a short term, to be said in words beside what is wanted there."""
    return fault.kind != "missing-force" and bool(fault.expected) and 0 < len(fault.text) <= 60


def given_by(results: Sequence[str], say: Words) -> str:
    """Return what a step of the solution gives: only the senses in brackets are told in words.

    >>> from verifier.reporting.words import words
    >>> given_by(["C_x,left = −3.8 kN (left)"], words("de"))
    'also C_x,left = −3.8 kN (nach links)'
    """
    told = []
    for result in results:
        value, bracket, sense = result.rpartition(" (")
        told.append(f"{value} ({say.phrase(sense[:-1])})" if bracket else result)
    return say("solve.gives", results=", ".join(told))


def where(fault: Finding, say: Words) -> str:
    """Return the free body and sum of a fault in the report's language."""
    return say.phrase(fault.where)


def why(fault: Finding, say: Words) -> list[str]:
    """Return why a line is wrong; in another language the kind's sentence, then the particulars."""
    general = say.get(f"why.{fault.kind}")
    particular = say.sentence(fault.message) or fault.message
    return [begun(sentence) for sentence in (general, particular) if sentence]


def why_another(fault: Finding, say: Words) -> list[str]:
    """Return how it is known that a working solves another sheet."""
    return [say.sentence(fault.message) or fault.message, say("check.another")]


def as_sentence(text: str) -> str:
    """Return a note as a sentence: begun with a capital, ended with a stop.

    >>> as_sentence("cable A-B would have to push")
    'Cable A-B would have to push.'
    """
    sentence = begun(text)
    return sentence if sentence.endswith(".") else f"{sentence}."


def cautions(result: Result, say: Words) -> list[str]:
    """Return what to bear in mind, a sentence each: what is particular to the structure first."""
    return [as_sentence(say.note(caution)) for caution in result.cautions]


def certainty(fault: Finding, say: Words) -> str:
    """Return how sure a finding is that is not proved."""
    return say(f"check.fault.{'best' if fault.certainty == 'best explanation' else 'reading'}")


def answer_status(answer: Answer, say: Words) -> str:
    """Return what became of an answer, in words; a zero that nobody needs to write is told so."""
    if answer.written is None and answer.status == "agrees":
        return say("check.answers.evident")
    return say(f"check.answers.{answer.status}")

"""The engineer's check record: a page or two for a project's file, to be signed.

Only a working that agrees in full, against a sheet, yields a record that says so; any other yields
one that says what it is in its title, its first line and its place for signatures.
"""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, field

from verifier import __version__
from verifier.checking.judge import CAUTIONS
from verifier.findings import Answer, Result
from verifier.reporting.html import Markup, document, join, tag
from verifier.reporting.numbers import figure, statics_says, with_unit, working_says
from verifier.reporting.page import step_text
from verifier.reporting.page_working import Drawing
from verifier.reporting.sentences import (
    OPEN,
    answer_status,
    as_sentence,
    headline,
    kind_name,
    where,
    why,
)
from verifier.reporting.words import Words, words
from verifier.statics.solution import Step

_FOR_MARKERS = "A marker's decision stands over this one."


@dataclass(frozen=True)
class Particulars:
    """What the people fill in; empty ones leave room for a pen.

    `inputs` are the names and bytes of the files that were checked; `confirmed` the lines whose
    reading a person confirmed.
    """

    reference: str = ""
    revision: str = ""
    calculated_by: str = ""
    checked_by: str = ""
    date: str = ""
    inputs: Sequence[tuple[str, bytes]] = field(default=())
    confirmed: Sequence[int] = ()


def passes(result: Result) -> bool:
    """Say whether a result may be recorded as agreeing: a sheet, claims, no fault, nothing open.

    >>> passes(Result("hoist.txt", None, "agrees"))
    False
    """
    return (
        result.verdict == "agrees"
        and result.given is not None
        and not result.faults
        and bool(result.answers)
        and all(answer.status == "agrees" for answer in result.answers)
        and any(line.status == "agrees" for line in result.lines)
        and not any(line.status in OPEN or line.status == "fault" for line in result.lines)
    )


def check_record(
    result: Result,
    title: str,
    steps: Sequence[Step],
    particulars: Particulars,
    drawing: Drawing | None = None,
    *,
    language: str | Words = "en",
) -> str:
    """Return the record as HTML; `title` is the sheet's, `steps` the independent solution's."""
    say = language if isinstance(language, Words) else words(language)
    agreed = passes(result)
    outcome = say("record.agrees" if agreed else "record.not")
    return document(
        f"{outcome} · {particulars.reference or result.working}",
        say.code,
        "record",
        tag(
            "main",
            tag("h1", say("record.title")),
            tag(
                "p",
                tag("strong", outcome),
                " ",
                _reason(result, agreed, say),
                class_=f"outcome {'agrees' if agreed else 'not'}",
            ),
            _warned(result, say),
            _head(result, title, particulars, say),
            _results(result, say),
            _found(result, say),
            _how(result, steps, drawing, say),
            _readings(result, particulars, say),
            _limits(result, say),
            _signatures(particulars, agreed, say),
        ),
    )


def _reason(result: Result, agreed: bool, say: Words) -> str:
    if agreed:
        return say("record.agrees_why")
    if result.verdict == "agrees" and result.given is not None:
        return say("record.not_why", working=result.working)
    return headline(result, say)


def _warned(result: Result, say: Words) -> Markup | None:
    """Return what is to be known of this very structure, such as a cable that would push."""
    told = [one for one in result.cautions if one not in CAUTIONS]
    if not told:
        return None
    said = (tag("li", as_sentence(say.note(one))) for one in told)
    return tag(
        "div", tag("strong", say("check.cautions")), tag("ul", *said), class_="outcome warned"
    )


def _head(result: Result, title: str, particulars: Particulars, say: Words) -> Markup:
    rows = [
        ("reference", particulars.reference),
        ("revision", particulars.revision),
        ("subject", title),
        ("calculated_by", particulars.calculated_by),
        ("checked_by", particulars.checked_by),
        ("date", particulars.date),
        ("working", result.working),
        ("given", result.given or say("record.no_sheet")),
        ("tool", f"Counterpoise {__version__}"),
    ]
    listed = [_row(say(f"record.{key}"), text) for key, text in rows]
    for name, data in particulars.inputs:
        digest = hashlib.sha256(data).hexdigest()
        listed.append(_row(say("record.hash", name=name), tag("code", digest)))
    return tag("dl", *listed)


def _row(name: str, text: str) -> Markup:
    return join(tag("dt", name), tag("dd", text or Markup("&nbsp;")))


def _results(result: Result, say: Words) -> Markup | None:
    if not result.answers:
        return None
    heads = ("item", "calculated", "independent", "difference", "result")
    return tag(
        "section",
        tag("h2", say("record.results")),
        tag(
            "table",
            tag(
                "thead",
                tag("tr", *(tag("th", say(f"record.{key}"), scope="col") for key in heads)),
            ),
            tag("tbody", *(_result_row(answer, say) for answer in result.answers)),
        ),
        tag("p", say("record.tolerance"), class_="small"),
    )


def _result_row(answer: Answer, say: Words) -> Markup:
    cells = (
        say.phrase(working_says(answer)) or say("check.answers.none"),
        say.phrase(statics_says(answer)),
        _difference(answer),
        answer_status(answer, say),
    )
    return tag(
        "tr",
        tag("th", say.phrase(answer.item), scope="row"),
        *(tag("td", cell) for cell in cells),
        class_=answer.status,
    )


def _difference(answer: Answer) -> str:
    if not isinstance(answer.written, int | float) or not isinstance(answer.value, int | float):
        return "–"
    if answer.value == 0:
        return with_unit(answer.written, answer.unit)
    return f"{figure(100 * (answer.written / answer.value - 1))} %"


def _found(result: Result, say: Words) -> Markup | None:
    if not result.faults:
        return None
    return tag(
        "section",
        tag("h2", say("record.found")),
        tag(
            "ul",
            *(
                tag(
                    "li",
                    say("check.fault.title", line=fault.line, kind=kind_name(fault.kind, say)),
                    f" ({where(fault, say)}): " if fault.where else ": ",
                    tag("code", fault.text),
                    say("record.wanted", expected=say.phrase(fault.expected))
                    if fault.expected
                    else "",
                    f". {' '.join(why(fault, say))}",
                )
                for fault in result.faults
            ),
        ),
    )


def _how(result: Result, steps: Sequence[Step], drawing: Drawing | None, say: Words) -> Markup:
    claims = [line for line in result.lines if line.status != "remark"]
    right = sum(line.status == "agrees" for line in claims)
    shown = None
    if drawing is not None:
        from verifier.reporting.html import data_address

        address = data_address(drawing.svg.encode(), "image/svg+xml")
        shown = tag("figure", tag("img", src=address, alt=drawing.alt), class_="drawing")
    return tag(
        "section",
        tag("h2", say("record.how")),
        tag("p", say("record.method")),
        tag("p", say("record.lines", right=right, count=len(claims))),
        shown,
        tag("h3", say("record.equations")) if steps else None,
        tag("ol", *(tag("li", step_text(step, say)) for step in steps)) if steps else None,
    )


def _readings(result: Result, particulars: Particulars, say: Words) -> Markup | None:
    said = [
        tag("li", say("record.confirmed", line=line.line, text=line.text))
        for line in result.lines
        if line.line in particulars.confirmed
    ]
    said += [
        tag("li", f"{say('check.open.line', line=line.line, page='', what=_open(line.status, say))}"
            f": {line.text}")
        for line in result.lines
        if line.status in OPEN
    ]  # fmt: skip
    return tag("section", tag("h2", say("record.readings")), tag("ul", *said)) if said else None


def _open(status: str, say: Words) -> str:
    return say("check.open.doubtful_alone" if status == "doubtful" else f"check.open.{status}")


def _limits(result: Result, say: Words) -> Markup:
    usual = [one for one in result.cautions if one in CAUTIONS and one != _FOR_MARKERS]
    limits = [say.note(caution) for caution in usual] or [say("record.limit_equilibrium")]
    limits.append(say("record.limit_sheet"))
    limits += [say.note(note) for note in result.notes]
    return tag(
        "section",
        tag("h2", say("record.limits")),
        tag("ul", *(tag("li", limit, class_="lines-kept") for limit in dict.fromkeys(limits))),
    )


def _signatures(particulars: Particulars, agreed: bool, say: Words) -> Markup:
    if not agreed:
        return tag("p", say("record.no_signature"), class_="outcome not")
    people = (
        ("calculated_by", particulars.calculated_by),
        ("checked_by", particulars.checked_by),
        ("approved_by", ""),
    )
    head = [say(f"record.{key}") for key in ("role", "name", "signature", "date")]
    blank = Markup("&nbsp;")
    return tag(
        "section",
        tag("h2", say("record.signatures")),
        tag(
            "table",
            tag("thead", tag("tr", *(tag("th", one, scope="col") for one in head))),
            tag(
                "tbody",
                *(
                    tag(
                        "tr",
                        tag("th", say(f"record.{role}"), scope="row"),
                        *(tag("td", cell) for cell in (name or blank, blank, blank)),
                    )
                    for role, name in people
                ),
            ),
            class_="signatures",
        ),
        class_="signatures-box",
    )

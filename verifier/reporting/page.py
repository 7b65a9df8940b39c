"""The student's page: one HTML file in itself, with the first fault ringed at its place.

It says what statics wants at the fault and no more; hints and the whole solution only on request.
"""

from collections.abc import Sequence

from verifier.findings import Finding, Result
from verifier.reporting.html import Markup, data_address, document, join, tag
from verifier.reporting.numbers import statics_says, working_says
from verifier.reporting.page_working import Drawing, Extras, ringed, working_section
from verifier.reporting.sentences import (
    answer_status,
    cautions,
    certainty,
    given_by,
    headline,
    is_a_term,
    kind_name,
    plain_name,
    subheads,
    where,
    why,
    why_another,
)
from verifier.reporting.words import Words, words
from verifier.statics.solution import Step


def student_page(
    result: Result, extras: Extras | None = None, *, language: str | Words = "en"
) -> str:
    """Return the page of a working as HTML; nothing in it is fetched, nothing in it runs."""
    say = language if isinstance(language, Words) else words(language)
    more = extras or Extras()
    return document(
        f"{result.working} · Counterpoise",
        say.code,
        "page",
        tag("a", say("page.skip"), href="#working", class_="skip"),
        tag(
            "main",
            _top(result, say),
            _first(result, more, say),
            _hints(more, say),
            working_section(result, more, say),
            _figure(more, say),
            _answers(result, more, say),
            _solution(more, say),
            _names(result, say),
        ),
        _foot(result, say),
    )


def _top(result: Result, say: Words) -> Markup:
    given = tag("p", say("page.against", given=result.given)) if result.given else None
    return join(
        tag("h1", result.working),
        given,
        tag("p", headline(result, say), class_=f"verdict {result.verdict}"),
        *(tag("p", sentence) for sentence in subheads(result, say)),
    )


def _first(result: Result, more: Extras, say: Words) -> Markup | None:
    fault = result.first_fault
    if fault is None:
        return None
    if result.another_sheet:
        return tag("section", *(tag("p", sentence) for sentence in why_another(fault, say)))
    carried = [line.line for line in result.lines if line.status == "carried"]
    follows = (
        tag("p", say.count("check.carried", len(carried), lines=say.ranges(carried)))
        if carried
        else None
    )
    return tag(
        "section",
        tag("h2", say("page.first"), id="first"),
        _fault_card(result, fault, say),
        follows,
        _drawing(more.free_body),
        aria_labelledby="first",
    )


def _fault_card(result: Result, fault: Finding, say: Words) -> Markup:
    line = next((line for line in result.lines if line.line == fault.line), None)
    rows: list[tuple[str, str]] = []
    if is_a_term(fault):
        rows.append((say("check.fault.wrote"), fault.text.strip()))
    if fault.expected:
        rows.append((say("check.fault.wants"), say.phrase(fault.expected)))
    if fault.where:
        rows.append((say("check.fault.at"), where(fault, say)))
    for number, sentence in enumerate(why(fault, say)):
        rows.append((say(f"check.fault.{'detail' if number else 'why'}"), sentence))
    if fault.certainty != "proved":
        rows.append((say("check.fault.certainty"), certainty(fault, say)))
    title = say("check.fault.title", line=fault.line, kind=kind_name(fault.kind, say))
    again = (
        tag(
            "p",
            say.count(
                "check.fault.repeats", len(fault.repeats), lines=say.ranges(list(fault.repeats))
            ),
        )
        if fault.repeats
        else None
    )
    return tag(
        "div",
        tag("h3", title),
        tag("p", ringed(line.text if line else fault.text, [fault], say), class_="written"),
        tag("dl", *(join(tag("dt", name), tag("dd", text)) for name, text in rows)),
        again,
        class_="card fault",
    )


def _hints(more: Extras, say: Words) -> Markup | None:
    if not more.hints:
        return None
    return tag(
        "section",
        tag("h2", say("page.hints"), id="hints"),
        *(
            tag("details", tag("summary", say("page.hint", number=number)), tag("p", hint))
            for number, hint in enumerate(more.hints, 1)
        ),
        aria_labelledby="hints",
    )


def _figure(more: Extras, say: Words) -> Markup | None:
    if more.figure is None:
        return None
    return tag(
        "section",
        tag("h2", say("page.figure"), id="figure"),
        _drawing(more.figure),
        aria_labelledby="figure",
    )


def _drawing(drawing: Drawing | None) -> Markup | None:
    if drawing is None:
        return None
    picture = data_address(drawing.svg.encode(), "image/svg+xml")
    return tag(
        "figure",
        tag("img", src=picture, alt=drawing.alt),
        tag("figcaption", drawing.shows),
        class_="drawing",
    )


def _answers(result: Result, more: Extras, say: Words) -> Markup | None:
    if not result.answers:
        return None
    heads = ["item", "written", *(["statics"] if more.solution else [])]
    cells = [
        [say.phrase(one.item), say.phrase(working_says(one)) or say("check.answers.none")]
        + ([say.phrase(statics_says(one))] if more.solution else [])
        + [answer_status(one, say)]
        for one in result.answers
    ]
    head = [say(f"check.answers.{key}") for key in heads] + [say("page.verdict")]
    return tag(
        "section",
        tag("h2", say("check.answers.title"), id="answers"),
        tag(
            "div",
            tag(
                "table",
                tag("thead", tag("tr", *(tag("th", one, scope="col") for one in head))),
                tag("tbody", *(tag("tr", *_cells(row)) for row in cells)),
            ),
            class_="tablebox",
            tabindex=0,
            role="region",
            aria_labelledby="answers",
        ),
    )


def _cells(row: Sequence[str]) -> list[Markup]:
    return [tag("th", row[0], scope="row"), *(tag("td", cell) for cell in row[1:])]


def _solution(more: Extras, say: Words) -> Markup | None:
    if not more.solution or not more.steps:
        return None
    return tag(
        "section",
        tag("h2", say("page.solution"), id="solution"),
        tag("ol", *(tag("li", step_text(step, say)) for step in more.steps)),
        aria_labelledby="solution",
    )


def step_text(step: Step, say: Words) -> Markup:
    """Return one step of the solution: its free body, sum, equation and what it gives."""
    gives = given_by(step.gives, say) if step.gives else None
    total = f", {say.phrase(step.sum)}" if step.sum else ""
    return join(
        f"{say.phrase(step.free_body)}{total}: ",
        tag("span", step.text, class_="written"),
        join(tag("br"), gives) if gives else None,
    )


def _names(result: Result, say: Words) -> Markup | None:
    if not result.assumed:
        return None
    rows = [
        join(
            tag("dt", plain_name(one.name)),
            tag(
                "dd",
                f"{say.phrase(one.means)} "
                f"({say('check.names.declared' if one.declared else 'check.names.assumed')})",
            ),
        )
        for one in result.assumed
    ]
    return tag(
        "section",
        tag("h2", say("check.names.title"), id="names"),
        tag("dl", *rows),
        aria_labelledby="names",
    )


def _foot(result: Result, say: Words) -> Markup:
    return tag(
        "footer",
        *(tag("p", say.note(note), class_="lines-kept") for note in result.notes),
        *(tag("p", caution) for caution in cautions(result, say)),
    )

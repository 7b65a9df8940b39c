"""The student's page: one HTML file in itself, with the first fault ringed at its place.

It says what statics wants at the fault and no more; hints and the whole solution only on request.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from verifier.findings import Finding, LineVerdict, Result
from verifier.reporting.html import Markup, data_address, document, join, tag
from verifier.reporting.numbers import statics_says, working_says
from verifier.reporting.photo import Photo
from verifier.reporting.sentences import (
    OPEN,
    answer_status,
    certainty,
    headline,
    kind_name,
    subheads,
    where,
    why,
)
from verifier.reporting.words import Words, words
from verifier.statics.solution import Step


@dataclass(frozen=True)
class Drawing:
    """A drawing for the page: SVG and what it shows, in words."""

    svg: str
    shows: str


@dataclass(frozen=True)
class Extras:
    """What a page may show besides the result; each part is left out where it is empty."""

    photos: Sequence[Photo] = ()
    figure: Drawing | None = None
    free_body: Drawing | None = None
    hints: Sequence[str] = ()
    steps: Sequence[Step] = ()
    solution: bool = False


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
            _working(result, more, say),
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
    if fault.expected:
        rows.append((say("check.fault.wants"), fault.expected))
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
        tag("p", _ringed(line.text if line else fault.text, [fault], say), class_="written"),
        tag("dl", *(join(tag("dt", name), tag("dd", text)) for name, text in rows)),
        again,
        class_="card fault",
    )


def _ringed(text: str, faults: Sequence[Finding], say: Words) -> Markup:
    pieces: list[Markup] = []
    at = 0
    for fault in sorted(faults, key=lambda fault: fault.columns):
        start, end = max(fault.columns[0], at), min(fault.columns[1], len(text))
        if start >= end:
            continue
        ring = tag("mark", text[start:end], title=kind_name(fault.kind, say))
        pieces += [join(text[at:start]), ring]
        at = end
    return join(*pieces, text[at:])


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


def _working(result: Result, more: Extras, say: Words) -> Markup:
    return tag(
        "section",
        tag("h2", say("page.working"), id="working"),
        *(_page_photo(photo, result, say) for photo in more.photos),
        tag("ol", *(_line(line, result, more, say) for line in result.lines), class_="lines"),
        aria_labelledby="working",
    )


def _page_photo(photo: Photo, result: Result, say: Words) -> Markup:
    from verifier.reporting.photo import inked

    ink = Photo(photo.number, inked(photo, result))
    return tag(
        "figure",
        tag(
            "div",
            tag(
                "img",
                src=data_address(ink.jpeg(), "image/jpeg"),
                alt=say("page.photo", page=photo.number),
            ),
            class_="photo",
        ),
        tag("figcaption", say("page.ink")),
    )


def _line(line: LineVerdict, result: Result, more: Extras, say: Words) -> Markup:
    faults = [fault for fault in result.faults if fault.line == line.line]
    notes = [
        tag("p", f"{kind_name(fault.kind, say)}: {sentence}", class_="note")
        for fault in faults
        for sentence in why(fault, say)[:1]
    ]
    notes += [
        tag("p", say("check.remarks.line", line=one.line, message=one.message), class_="note")
        for one in result.remarks
        if one.line == line.line
    ]
    if line.status in OPEN:
        notes += _doubt(line, more, say)
    return tag(
        "li",
        tag("span", str(line.line), class_="number"),
        tag("span", say(f"page.status.{line.status}"), class_="label"),
        tag("div", tag("span", _ringed(line.text, faults, say), class_="written"), *notes),
        class_=line.status,
    )


def _doubt(line: LineVerdict, more: Extras, say: Words) -> list[Markup]:
    shown: list[Markup] = []
    photo = next((one for one in more.photos if one.number == (line.page or 1)), None)
    if photo is not None and line.box is not None:
        picture = data_address(photo.strip(line.box), "image/jpeg")
        alt = say("page.strip", line=line.line)
        shown.append(tag("img", src=picture, alt=alt, class_="strip"))
    said = say(f"check.open.{line.status}", others=" | ".join(line.alternatives))
    if line.status == "doubtful" and not line.alternatives:
        said = say("check.open.doubtful_alone")
    shown.append(tag("p", said, class_="note"))
    if line.note:
        shown.append(tag("p", line.note, class_="note"))
    return shown


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
        tag("img", src=picture, alt=drawing.shows),
        tag("figcaption", drawing.shows),
        class_="drawing",
    )


def _answers(result: Result, more: Extras, say: Words) -> Markup | None:
    if not result.answers:
        return None
    heads = ["item", "written", *(["statics"] if more.solution else [])]
    cells = [
        [one.item, say.phrase(working_says(one)) or say("check.answers.none")]
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
    gives = say("solve.gives", results=", ".join(step.gives)) if step.gives else None
    return join(
        f"{say.phrase(step.free_body)}, {step.sum}: ",
        tag("span", step.text, class_="written"),
        join(tag("br"), gives) if gives else None,
    )


def _names(result: Result, say: Words) -> Markup | None:
    if not result.assumed:
        return None
    rows = [
        join(
            tag("dt", one.name),
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
        *(tag("p", note) for note in result.notes),
        *(tag("p", say.phrase(caution)) for caution in result.cautions),
    )

"""The working on the student's page: photos with ink, each line with its state and notes."""

from collections.abc import Sequence
from dataclasses import dataclass

from verifier.findings import Finding, LineVerdict, Result
from verifier.reporting.html import Markup, data_address, join, tag
from verifier.reporting.photo import Photo, inked, written_part
from verifier.reporting.sentences import OPEN, doubt, doubt_marked, kind_name, why
from verifier.reporting.words import Words
from verifier.statics.solution import Step


@dataclass(frozen=True)
class Drawing:
    """A drawing for the page: SVG, what it shows, and all of it in words for those who hear it."""

    svg: str
    shows: str
    tells: str = ""

    @property
    def alt(self) -> str:
        """What stands for the drawing where it is not seen."""
        return f"{self.shows}. {self.tells}" if self.tells else self.shows


@dataclass(frozen=True)
class Extras:
    """What a page may show besides the result; each part is left out where it is empty."""

    photos: Sequence[Photo] = ()
    figure: Drawing | None = None
    free_body: Drawing | None = None
    hints: Sequence[str] = ()
    steps: Sequence[Step] = ()
    solution: bool = False


def working_section(result: Result, more: Extras, say: Words) -> Markup:
    """Return the working itself: its photos with ink, then every line with what became of it."""
    return tag(
        "section",
        tag("h2", say("page.working"), id="working"),
        *(_page_photo(photo, result, say) for photo in more.photos),
        tag("ol", *(_line(line, result, more, say) for line in result.lines), class_="lines"),
        aria_labelledby="working",
    )


def _page_photo(photo: Photo, result: Result, say: Words) -> Markup:
    ink = written_part(Photo(photo.number, inked(photo, result)), result)
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
        tag("p", f"{kind_name(one.kind, say)}: {' '.join(why(one, say))}", class_="note")
        for one in result.remarks
        if one.line == line.line
    ]
    if line.status in OPEN:
        notes += _doubt(line, more, say)
    return tag(
        "li",
        tag("span", str(line.line), class_="number"),
        tag("span", say(f"page.status.{line.status}"), class_="label"),
        tag("div", tag("span", ringed(line.text, faults, say), class_="written"), *notes),
        class_=line.status,
    )


def _doubt(line: LineVerdict, more: Extras, say: Words) -> list[Markup]:
    shown: list[Markup] = []
    photo = next((one for one in more.photos if one.number == (line.page or 1)), None)
    if photo is not None and line.box is not None:
        picture = data_address(photo.strip(line.box), "image/jpeg")
        alt = say("page.strip", line=line.line)
        shown.append(tag("img", src=picture, alt=alt, class_="strip"))
    shown.append(tag("p", doubt(line, say), class_="note"))
    marked = doubt_marked(line)
    if marked != line.text:
        shown.append(tag("p", marked, class_="note written"))
    if line.note:
        shown.append(tag("p", say.note(line.note), class_="note"))
    return shown


def ringed(text: str, faults: Sequence[Finding], say: Words) -> Markup:
    """Return a line as written with the terms of its faults ringed."""
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

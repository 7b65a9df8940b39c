"""The terminal report of one working: what matters first, readable without colour."""

import shlex

from rich.cells import cell_len
from rich.console import Console

from verifier.findings import Answer, Finding, LineVerdict, Result
from verifier.reporting.colours import STATUS_STYLES
from verifier.reporting.layout import WIDEST, Paper, padded, wrap
from verifier.reporting.numbers import statics_says, working_says
from verifier.reporting.sentences import (
    OPEN,
    answer_status,
    cautions,
    certainty,
    doubt,
    doubt_marked,
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

_LABELS = 16
"""The column at which the text beside a label stands."""


def report(
    result: Result, console: Console, *, full: bool = False, language: str | Words = "en"
) -> None:
    """Print what became of a working; `full` shows every line and how each name was taken."""
    say = language if isinstance(language, Words) else words(language)
    paper = Paper(min(console.width, WIDEST))
    _headline(paper, result, say)
    first = result.first_fault
    if first is not None and result.another_sheet:
        paper.say(" ".join(why_another(first, say)), indent=2)
    elif first is not None:
        _fault(paper, result, first, say)
        _carried(paper, result, say)
        _others(paper, result, say)
    _open(paper, result, say)
    _answers(paper, result, say)
    _remarks(paper, result, say)
    _names(paper, result, say, full)
    if full:
        _lines(paper, result, say)
    _last(paper, result, say, full)
    paper.print(console)


def _headline(paper: Paper, result: Result, say: Words) -> None:
    paper.say(headline(result, say), STATUS_STYLES.get(result.verdict, "wrong"))
    for sentence in subheads(result, say):
        paper.say(sentence)


def _fault(paper: Paper, result: Result, fault: Finding, say: Words) -> None:
    line = _line(result, fault.line)
    title = say("check.fault.title", line=fault.line, kind=kind_name(fault.kind, say))
    paper.gap()
    paper.say(title + _page(result, line, say), "title", 2)
    paper.gap()
    paper.marked(line.text if line else fault.text, _columns(fault, line), 4)
    paper.gap()
    if is_a_term(fault):
        paper.pair(say("check.fault.wrote"), fault.text.strip(), _LABELS + 1)
    if fault.expected:
        paper.pair(say("check.fault.wants"), say.phrase(fault.expected), _LABELS + 1, style="right")
    if fault.where:
        paper.pair(say("check.fault.at"), where(fault, say), _LABELS + 1)
    for number, sentence in enumerate(why(fault, say)):
        label = say(f"check.fault.{'detail' if number else 'why'}")
        paper.pair(label, sentence, _LABELS + 1)
    if fault.certainty != "proved":
        paper.pair(say("check.fault.certainty"), certainty(fault, say), _LABELS + 1)
    if fault.repeats:
        paper.gap()
        again = say.ranges(list(fault.repeats))
        paper.say(say.count("check.fault.repeats", len(fault.repeats), lines=again), indent=2)


def _carried(paper: Paper, result: Result, say: Words) -> None:
    carried = [line.line for line in result.lines if line.status == "carried"]
    if carried:
        paper.gap()
        said = say.count("check.carried", len(carried), lines=say.ranges(carried))
        paper.say(said, "follows", 2)


def _others(paper: Paper, result: Result, say: Words) -> None:
    if len(result.faults) < 2:
        return
    paper.gap()
    paper.say(say("check.others.title"), "title")
    for fault in result.faults[1:]:
        line = _line(result, fault.line)
        title = say("check.fault.title", line=fault.line, kind=kind_name(fault.kind, say))
        paper.gap()
        paper.say(title + _page(result, line, say), "title", 2)
        paper.marked(line.text if line else fault.text, _columns(fault, line), 4)
        paper.say(" ".join(why(fault, say)), indent=4)


def _open(paper: Paper, result: Result, say: Words) -> None:
    lines = [line for line in result.lines if line.status in OPEN]
    if not lines:
        return
    paper.gap()
    paper.say(say("check.open.title"), "open")
    for line in lines:
        page = _page(result, line, say)
        what = doubt(line, say)
        paper.say(say("check.open.line", line=line.line, page=page, what=what), indent=2, hang=4)
        for row in wrap(doubt_marked(line), paper.width - 4, paper.width - 4)[:6]:
            paper.say(row, indent=4)
        if line.note:
            paper.say(say.note(line.note), indent=4)
    _confirm(paper, result, lines, say)


def _confirm(paper: Paper, result: Result, lines: list[LineVerdict], say: Words) -> None:
    read = [str(one.line) for one in lines if one.status == "doubtful" and one.box is not None]
    if read:
        paper.say(say("check.open.confirm", lines=",".join(read)), indent=2, hang=4)
    if any(one.box is not None for one in lines):
        working = shlex.quote(result.working)
        paper.say(say("check.open.correct"), indent=2, hang=4)
        paper.say(say("check.open.read", working=working), indent=4, hang=6)
    elif any(one.status == "doubtful" for one in lines):
        paper.say(say("check.open.leave"), indent=2)


def _answers(paper: Paper, result: Result, say: Words) -> None:
    if not result.answers:
        return
    paper.gap()
    paper.say(say("check.answers.title"), "title")
    rows = [_answer_row(answer, say) for answer in result.answers]
    items = max(min(max(cell_len(row[0]) for row in rows), paper.width // 3), 4)
    room = max(paper.width - items - 26, 4)
    values = max(min(max(cell_len(row[1]) for row in rows), room), 4)
    for answer, (item, written, became) in zip(result.answers, rows, strict=True):
        label = f"{padded(item, items)}  {padded(written, values)}"
        style = STATUS_STYLES[answer.status] if answer.status != "agrees" else ""
        paper.pair(label, became, max(items + values + 6, cell_len(label) + 4), style=style)


def _answer_row(answer: Answer, say: Words) -> tuple[str, str, str]:
    written = say.phrase(working_says(answer)) or say("check.answers.none")
    became = answer_status(answer, say)
    if answer.status in ("carried", "differs"):
        wants = say.phrase(statics_says(answer))
        became = say("check.answers.but", became=became, statics=wants)
    return say.phrase(answer.item), written, became


def _remarks(paper: Paper, result: Result, say: Words) -> None:
    if not result.remarks:
        return
    paper.gap()
    paper.say(say("check.remarks.title"), "title")
    for remark in result.remarks:
        said = say("check.remarks.line", line=remark.line, message=" ".join(why(remark, say)))
        paper.say(said, indent=2, hang=4)


def _names(paper: Paper, result: Result, say: Words, full: bool) -> None:
    if not result.assumed:
        return
    paper.gap()
    paper.say(say("check.names.title"), "title")
    if full:
        for name in result.assumed:
            said = say("check.names.is", name=plain_name(name.name), means=say.phrase(name.means))
            how = say(f"check.names.{'declared' if name.declared else 'assumed'}")
            paper.say(f"{said} ({how})", indent=2, hang=4)
        return
    said_all = [
        say("check.names.is", name=plain_name(one.name), means=say.phrase(one.means))
        for one in result.assumed
    ]
    paper.say("; ".join(said_all) + ".", indent=2)


def _lines(paper: Paper, result: Result, say: Words) -> None:
    paper.gap()
    paper.say(say("check.lines.title"), "title")
    labels = {line.status: say(f"check.lines.{line.status}") for line in result.lines}
    digits = max((len(str(line.line)) for line in result.lines), default=1)
    at = 2 + digits + 2 + max(map(len, labels.values()), default=0) + 2
    for line in result.lines:
        label = f"{line.line:>{digits}}  {labels[line.status]}"
        style = STATUS_STYLES[line.status] if line.status != "agrees" else ""
        paper.pair(label, line.text.strip(), at, style=style)
        if line.reads_as and line.reads_as.strip() != line.text.strip():
            paper.say(say("check.lines.reads", reading=line.reads_as), indent=at, hang=at + 2)


def _last(paper: Paper, result: Result, say: Words, full: bool) -> None:
    notes = [note for note in result.notes if "\n" not in note]
    if notes:
        paper.gap()
        paper.say(say("check.notes"), "title")
        for note in notes:
            paper.say(say.note(note), indent=2, hang=4)
    for draft in (note for note in result.notes if "\n" in note):
        paper.gap()
        paper.say(say("check.draft"), "title")
        paper.kept(say.note(draft), 2)
    if result.cautions:
        paper.gap()
        paper.say(say("check.cautions"), "title")
        for caution in cautions(result, say):
            paper.say(caution, indent=2, hang=4)
    if not full and result.lines:
        paper.gap()
        paper.say(say("check.more"))


def _line(result: Result, number: int) -> LineVerdict | None:
    return next((line for line in result.lines if line.line == number), None)


def _columns(fault: Finding, line: LineVerdict | None) -> tuple[int, int]:
    return fault.columns if line else (0, len(fault.text))


def _page(result: Result, line: LineVerdict | None, say: Words) -> str:
    pages = {other.page for other in result.lines if other.page is not None}
    if line is None or line.page is None or len(pages) < 2:
        return ""
    return say("check.fault.page", page=line.page)

"""Judges a working: picks the senses under which it agrees best, then tells what is wrong."""

from collections.abc import Sequence
from dataclasses import replace

from verifier.checking import doubt
from verifier.checking.alone import AloneTrial
from verifier.checking.another import about_another, has_all_loads
from verifier.checking.answers import answers_of, told_by_letter, unfinished
from verifier.checking.bending import misnamed
from verifier.checking.benefit import asked, in_question
from verifier.checking.certain import certain
from verifier.checking.choice import Choice
from verifier.checking.conventions import changed
from verifier.checking.decimals import with_commas, writes_commas
from verifier.checking.figure import Figure
from verifier.checking.lettered import against_its_label, bar_lettered
from verifier.checking.loadgroups import parted
from verifier.checking.nameless import told_without_name
from verifier.checking.names import Dictionary
from verifier.checking.parted import turned_by_axis
from verifier.checking.partloads import under_some_loads
from verifier.checking.shares import plan_of
from verifier.checking.spoken import spoken
from verifier.checking.state import Judged, Outcome, Slip, finding_of
from verifier.checking.superposed import SuperposedTrial
from verifier.checking.tasks import own_task
from verifier.checking.trial import Trial
from verifier.checking.unitless import in_units_of_letters
from verifier.checking.unnamed import letter_named, wrong_units
from verifier.checking.written import Written
from verifier.findings import Answer, Assumed, Finding, LineVerdict, Result, Verdict
from verifier.notation.tree import Span
from verifier.statics import solve
from verifier.statics.solution import NoSolution, Solution
from verifier.structure.model import Structure

_MANY, _FEW = 4, 0.25

CAUTIONS = (
    "Equilibrium alone is checked: not strength, stability, deflection or any code of practice.",
    "A structure that people rely on is designed and checked by licensed practitioners under the "
    "local code.",
    "A marker's decision stands over this one.",
)


def judge(
    structure: Structure | None,
    solution: Solution | NoSolution | None,
    written: Sequence[Written],
    *,
    working: str,
    given: str | None = None,
    strict_rounding: bool = False,
) -> Result:
    """Judge one working against the independent solution of its sheet.

    With no structure the working is checked against itself. Raises nothing for what was written.
    """
    trial: Trial
    if structure is None:
        trial = AloneTrial(written)
    else:
        values = solution.values if isinstance(solution, Solution) else {}
        plain = in_units_of_letters(structure, written)
        if plain is not structure:
            structure, solution = plain, solve(plain)
            values = solution.values if isinstance(solution, Solution) else {}
        figure = Figure(structure, values)
        written = own_task(written, figure, Dictionary(figure))
        trial = trial_of(figure, written)
    choice = letter_named(trial, bar_lettered(trial, trial.best()))
    choice = against_its_label(trial, choice)
    trial, choice = spoken(trial, choice)
    known = solution if isinstance(solution, Solution) else None
    outcome = certain(trial, choice, trial.run(choice))
    settled = doubt.settle(trial, choice, outcome)
    return assemble(*settled, written, working, given, strict_rounding, known)


def trial_of(figure: Figure, written: Sequence[Written]) -> Trial:
    """Return what runs the passes over a working: under all loads at once or one at a time."""
    trial = Trial(figure, written)
    found = [
        (plan, parts)
        for parts in (figure, parted(figure))
        if parts is not None and (plan := plan_of(written, parts, trial.names)) is not None
    ]
    if not found:
        return trial
    plan, parts = max(found, key=lambda one: len(set(one[0].owner.values())))
    return SuperposedTrial(figure, written, plan, parts=parts)


def assemble(
    trial: Trial,
    choice: Choice,
    outcome: Outcome,
    doubtful: frozenset[int],
    written: Sequence[Written],
    working: str,
    given: str | None,
    strict_rounding: bool,
    solution: Solution | None = None,
) -> Result:
    """Make the result of the chosen pass; `written` are the likeliest readings."""
    texts = {one.line.number: one.line.text for one in trial.written}
    above = {one.line.number: one.line.above for one in trial.written}
    senses = dict(choice.senses)
    odd = changed(trial.figure, senses, trial.declared, outcome, texts)
    odd += [*misnamed(trial.figure, outcome, texts), *wrong_units(trial, outcome)]
    told = _beyond_doubt([*outcome.slips, *odd], doubtful)
    slips = [_where_written(slip, above.get(slip.line, ()), texts) for slip in told]
    faults, remarks = _findings(slips, texts, strict_rounding)
    faults = [fault for fault in faults if fault.line not in doubtful]
    answers = answers_of(trial.figure, outcome, solution)
    first = min((fault.line for fault in faults), default=0)
    sound = {n for n, j in outcome.lines.items() if j.status == "agrees" and n < first}
    swapped = about_another(written, trial.names, len(faults), sound, _right(answers))
    if not swapped and not has_all_loads(written, trial.figure):
        swapped = _another_figure(faults, outcome)
    if swapped:
        faults = [_of_another(faults[0], swapped)]
    if writes_commas(written):
        faults, remarks = [[*map(with_commas, found)] for found in (faults, remarks)]
    answers = told_without_name(trial.figure, trial.written, outcome, answers)
    answers = told_by_letter(trial.figure, outcome, answers)  # fewer are open now
    if not swapped:
        open_ = in_question(trial.figure, outcome, answers, faults, trial.written)
        faults = [fault for fault in faults if fault not in open_]
        for fault in reversed(open_):
            outcome.lines[fault.line] = Judged("undecided", [asked(fault, trial.written)])
        parts = not isinstance(trial, SuperposedTrial)  # that one has judged them already
        apart = under_some_loads(trial.figure, trial.written, faults) if parts else {}
        for fault, note in apart.items():
            faults.remove(fault)
            outcome.lines[fault.line] = Judged("undecided", [note])
    if any(answer.status == "missing" for answer in answers):
        doubtful |= doubt.strangers(trial, choice)
    lines = tuple(
        _line(one, followed, outcome, faults, doubtful)
        for one, followed in zip(written, trial.written, strict=True)
    )
    return Result(
        working=working,
        given=given,
        verdict=_verdict(faults, lines, answers),
        faults=tuple(faults),
        lines=lines,
        answers=answers,
        assumed=_assumed(trial, choice, outcome),
        cautions=CAUTIONS,
        remarks=tuple(remarks),
        notes=(
            *trial.notes(),
            *_without_meaning(outcome, answers),
            *_by_luck(faults, answers),
            *_at_odds(faults, answers),
        ),
        another_sheet=bool(swapped),
    )


def _beyond_doubt(slips: Sequence[Slip], doubtful: frozenset[int]) -> list[Slip]:
    """Leave out the slips of doubtful lines, and those that repeat one of them."""
    asked = {slip.explanation.key for slip in slips if slip.line in doubtful and not slip.remark}
    return [
        slip
        for slip in slips
        if slip.remark or not (slip.line in doubtful or slip.explanation.key in asked - {""})
    ]


def _right(answers: Sequence[Answer]) -> bool:
    """Tell whether a working has an answer of this sheet's right: one that is not zero."""
    return any(one.written and one.value and one.status == "agrees" for one in answers)


def _another_figure(faults: list[Finding], outcome: Outcome) -> str:
    """Return the sentence for a working that is about another sheet, '' for any other."""
    lines = {fault.line for fault in faults}
    judged = [j.status for j in outcome.lines.values() if j.status not in ("remark", "unread")]
    good = sum(1 for status in judged if status == "agrees")
    if len(lines) < _MANY or good > _FEW * len(judged):
        return ""
    return "Hardly a line fits this sheet: the working seems to solve another one."


def _of_another(first: Finding, said: str) -> Finding:
    """Return the one finding on another sheet's working, at the place where it first parts."""
    return replace(
        first,
        kind="magnitude",
        where="",
        expected="",
        message=said,
        certainty="best explanation",
        repeats=(),
    )


def _by_luck(faults: list[Finding], answers: Sequence[Answer]) -> tuple[str, ...]:
    """Tell of right answers that a faulty working reached all the same."""
    written = any(answer.written is not None for answer in answers)
    if not faults or not written or any(answer.status != "agrees" for answer in answers):
        return ()
    return (
        "Every answer asked for is right all the same: the faults do not reach them, or cancel.",
    )


def _without_meaning(outcome: Outcome, answers: Sequence[Answer]) -> tuple[str, ...]:
    """Tell of values given to names that the sheet lacks, while an answer is still missing."""
    if all(answer.status != "missing" for answer in answers):
        return ()
    return tuple(
        f"Line {number}: {note}"
        for number, judged in sorted(outcome.lines.items())
        for note in dict.fromkeys(judged.notes)
        if judged.status == "agrees" and note.startswith("no meaning found")
    )


def _at_odds(faults: list[Finding], answers: Sequence[Answer]) -> tuple[str, ...]:
    """Tell of answers that are not statics' own though no line was found at fault."""
    items = [answer.item for answer in answers if answer.status == "differs"]
    if faults or not items:
        return ()
    return (f"No line is at fault, yet {', '.join(items)} is not what statics gives: please look.",)


def _where_written(slip: Slip, above: tuple[tuple[int, str], ...], texts: dict[int, str]) -> Slip:
    """Put what has its place in a line above, where the sum or the chain began, there."""
    start, end = slip.explanation.span
    for number, text in above:
        if start < min(end, len(text)):
            return _at(slip, number, (start, min(end, len(text.rstrip()))))
        start, end = start - len(text) - 1, end - len(text) - 1
    before = max((number for number in texts if number < slip.line), default=0)
    if start < end or not before:
        return _at(slip, slip.line, (start, end))
    text = texts[before]
    return _at(slip, before, (len(text) - len(text.lstrip()), len(text.rstrip())))


def _at(slip: Slip, line: int, span: Span) -> Slip:
    return replace(slip, line=line, explanation=replace(slip.explanation, span=span))


def _findings(
    slips: Sequence[Slip], texts: dict[int, str], strict: bool
) -> tuple[list[Finding], list[Finding]]:
    grouped: dict[str, list[Slip]] = {}
    remarks: list[Finding] = []
    for index, slip in enumerate(slips):
        if slip.remark and not strict:
            remarks.append(finding_of(slip, texts[slip.line], ()))
        else:
            grouped.setdefault(_same_slip(slip) or str(index), []).append(slip)
    faults = []
    for same in grouped.values():
        repeats = tuple(sorted({slip.line for slip in same[1:]} - {same[0].line}))
        faults.append(finding_of(same[0], texts[same[0].line], repeats))
    faults.sort(key=lambda f: (f.line, f.columns))
    return faults, remarks


def _same_slip(slip: Slip) -> str:
    """Return what the repeats of one slip share: a force drawn the wrong way on one free body.

    So do the terms of which the same is to be said: a load's total that is wrong in two sums.
    """
    told = slip.explanation
    if told.kind == "sign" and told.slip.startswith("sense of "):
        return f"{told.slip} on {slip.where.partition(', ')[0]}"
    return f"{told.kind} {told.message}" if told.kind == "magnitude" else told.key


def _line(
    one: Written,
    followed: Written,
    outcome: Outcome,
    faults: list[Finding],
    doubtful: frozenset[int],
) -> LineVerdict:
    judged = outcome.lines[one.line.number]
    status = judged.status
    notes = list(judged.notes)
    if one.line.number in doubtful:
        status = "doubtful"
        if followed.line.text != one.line.text:
            notes.insert(0, f"agrees if it says «{followed.line.text}»")
    elif followed.line.text != one.line.text:
        notes.insert(0, f"taken to say «{followed.line.text}»")
    elif one.confidence is not None and followed.line.parts != one.line.parts:
        notes.insert(0, "its end agrees; what stands before it was not read well")
    elif any(fault.line == one.line.number for fault in faults):
        status = "fault"
    elif status == "fault":
        status = "carried"
    return LineVerdict(
        one.line.number,
        one.line.text,
        status,
        one.line.reads_as,
        one.page,
        one.box,
        one.confidence,
        tuple(dict.fromkeys(line.text for line, _ in one.others)),
        "; ".join(dict.fromkeys(notes)),
    )


def _verdict(
    faults: list[Finding], lines: Sequence[LineVerdict], answers: Sequence[Answer]
) -> Verdict:
    if faults:
        return "fault"
    if any(line.status in ("unread", "doubtful", "undecided") for line in lines):
        return "undecided"
    if any(answer.status == "differs" for answer in answers):
        return "undecided"
    if any(line.confidence is not None for line in lines) and _claims_nothing(lines):
        return "undecided"
    return "unfinished" if unfinished(answers) else "agrees"


def _claims_nothing(lines: Sequence[LineVerdict]) -> bool:
    """Tell whether no line says anything that could be right or wrong: a picture read badly."""
    return all(line.status == "remark" for line in lines)


def _assumed(trial: Trial, choice: Choice, outcome: Outcome) -> tuple[Assumed, ...]:
    senses = {**dict(choice.senses), **trial.declared}
    aliases = dict(choice.aliases)
    found = []
    for variable, name in outcome.called.items():
        if variable.startswith("?"):
            continue
        sense = senses.get(variable, 1.0)
        if name in aliases:
            sense *= aliases[name][1]
        else:
            sense *= turned_by_axis(variable, name, trial.figure)
        found.append(Assumed(name, means(variable, sense), variable in trial.declared))
    return tuple(found)


def means(variable: str, sense: float) -> str:
    """Return in words what a force variable is, drawn in a sense."""
    words = variable.split(" ")
    match words:
        case ["reaction", joint, "x"]:
            return f"reaction at {joint}, to the {'right' if sense > 0 else 'left'}"
        case ["reaction", joint, "y"]:
            return f"reaction at {joint}, {'upwards' if sense > 0 else 'downwards'}"
        case ["reaction", joint, "moment"]:
            turn = "anticlockwise" if sense > 0 else "clockwise"
            return f"fixing moment at {joint}, {turn}"
        case ["reaction", joint]:
            along = "along its direction" if sense > 0 else "against its direction"
            return f"reaction at {joint}, {along}"
        case [pair] if "-" in pair:
            return f"force in {pair}, {'tension' if sense > 0 else 'compression'}"
    return variable if sense > 0 else f"{variable}, drawn the other way"


__all__ = ["CAUTIONS", "judge"]

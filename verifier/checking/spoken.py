"""Answers in sentences without an equals sign: `gives the reaction at D as 156/12 = 13 kN`.

A right value is found by itself; a wrong one has no name. Where a working gives no answer to what
is asked for, the last force that the sentence names is taken for the name of its value.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from verifier.checking.answers import answers_of
from verifier.checking.choice import Choice
from verifier.checking.derived import bare_number
from verifier.checking.nameless import told_without_name
from verifier.checking.names import Unknown
from verifier.checking.state import Outcome
from verifier.checking.trial import Trial
from verifier.checking.written import Written
from verifier.notation.tree import Line, Mark, Name, Num, Part, Relation, walk

_LONGEST_WAY = 60
_DEAREST, _MOST_SLIPS = 1.6, 2
_SUPPORT = (
    r"(?i:reaction|force|load|push|bearing|support|foot|prop|post|Auflager(?:kraft)?|Lager(?:kraft)?|Stütze"
    r"|réaction|appui|reazione|appoggio|reacción|apoyo|reakcj\w+|podpor\w+)"
)
_BAR = (
    r"(?i:tie|strut|bar|rod|member|cable|rope|rafter|diagonal|chord|link|brace|guy|Stab|Seil|Zugstab"
    r"|Druckstab|Strebe|Obergurt|Untergurt|Gurt|Diagonale|Pfosten|barre|câble|tirant|bielle|asta|fune|tirante|puntone|barra|cuerda|puntal|pręt"
    r"|pręcie|cięgn\w+)"
)
_NAMED = re.compile(
    rf"\b{_SUPPORT}\s(?:(?:at|in|on|of|under|an|bei|am|im|à|en|a|w)\s)?(?:(?:the|der|dem)\s)?"
    rf"(?:support\s|joint\s|foot\s)?(?P<at>[A-Z]\d?'?)(?!\w)"
    rf"|\b(?:{_BAR}|(?:[Ff]orce|[Pp]ull|[Tt]hrust|Kraft|effort|sforzo|fuerza|siła)\s(?:in|im|dans|nel|en|w)"
    rf"(?:\s(?:the|{_BAR}))*)\s(?P<bar>[A-Z]\d?'?-?[A-Z]\d?'?)(?!\w)"
)
_LINK = re.compile(
    r"\b(?:is|as|to|be|takes?|carries|carry|has|have|with|getting|holds?|feels?|ist|beträgt|zu|trägt"
    r"|hat|mit|erhält|bekommt|est|vaut|porte|è|vale|porta|es|lleva|jest|wynosi|niesie)\b|[:,]\s*$"
)
_PUSHES = re.compile(r"\b(?:push(?:es)?|thrusts?|drückt?|pousse|spinge|empuja)\b")
_PART = re.compile(
    r"\b(?:part|across|sideways|quer|share|component"
    r"|vertical\w*|horizontal\w*|moment|turns?|arm|Anteil|Komponente|senkrecht\w*"
    r"|waag\w*|composante|componente|składowa|load|Last|weight|charge|carico|carga)\b",
    re.IGNORECASE,
)
_DIGITS = re.compile(r"\d+")
_ENDS = re.compile(r"[.;](?=\s)|=")


def spoken(trial: Trial, choice: Choice) -> tuple[Trial, Choice]:
    """Return the working with such values named, where all that is then at fault are plain slips.

    Only where no line is at fault and something asked for has no answer.
    """
    outcome = trial.run(choice)
    missing = _missing(trial, outcome)
    picture = any(one.confidence is not None or one.others for one in trial.written)
    faulty = any(not slip.remark for slip in outcome.slips)
    if type(trial) is not Trial or picture or faulty or not missing:
        return trial, choice
    wanted = {trial.figure.variable(item)[0] for item in missing}
    written = tuple(_named(one, trial, wanted) for one in trial.written)
    if written == tuple(trial.written):
        return trial, choice
    other = trial.like(written)
    best = other.best()
    told = other.run(best)
    slips = [slip.explanation for slip in told.slips if not slip.remark]
    lines = {slip.line for slip in told.slips if not slip.remark}
    plain = all(e.cost <= _DEAREST for e in slips) and len(slips) <= _MOST_SLIPS
    left = _missing(other, told)
    open_ = any(judged.status == "undecided" for judged in told.lines.values())
    if left < missing and plain and len(lines) <= 1 and not open_:
        return other, best
    return trial, choice


def _missing(trial: Trial, outcome: Outcome) -> set[str]:
    """Return what is asked for and told nowhere, under no name either."""
    answers = answers_of(trial.figure, outcome)
    answers = told_without_name(trial.figure, trial.written, outcome, answers)
    return {answer.item for answer in answers if answer.status == "missing"}


def _named(one: Written, trial: Trial, wanted: set[str]) -> Written:
    """Return a line whose nameless values have the names that its sentences give them."""
    parts = tuple(_with_name(part, one.line, trial, wanted) for part in one.line.parts)
    return one if parts == one.line.parts else replace(one, line=replace(one.line, parts=parts))


def _with_name(part: Part, line: Line, trial: Trial, wanted: set[str]) -> Part:
    if not isinstance(part, Relation) or part.continues or len(part.sides) < 2:
        return part
    end = bare_number(part.sides[-1])
    force = isinstance(end, Num) and end.unit is not None and end.unit.kind == "force"
    if not force or any(isinstance(node, Name) for side in part.sides for node in walk(side)):
        return part
    start = part.sides[0].span[0]
    name = next(_names_before(line.text, start, trial, wanted), None)
    if name is None:
        return part
    marks = [(), *(part.marks or ((),) * len(part.sides))]
    said = _PUSHES.search(line.text, name.span[1], start)
    if said is not None and name.sub == "" and not any(marks):  # `GC has to push with 5 kN`
        marks[-1] = (Mark(said.span(), said.group(), "compression"),)
    return replace(part, sides=(name, *part.sides), ops=("=", *part.ops), marks=tuple(marks))


def _names_before(text: str, start: int, trial: Trial, wanted: set[str]) -> Iterator[Name]:
    """Yield the force that a sentence names last before its value, if it is one still open."""
    sentence = max((m.end() for m in _ENDS.finditer(text, 0, start)), default=0)
    found: Sequence[re.Match[str]] = [*_NAMED.finditer(text, sentence, start)][-1:]
    for match in found:
        group = "at" if match["at"] else "bar"
        span, said = match.span(group), match[group].replace("-", "")
        between = text[match.end() : start]
        behind = _DIGITS.split(between)[-1]
        apart = behind == between or "," in behind  # `must push with 11 kN, so its force is …`
        if _PART.search(between):
            continue  # `GC has a vertical part of 4 kN`
        if len(between) > _LONGEST_WAY or not apart or not _LINK.search(behind):
            continue
        name = Name(span, f"R_{said}", "R", said) if group == "at" else Name(span, said, said)
        meanings = [m.variable for m in trial.names.meanings(name) if isinstance(m, Unknown)]
        if wanted & set(meanings):
            yield name

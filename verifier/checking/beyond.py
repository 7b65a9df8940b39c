"""Relations that claim nothing of the figure's statics: stresses and areas, what-ifs, guesses."""

import re
from functools import lru_cache
from typing import Literal

from verifier.checking.derived import bare_number, is_angle
from verifier.notation.tree import Expr, Name, Num, Relation

Kind = Literal["", "measure", "supposed", "formula"]
"""Why a relation is no claim: it measures something else, is supposed, or is a formula alone."""

_MEASURE = re.compile(
    r"\d\s?(?:mm|cm|dm|m|in|ft)\s?(?:[²³⁴]|\^\{?[234]\}?)|\d\s?(?:[kM]?N|kips?|k|lbs?|lbf)\s?/\s?"
    r"(?:mm|cm|m|in|ft)\s?(?:[²³]|\^\{?[23]\}?)"
    r"|\d\s?(?:[kMG]Pa|psi|psf|ksi|[kM]?N/mm2|kN/cm2)\b|\d\s?%"
)
_FORCE = r"(?:[kM]?N|kips?|lbf?|kgf|daN)"
_SCALE = re.compile(  # of a force polygon: `1 cm = 2 kN`, `scale 0.5 kN/mm`
    rf"(?<![\d.,])\d[\d.,]*\s?(?P<one>mm|cm|in)\b\s*(?:=|≙|≘|≅|:|→|->|stands? for|represents?|is"
    rf"|entspr\w+|corresponds? to|pour|para|per|voor|na)\s*\d[\d.,]*\s?{_FORCE}(?![\w/·*])"
    rf"|\d\s?{_FORCE}\s?(?:=|≙|≘|≅)\s*\d[\d.,]*\s?(?P<two>mm|cm|in)\b(?!\s?[·*/])"
    rf"|(?:scale|ma(?:ß|ss)stab|[ée]chelle|scala|escala|skala|schaal|měřítko)\b[^=\d]{{0,20}}=?\s*"
    rf"\d[\d.,]*\s?{_FORCE}\s?(?:/|per|pro|je|par|por)\s?(?P<three>mm|cm|in)\b",
    re.IGNORECASE,
)
_MATERIAL = ("σ", "τ", "ε", "λ", "δ")
_SUPPOSED = re.compile(
    r"\b(?:would|were|had it been|could have|wären?|würden?|hätten?|stünden?|serait|seraient|aurait"
    r"|sería[n]?|fuera[n]?|sarebbe(?:ro)?|fosse(?:ro)?|byłoby|byłaby|gdyby|seriam?|zou(?:den)?)\b",
    re.IGNORECASE,
)
_POLITE = re.compile(  # `we would get 6 B = …`: said of the task itself
    r"\b(?:we|one|you|I|man|wir) (?:would|could|würden?|hätten?) (?:then |also |dann )?"
    r"(?:get|have|obtain|find|write|erhalten|bekommen|finden)\b",
    re.IGNORECASE,
)
_IF = re.compile(
    r"\b(?:if|with|without|instead|had|otherwise|wenn|mit|ohne|falls|sonst|si|avec|sans|con|sin|se"
    r"|senza|gdyby|z|bez)\b",
    re.IGNORECASE,
)
_ROUGHLY = re.compile(
    r"\b(?:roughly|at a guess|rough estimate|estimated?|first guess|rule of thumb|ballpark|grob"
    r"|ungefähr|überschlägig|Schätzung|geschätzt|à peu près|grosso modo|a ojo|aproximadamente|circa"
    r"|z grubsza)\b",
    re.IGNORECASE,
)
_ANOTHER = re.compile(
    r"^\W*(?:position|variant|option|alternative|arrangement|Stellung|variante|posizione|posición"
    r"|opción|pozycja|wariant)\s?(?:[2-9]|[B-D]|II+)\b",
    re.IGNORECASE,
)
_FORMULAS = re.compile(
    r"\b(?:standard|generally|in general|formulae?|formulas|tables?|Formeln?|allgemein|Tabelle"
    r"|formules?|fórmulas?|formul[ae]|wz[oó]r\w*)\b",
    re.IGNORECASE,
)
_SENTENCE = re.compile(r"[.!?;]\s+(?=[^\W\d_])")
_ROUGH = 2
"""Significant figures of an estimate, at most."""
_BEHIND = re.compile(r"[^,;→⇒=]{0,14}")
PLAIN = (0.5, 1, 2, 3, 4, 5, 6, 8, 12, 16, 24, 48, 384)


def drawing_unit(text: str) -> str:
    """Return the unit of lengths on paper where a working gives the scale of its forces, or ''."""
    scale = _SCALE.search(text)
    return next((unit for unit in scale.groups() if unit), "") if scale else ""


def no_claim(relation: Relation, text: str, own: bool) -> Kind:
    """Tell why a relation of a line claims nothing of the figure, '' where it does.

    `own` tells whether all its names are the writer's own.
    """
    first = relation.sides[0]
    kind, roughly = _said(text, *relation.span, relation.sides[-1].span[0])
    if kind == "measure" or (_is_material(first) and not is_angle(relation.sides[1])):
        return "measure"
    if kind == "supposed" or (roughly and _is_rough(relation)):
        return "supposed"
    return kind if own and kind and all(map(_is_plain, relation.nodes)) else ""


def _is_plain(node: Expr) -> bool:
    """Tell whether a node is no number of the figure's: none, or one that formulas have."""
    written = isinstance(node, Num) and bool(node.text) and node.text not in ("π", "pi")
    return not written or (isinstance(node, Num) and node.value in PLAIN)


def _is_material(side: Expr) -> bool:
    """Tell whether a side is a stress, a strain and the like; the letters serve for angles too."""
    return isinstance(side, Name) and side.base[:1] in _MATERIAL


@lru_cache(maxsize=1024)
def _said(text: str, start: int, end: int, last: int) -> tuple[Kind, bool]:
    """Tell by a line's words and units what a relation in it may be, and whether it is a guess.

    Every pass over a working asks the same again.
    """
    behind = _BEHIND.match(text, end)
    if _MEASURE.search(text[last : behind.end() if behind else end]):
        return "measure", False
    breaks = [match.end() for match in _SENTENCE.finditer(text)]
    begins = max((at for at in breaks if at <= start), default=0)
    ends = min((at for at in breaks if at > start), default=len(text))
    sentence = text[begins:ends]
    supposed = _SUPPOSED.search(sentence) and (_IF.search(sentence) or not _POLITE.search(sentence))
    if supposed or _ANOTHER.search(text):
        return "supposed", False
    told = _FORMULAS.search(text) is not None or text.lstrip().startswith("|")  # a table's cell
    return "formula" if told else "", _ROUGHLY.search(sentence) is not None


def _is_rough(relation: Relation) -> bool:
    """Tell whether what a relation comes to is told with few figures, as an estimate is."""
    last = bare_number(relation.sides[-1])
    return isinstance(last, Num) and last.digits <= _ROUGH

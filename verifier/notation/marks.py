"""Marks beside a value or a line: (T), Druck, ↑, ✓, 'by inspection' and so on."""

import re
from dataclasses import dataclass

from verifier.notation.patterns import loose
from verifier.notation.source import Source
from verifier.notation.tree import Mark, MarkMeaning

_WORDS: dict[MarkMeaning, tuple[str, ...]] = {
    "tension": (
        "in tension", "tensile(?: force)?", "tension", "tensioned", r"tens\.?", "ties?",
        "tie[ -]?bars?", "(?:auf )?Zug(?:kraft|stab|stäbe)?", "zugbeansprucht",
        "(?:en |à la |de )?traction", "(?:en |a |de )?tracci[óo]n", "(?:en |a )?tensi[óo]n",
        "traccionad[ao]s?", "(?:in |a |di )?trazione", r"traz\.?", r"trac\.?", "tirant[eis]{0,2}",
        "(?:na )?rozciąganie", "rozciągan[yaei]", "rozciągając[aye]", r"rozc\.?",
        "(?:(?:à|a|em) )?tração", "tracionad[ao]s?", "trek(?:staaf)?",
        "tah", "растяжение",
        "растянут", "розтяг", "pulling", "pull", "受拉", "拉", "引張",
        "拉力", r"tracc\.?", "tendue?s?", "tes[aoie]", "gezogen", "tendid[ao]", "растянута?",
        "pulls", "pulled", "stretched", "tažen[ýáé]", "zatezanje", "strekk",
        r"træk(?=\s*\))", r"drag(?=\s*\))", "dragstång",
    ),
    "compression": (
        "in compression", "compressive(?: force)?", "compression", "compressed", r"compr?\.?",
        "struts?", "(?:in )?thrust", "(?:auf )?Druck(?:kraft|stab|stäbe)?", "druckbeansprucht",
        "(?:en |à la |de )compression", "(?:en |a |de )?compresi[óo]n",
        "(?:in |a |di )?compressione", "punton[ei]", "bielle", "puntal(?:es)?", "(?:na )?ściskanie",
        "ściskan[yaei]",
        "ściskając[aye]", r"ścisk\.?", "(?:(?:à|a|em) )?compressão", "druk(?:staaf)?",
        "pushes", "pushed", "pressed", "squeezed",
        "tlačen[ýáé]", "pritisak", "tryckt?", "trykk", r"tryk(?=\s*\))", "tlak", "сжатие", "сжат",
        "стиск", "pushing", "push", "受压", "压",
        "圧縮", "压力", "comprimée?s?", "compress[aoie]", "gedrückt", "comprimid[ao]s?", "сжата?",
    ),
    "up": ("↑", r"\^(?=\s*$)", "upwards?", r"up(?!\s(?:its|their|along|by|to)\b)", "vers le haut",
           "nach oben", "hacia arriba",
           "verso l'alto", "(?:w|do|ku) gór(?:ę|y|ze)", "para cima", "omhoog", "naar boven",
           "uppåt", "oppover", r"opp(?=\s*\))", "opp?ad",
           "nahoru", "gore", "вверх", "上向き", "向上"),
    "down": ("↓", "downwards?", r"down(?!\s(?:its|their|along|by|to)\b)", "vers le bas",
             "nach unten", "hacia abajo",
             "verso il basso", "(?:w|do) d(?:ół|ołu)", "para baixo", "omlaag",
             "naar beneden", "nedåt", "nedover", r"ned(?=\s*\))", "nedad",
             "dolů", "dolje", "вниз", "下向き", "向下"),
    "left": ("←", "<-", "to (?:the )?left", "leftwards?",
             r"left(?!\s(?:part|side|half|hand|piece|portion|end|leg)\b)", "nach links",
             "(?:vers la|à) gauche", "(?:hacia|a) (?:la )?izquierda", "(?:a|verso) sinistra",
             "w lewo", "para a esquerda", "naar links", "åt vänster", "(?:mot|mod|til) venstre",
             "doleva", "влево",
             "左向き", "向左"),
    "right": ("→", "->", "to (?:the )?right", "rightwards?",
              r"right(?!\s(?:part|side|half|hand|piece|portion|end|leg)\b)", "nach rechts",
              "(?:vers la|à) droite", "(?:hacia|a) (?:la )?derecha", "(?:a|verso) destra",
              "w prawo", "para a direita", "naar rechts", "åt höger",
              "(?:mot|mod|til) h[øö](?:yre|jre)", "doprava", "вправо",
              "右向き", "向右"),
    "anticlockwise": ("↺", r"anti-?clockwise", "counter-?clockwise", r"a\.?c\.?w\.?",
                      r"c\.?c\.?w\.?", "(?:ent)?gegen de[nm] Uhrzeigersinn", "linksdrehend",
                      "mot klokka", "mod uret", "moturs",
                      "antihoraire", "antiorario", "antihorario", "sens trigonométrique",
                      "przeciwnie do ruchu wskazówek(?: zegara)?"),
    "clockwise": ("↻", "clockwise", r"c\.?w\.?", "(?:im|mit dem) Uhrzeigersinn", "horaire",
                  "h?orario", "rechtsdrehend", "zgodnie z ruchem wskazówek(?: zegara)?"),
    "zero-force": ("zero[- ]force(?: members?)?", "no force", "unloaded",
                   "carries (?:nothing|no (?:force|load))", "trägt (?:nichts|keine Kraft)",
                   "Nullst[aä]be?",
                   "barres? nulles?", "barras? (?:de fuerza )?nulas?", "(?:asta )?scaric[ao]",
                   "(?:pręt )?zerow[yae]", "effort nul", "fuerza nula", "forza nulla",
                   "barre (?:inactive|non sollicitée)"),
    "inspection": ("by inspection", "from inspection", "obviously", "offensichtlich", "à vue"),
    "symmetry": ("(?:by|from|due to) symmetry", "symmetry", "symmetrical", "aus Symmetrie",
                 "par symétrie", "per simmetria", "por simetría", "z symetrii"),
    "check": ("✓", "OK", r"o\.k\.", "checks", "check", "correct", r"q\.?e\.?d\.?", "stimmt",
              "vérifié", "ok!"),
    "wrong": ("✗", "wrong", "not ok", "falsch", r"(?:no|nein|non)\s?!+", "nope", "oops"),
}  # fmt: skip
_ANY = "|".join(
    f"(?P<{name.replace('-', '_')}>{loose('|'.join(words))})" for name, words in _WORDS.items()
)
_MARK = re.compile(
    rf"(?P<open>[(\[{{]?)\s*(?:(?:i\.e\.?,?|so|hence|thus|acting|acts"
    rf"|is)\s+)?(?:(?i:{_ANY})(?![\w'])|(?P<letter>[TC]|(?:(?<=[(\[])|(?<=[(\[]\s))[tc]"
    r"|(?<=[(\[])in [TC](?=[)\]]))(?![\w'.]))"
    r"(?:\s(?:gerichtet|wirkend|direction)(?![\w']))?(?P<last>)(?:[,;]?\s?[+-](?=\s?[)\]]))?\s*(?P<close>[)\]}]?)"
)
_KIND_OF_BAR = re.compile(
    r"(?:struts?|ties?|tie[ -]?bars?|punton[ei]|tirant[eis]{0,2}|bielle|puntal(?:es)?)", re.I
)
_NO_MARK = ("", *"0123456789=+*/·×.√°)]}")
"""What no mark begins with."""
_BEFORE = re.compile(
    r"[\s,;:–-]*(?:(?:(?:and|so|hence|thus|therefore|also|somit|donc|quindi|luego|więc)\s+)?"
    r"(?:(?:(?:the|die|der|das|la|le|el|il|lo)\s+|l')?(?:member|bar|rod|force|reaction|Stab"
    r"|Kraft|barre|effort|force|réaction|barra|fuerza|reacción|asta|forza|reazione|pręt|siła"
    r"|stay|cable|rope|tie|strut|link|wire|chain|Seil|Strebe|hauban|câble|tirant|fune|cavo)"
    r"|it|this|es|sie|er|il|elle)"
    r"\s+(?:is|acts|pulls|points|must be|est|agit|ist|wirkt|zeigt|wird|è|agisce|es|está|actúa|jest"
    r"|działa)\s+)?(?:(?:and|so|i\.e\.?,?|acting|acts|is|on|d\.h\.|hence|thus|member|bar|barr[ea]|asta|pręt|Stab|стержень"
    r"|directed|pointing|dirigée?|orientée?|dirett[ao]|dirigid[ao]|gerichtet|skierowan[aey]"
    r"|zwrócon[aey]|(?:en |de )?sentido|(?:in |di )?senso|(?:dans le )?sens)\s+)*"
)


@dataclass(frozen=True)
class Found:
    """A mark in plain text: where it stands and what it means."""

    start: int
    end: int
    text: str
    meaning: MarkMeaning


def marks_at(source: Source, start: int, end: int) -> tuple[list[Mark], int]:
    """Return the marks that stand at plain column `start`, one after the other, and their end."""
    found: list[Mark] = []
    while start < end:
        mark = mark_at(source.text, start, end)
        if mark is None:
            break
        found.append(as_mark(source, mark))
        start = mark.end
    return _of_bars(found), start


def _of_bars(marks: list[Mark]) -> list[Mark]:
    """Leave out the kind of bar whose sense is told otherwise behind it: `strut in tension`."""
    return [
        mark
        for mark, behind in zip(marks, [*marks, None][1:], strict=True)
        if behind is None
        or {mark.meaning, behind.meaning} != {"tension", "compression"}
        or not _KIND_OF_BAR.fullmatch(mark.text.strip("([{ ,;"))
    ]


def mark_at(text: str, start: int, end: int) -> Found | None:
    """Find one mark at `start`, spaces and small words before it left out."""
    gap = _BEFORE.match(text, start, end)
    begins = gap.end() if gap else start
    # Where only spaces were left out, the pattern takes them itself: one try is enough.
    worded = begins > start and not text[start:begins].isspace()
    if not worded and text[begins : min(begins + 1, end)] in _NO_MARK:
        return None
    for place in (begins, start) if worded else (begins,):
        match = _MARK.match(text, place, end)
        if match is None or (match["open"] and not match["close"]):
            continue
        stop = match.end() if match["open"] or not match["close"] else match.end("last")
        stop = match.end("last") if not match["close"] else stop
        return Found(match.start(), stop, text[match.start() : stop], _meaning(match))
    return None


def as_mark(source: Source, found: Found) -> Mark:
    """Return a found mark as a node."""
    span = source.span(found.start, found.end)
    return Mark(span, source.line[span[0] : span[1]], found.meaning)


def _meaning(match: re.Match[str]) -> MarkMeaning:
    if letter := match["letter"]:
        return "tension" if letter[-1] in "Tt" else "compression"
    return next(name for name in _WORDS if match[name.replace("-", "_")] is not None)


def tail(text: str, start: int, end: int) -> int:
    """Return where the marks that close text[start:end] begin, `end` where there are none.

    Looks for the leftmost place from which only marks follow, in the last `_REACH` columns.
    """
    start = max(start, end - _REACH)
    for match in _SPOTS.finditer(text, start, end):
        spot = match.start()
        place = spot
        while place < end:
            mark = mark_at(text, place, end)
            if mark is None:
                break
            place = mark.end
        if place > spot and not text[place:end].strip(" .,;!"):
            return spot
    return end


_REACH = 120
_SPOTS = re.compile(
    r"(?<=[\w°)\]}²³'\"½#])(?:\s*(?=[(\[{]?(?:[↑↓→←↺↻✓✗]|->|<-|\^\s*$))|(?<=\d)(?=[TC]$)"
    r"|[\s,]+(?:-\s+)?(?=[(\[{]?[^\W\d])|\s*(?=[(\[]\s?[TCtc]))"
)

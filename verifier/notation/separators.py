"""Where a clause ends: the separators of a line, and those that stand for something else."""

import re

from verifier.notation.claims import ASSUME
from verifier.notation.leads import THAT_IS, YIELDS
from verifier.notation.marks import mark_at
from verifier.notation.names import Lexicon, canonical, is_known
from verifier.notation.numbers import Comma
from verifier.notation.sentences import awaits_value
from verifier.notation.words import UNIT_WORDS

_BREAK = re.compile(
    r"(?P<open>[(\[{])|(?P<close>[)\]}])|(?P<hard><=>|;|∴|∵|⇒|=>|⟹|:(?!=))|(?P<arrow>→"
    r"|-+>)|(?P<comma>,(?!(?:links|rechts|li|re|left|right|sx|dx|izq|der|[lrLRgd])\s?[-+=·*/)])(?=\s|[^\W\d]|$))"
    r"|(?P<wide>\t\s*|\s{3,}|(?:(?<==0)|(?<==\s0))\s+(?=[^\W\d_]\S{0,12}\s*=))|(?P<stop>\.\s+(?=[^\W\d_])|(?<=[a-zß-ÿ]{2})\.\s{2,}(?=[\d(+-]))"
    r"|(?P<word>(?<![\w_])(?:and so|and hence|and|so that|so|hence|thus|therefore"
    r"|giving|which gives|gives|yielding|yields|whence|from which|i\.e\.|ie|then|THAT_IS|"
    r"where|with|because|since|or|und|also|daraus folgt|daraus|folgt|donc|d'où|et"
    r"|soit|ainsi|alors|somit|folglich|daher|quindi|da cui|dunque|pertanto|perciò|luego|entonces|"
    r"por (?:lo )?tanto|de donde|de modo que|así que|więc|stąd|skąd|zatem|czyli|oraz|отсюда"
    r"|откуда|dus|tedy|dakle|также|и)(?:(?![\w_'])|(?<=\.[a-z]\.)(?=\d))"
    rf"|(?<![\w_])(?:{YIELDS})(?![\w_'])\s*:?(?=\s*\S{{1,12}}\s*=)"
    r"|(?<=\s)&(?=\s+[^\W\d]\S{0,12}\s*=)"
    r"|(?<=[)A-Za-z°]\s)[yei](?=\s+[A-Z\d√(][^=;]{0,30}=))".replace("THAT_IS", THAT_IS)
)
_JOINING = ("&", "y", "e", "i", "and", "or", "und", "et", "oder", "oraz", "и")
_ONE_NAME = re.compile(r"\s*[A-Z]\w{0,12}'?(?:_?\{\w{1,8}\})?\s*")
_NAME_EQUALS = re.compile(r"\s*[A-Z]\w{0,12}'?\s*=")
_FUNCTION_EQUALS = re.compile(r"\s*(?:sin|cos|tan|sen|tg)\s?\W?\w+\s*=")
_NAMES_ONLY = re.compile(
    r"\s*(?:[Mm]embers?|[Bb]ars?|[Ff]orces?|in)?\s*[A-Z]\w{0,12}'?(?:(?:\s*,\s*"
    r"|\s+and\s+)[A-Z]\w{0,12}'?){0,20}\s*"
)
_EACH_NAME = re.compile(r"[A-Z]\w*'?(?=\s*(?:,|and\b|$))")
_WORD = re.compile(r"[^\W\d_][^\W\d_A-Z]{2,}")
_DRESSED = re.compile(r"\s*(?![A-Z][a-z]{3,}\s*$)[A-Z]+_?\{?\w*\}?\s*")
_QUANTITY = re.compile(
    r"^\s*(?:the )?(?:vertical |horizontal )?(?:reactions?|force|tension|compression"
    r"|thrust|load|moment|"
    r"weight|resultant)\b[\w\s]{0,30}$",
    re.I,
)
_ONLY_MARKS = re.compile(
    r"\s*(?:in |a |an )?(?:ties?|struts?|tension|compression|zero[- ]force)\b[\s.]*", re.I
)
_VALUE = re.compile(r"\s*[-+]?\d[\d.,]*\s*[^\s\d+*/×·=(-]?\w*")
_GRADIENT = re.compile(r"\s*\d[\d.,]*\s(?:in|zu|sur|su|en|na)\s\d")  # BE: 2.5 in 3
RUN = re.compile(  # PR: 0.3 across and 0.4 down
    r"\s*\d[\d.,]*\s?(?:mm|cm|m|ft)?\s(?:across|along|down|up|out|over|long|high|wide|horizontal)\b"
)
_TWO_JOINTS = re.compile(r"[A-Z]\d?'?[A-Z]\d?'?")
_UNITED = re.compile(
    r"(?<![\w.,])\d[\d.,]*\s?(?:k?Nm?|kips?|lbs?|cm|mm|m|ft|in)\b(?:\s?[·*]?\s?m\b)?\s*(?:$|\s{3})"
)
_FORCE_BEHIND = re.compile(r"\d\s?(?:[kM]?N|kips?|lbs?)$")
_PROPORTION = re.compile(r"\s*[\w.,]+\s:\s[\w.,]+\s?=\s?[\w.,]+\s:\s[\w.,]+")  # AE : 12 = 2.5 : 1.5
_PROPORTION_BEGUN = re.compile(r"\s*[\w.,]+\s/\s[\w.,]+\s?=\s?[\w.,]+\s$")
_WHOLE_WORD = re.compile(
    r"(?<![\w.])(?!vert|hori|horz|tens|comp|resp|trac|rozc|oriz|perp|magn)"
    r"(?:[a-zß-ÿ]{4}|it|up|on|one|two|off|out|too|ab|an|aus|zu|us)$"
)
_SENTENCE = re.compile(r"[A-ZÀ-Þ][a-zß-ÿ]{2,}\s")
_CLAUSE = re.compile(r"[;,](?=\s)|\.\s")
_TOLD_IN_BRACKETS = re.compile(r"\([^()=]*=[^()=]*\)\s*$")
_DIVIDES = re.compile(r"(?:[\d)\]]|[\d\s](?:k?N|m|cm|mm|kNm))\s*$")


def clause_end(text: str, at: int, end: int, lex: Lexicon, comma: Comma) -> tuple[int, str]:
    """Return the column where the clause at `at` ends, and the text.

    A separator that stands for something else (`PR: 5.2 kN` says `PR = 5.2 kN`) is put as that, in
    its place.
    """
    depth = 0
    for match in _BREAK.finditer(text, at, end):
        kind = match.lastgroup
        if kind == "open":
            depth += 1
        elif kind == "close":
            depth = max(0, depth - 1)
        elif match.start() > at and (depth == 0 or (kind == "hard" and match.group() in ";∴⇒")):
            start, stop = match.span()
            told = _told(match, text[at:start], text[stop:end], lex, comma)
            if told is True:
                return start, text
            if told:
                text = text[:start] + told.ljust(stop - start) + text[stop:]
    return end, text


def _told(match: re.Match[str], before: str, after: str, lex: Lexicon, comma: Comma) -> bool | str:
    """Tell whether a separator ends the clause, or return the sign that it stands for."""
    kind, written = match.lastgroup, match.group()
    if kind in ("comma", "word") and "=" not in before and ASSUME.match(before):
        return kind == "comma" and bool(_FUNCTION_EQUALS.match(after))
    if kind == "comma" and _NAMES_ONLY.fullmatch(before):
        if "=" not in after.partition(";")[0]:
            return False
        named = _NAME_EQUALS.match(after)
        if named and not _is_word(before.strip(), lex):
            return "=" if _alike(before, named.group(), lex) else True
    if kind == "word" and written in _JOINING:
        return "=" in before
    waits = kind == "word" and "=" not in before and bool(_VALUE.match(after))
    if waits and (awaits_value(f"{before} {written}", lex) or awaits_value(before, lex)):
        return False
    if written == ":":
        return _colon(before, after, lex, comma)
    if written in ("→", "=>", "⇒", "->") and _ONE_NAME.fullmatch(before):
        if only_marks(after):
            return " "
        if _says(before, after, lex):
            return "="
    return _ends(match, before, after, lex)


def _is_word(text: str, lex: Lexicon) -> bool:
    """Tell whether a lone writing before a comma is a word that leads on: `Así, A_y = 8`."""
    return bool(_WORD.fullmatch(text)) and not is_known(canonical(text), lex)


def _alike(before: str, after: str, lex: Lexicon) -> bool:
    """Tell whether names before a comma may share the value behind the next: `A_y, B_y = 6 kN`.

    Names in unlike dress only stand in one list: `Forces: A_y, B_y, Q = 3·6 = 18 kN`.
    """
    names = _EACH_NAME.findall(f"{before},{after.rstrip(' =')}")
    dressed = {(len(name) > 1, "_" in name) for name in names}
    return len(dressed) < 2 or all(lex.pair(canonical(name)) is not None for name in names)


def _colon(before: str, after: str, lex: Lexicon, comma: Comma) -> bool | str:
    if (only_marks(after) and _NAMES_ONLY.fullmatch(before)) or ASSUME.fullmatch(before):
        return False
    if _PROPORTION.match(f"{before}:{after}") or _PROPORTION_BEGUN.match(before):
        return "/"
    if comma == "decimal" and _divides(before, after):
        return "/"
    reckons = "=" in _CLAUSE.split(after, maxsplit=1)[0]  # `Pivot E: 180 − 51.4 = 128.6 N`
    if "=" not in before and not reckons and _VALUE.match(after) and awaits_value(before, lex):
        return " "
    return "=" if _says(before, after, lex) else True


_OPEN_ENDED = frozenset("=+-−–·×*/(")
_WIDE = 3
_CLOSED = frozenset("0123456789)]°")
_OUTPUT = re.compile(r"[-+−]?\s?\d[\d.,]*\s?(?:[^\W\d_][\w·*./^²]{0,8}|°)?(?:\s+\S{1,3})?\s*$")
"""A column of outputs beside the reckoning: `= 12.8/2.308        5.55 kN (T)`."""


def _ends(match: re.Match[str], before: str, after: str, lex: Lexicon) -> bool:
    """Tell whether an arrow, a gap or a full stop ends the clause; any other separator does."""
    match match.lastgroup:
        case "arrow":
            return bool(re.match(r"\s*(?:[\w(√+½-]|\.\d)", after)) and bool(before.strip())
        case "wide":
            columns = _UNITED.search(before) and _UNITED.match(after)  # `= 8 kN      2 m`
            goes_on = bool(re.match(r"[^\s=+×*/·-]", after)) and "=" in after
            waits = before.rstrip()[-1:] in _OPEN_ENDED  # `A = ~~8~~ 9 kN; B = 2 kN`
            if "=" not in before:
                return False
            apart = _OUTPUT.match(after) and before[-1:] in _CLOSED
            return not waits and (goes_on or bool(columns) or bool(apart))
        case "stop":
            if len(match.group()) > _WIDE and _NAME_EQUALS.match(after):
                return True  # `5 kN at C.        A_3 = 2 kN`
            if (
                before.rstrip(".")[-1:].isdigit()
                and after.split(" ", 1)[0].rstrip(".,;") in UNIT_WORDS
            ):
                return False
            short = re.search(r"(?:^|[\s(.])[^\W\d_]{1,4}$", before)
            if short and lex.pair(canonical(before.split()[-1].strip("(."))) is not None:
                short = None  # `θ is the inclination of BC. tan θ = 1/2`
            begins = _SENTENCE.match(after) or _NAME_EQUALS.match(after)
            if _WHOLE_WORD.search(before) and (begins or not after[:1].isalpha()):
                short = None  # `the stay is 10 m long. Perpendicular distance …`
            united = re.search(r"\d\s?[^\W\d_]{1,4}$", before) and after[:1].isupper()
            return before[-1:] != " " and (not short or "=" in before or bool(united))
    return True


def _says(before: str, after: str, lex: Lexicon) -> bool:
    """Tell whether `PR: 5.2 kN (T)` says that the name has the value."""
    named = is_known(canonical(before.strip()), lex) or bool(
        _DRESSED.fullmatch(before) or _QUANTITY.search(before)
    )
    value = _VALUE.match(after) and not _GRADIENT.match(after)
    if value and RUN.match(after) and _of_bar(before.strip(), lex):
        return False
    return named and bool(value) and "=" not in after.partition(";")[0]


def _of_bar(text: str, lex: Lexicon) -> bool:
    """Tell whether a writing names a bar of the sheet, or may where there is none."""
    return lex.pair(canonical(text)) is not None or bool(lex.bare and _TWO_JOINTS.fullmatch(text))


def _divides(before: str, after: str) -> bool:
    """Tell whether a colon divides, as continental schools write it: `= 24 kN·m : 6 m`."""
    last = before.rpartition("=")[2].strip()
    return (
        "=" in before
        and last != "0"
        and not _TOLD_IN_BRACKETS.search(before)  # `in Q (s = 6 m): 36 + 12`
        and not (_FORCE_BEHIND.search(before) and after[:1] == " ")  # `= 10 kN: 6 kN, 8 kN`
        and bool(_DIVIDES.search(before))
        and bool(re.match(r"\s*[\d(]", after))
    )


def only_marks(text: str) -> bool:
    """Tell whether text says nothing but a sense: 'tension', 'a strut', 'zero-force member'."""
    if _ONLY_MARKS.fullmatch(text):
        return True
    mark = mark_at(text, 0, len(text))
    told = mark is not None and mark.meaning in ("tension", "compression", "zero-force")
    return mark is not None and told and not text[mark.end :].strip(" .")

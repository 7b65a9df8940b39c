"""A whole working → its lines, with what only the whole can tell."""

import re
from collections.abc import Callable, Iterator
from dataclasses import replace

from verifier.notation import cells, document, inner, labels_behind, tables
from verifier.notation import source as sources
from verifier.notation.bullets import counted
from verifier.notation.commas import comma_by_sums, either
from verifier.notation.context import Setting
from verifier.notation.latex import Macros, looks_like, translate
from verifier.notation.lines import read_source
from verifier.notation.markup import typed
from verifier.notation.numbers import Comma
from verifier.notation.smallmarks import small_marks
from verifier.notation.source import Source
from verifier.notation.tree import Line, Names, Prose, Relation, Unread

_DECIMAL_COMMA = re.compile(r"(?<![\d.,])(?:\d+,\d{1,2}|0,\d+|\d{4,},\d+|\d+,\d{4,})(?![\d,]|\.\d)")
_OPEN_COMMA = re.compile(r"[1-9]\d{0,2},\d{3}(?!\d)")
_CONTINENTAL = re.compile(
    r"[àáâãçèéêëìíîïñòóôõùúûäöüßąćęłńśźżščřžåøæ]|(?<![\w])(?:sen|tg|arctg)(?![\w])"
)
"""Writing of people who put a comma before decimals."""
_POINT = re.compile(r"(?<![\d.,])\d+\.\d+(?![\d.,]*\d)")
_GROUPED = re.compile(r"(?<![\d.,])\d{1,3}(?:,\d{3})+(?:\.\d+|,\d{3})")
_TAG_NEAR = re.compile(r"=.*\s[(\[](\d{1,2})[)\]]\s*\.?$")
_LETTER_NEAR = re.compile(r"=.*\s\(([a-z*]|[IV]{1,3})\)\s*\.?$")
_CITED = re.compile(
    r"(?:from|eqn?s?\.?|equations?|into|in|and|sub\w*\.?|using|Gl\.?|aus|de|da|z|add(?:ing)?)\s*"
    r"\((\d{1,2})\)(?!\s*[=+*/×·-])",
    re.I,
)
_OWN_N = re.compile(
    r"(?<![\d.,\])][ \t])(?<![\w.,])N\s*=\s*[-+(√\w]|(?<![\w.])N\s?(?:cos|sin|sen)(?![^\W\d_])"
    r"|(?<![\w.,]\s)(?<![\w.,])N\s+(?:hacia|verso|nach|vers|up|down|posit|w\s(?:gór|dół|lewo|prawo))"
)
_OWN_T = re.compile(r"(?m)(?:^|[(;:,∴⇒]|\band\b|=>|->)[^\S\n]*t\s*=\s*[-+(√\d]")  # no tonne
_OWN_K = re.compile(r"(?m)(?:^|[(;:,∴⇒]|\band\b|=>|->)[^\S\n]*k\s*=\s*[-+(√]?\s?\d")  # no kip
_P_TIMES_A = re.compile(r"\d\s?Pa(?![\w])")  # the moment of a load P, and no pascals
_OWN_PA = re.compile(
    r"(?<![\w.])P\s?[·*(]?\s?a(?![\w])|(?<![\w.])P and a(?![\w])"
    r"|\d\s?a(?![\w])[^\n]{0,200}\dP(?!\w)"
)
_IN_KIPS = re.compile(r"\d\s?(?:FT-K|K-FT|KIP-FT|K-IN|IN-K)(?![\w])")
_IN_NEWTONS = re.compile(r"\d\s?N(?![\w·])")
_N_IN_KN = re.compile(r"(?<![\d.,\])][ \t])(?<![\w.,])N\s*[=≈][^\n;:⇒→∴]{0,200}?\d\s?kN(?![\w·])")
_OWN_O = re.compile(
    r"(?m)(?<![\w.,])O\s?=\s?-?\s?(?:[A-Z](?:\w|_\{?\w+\}?)*(?=\s*(?:$|[,;:⇒→(]))|\d)"
    r"|(?<![\w.,])O\s?(?:[·*×]\s?|\()\d|(?<![\d.,])\d[\d.,]*\s?[·*×]?\s?O(?![\w.,])"
)
_ACROSS, _UPRIGHT = (re.compile(rf"\b([FTPRQS]){axis}\b") for axis in "hv")
_OWN_PULL = re.compile(  # T is a force here, and T behind a value no label
    r"(?m)(?:(?:^|[;:,•*∴⇒]|=>)[^\S\n]*|\b(?:so|hence|thus|daher|donc|quindi|luego|więc)\s)(T|C)\s*[=≈]"
    r"\s*[-(]?\s?\d"
)
_OWN_Y = re.compile(r"(?m)(?:^|[+=(]|[-–−]\s)\s?Y\s*(?:[+=·*×]|$)|X\s?[-+]\s?Y\b")
_LETTERED = re.compile(r"=.*(?:\s{2,}|[.…⋯]\s*|--\s*)\([aAbBdD]\)\s*$")
_OPEN_END = re.compile(
    r"(?<![-=*<])[-+×*·/(]\s*$"
    r"|(?:[\d)\]°]|\b(?:k?N|mm?|cm|ft|kips?|k|lbs?))\s[xX]\s*$"
)
_EQUALS_FIRST = re.compile(r"\s*(?:=(?![>=])|≈)\s*\S")
_LAST_STEP = re.compile(
    r"\s*(?:[⇒⟹→∴;]|=>|->)\s*|(?:^|[\s,]\s*)(?:d'où|donc|soit|daraus|also|somit|folglich|hence|so|thus"
    r"|so that|therefore|giving|which gives|da cui|quindi|cioè|luego|de donde|por tanto|stąd|zatem"
    r"|czyli|więc)\s+"
)
_SIDE = re.compile(r"[-+]?\s?(?:[\w½√({]|[.,]\d)[^=:;≈]*")
_LONG_WORD = re.compile(r"[^\W\d_]{5,}|(?<![\w_])(?!sin|cos|tan|sen|sqrt)[a-zà-ÿ]{3,}(?![\w_])")
_FORCE_N = re.compile(r"(?m)(?:^|[;:,•*∴⇒])[ \t]*N\s*[=≈]")  # N is a force here, not a newton
_TURNED_N = re.compile(r"(?m)(?:^|[;:,∴⇒=+]\s|[-−–]\s)[ \t]*N\s?(?:[·*×]\s?\d|\(\d)")
_DASHED = re.compile(r"\s*[-–]\s+\S")
_DASHED_WORD = re.compile(r"\s*[-–]\s+(?:[^\W\d_]{4,}|Σ|[(\[]?[↑→↓←↺↻]|[A-Z]\d?[↺↻])")
_POINTED_WORD = re.compile(r"\s*([*·◦▪■□◆►▶▸‣])\s+(?:[^\W\d_]|Σ|[(\[]?[↑→↓←↺↻])")
_SUM_ALONE = re.compile(
    r"^\s*(?:(?:[↺↻→↑+\s]*Σ[^=:]{1,20}(?:=\s*0)?\s*(?:\([^()\w]{1,8}\))?[^=\w(]{0,8}|[^=:]{1,40}:))?\s*[-+\w(½√][^=:;]*$"
)
MOST_LINES = 20_000
MOST_CHARACTERS = 1_000_000


def comma_of(text: str) -> Comma:
    """Tell how a working uses the comma in numbers: by those that can be read in one way only."""
    commas = len(_DECIMAL_COMMA.findall(text))
    points = len(_POINT.findall(text)) + len(_GROUPED.findall(text))
    if commas > points:
        return "decimal"
    return "thousands" if points else "open"


def tags_near(texts: list[str]) -> bool:
    """Tell whether `(1)` behind one space at a line's end is an equation's number here.

    It is where the numbers run 1, 2, 3 … down the working, or where words refer to them, and where
    letters run a, b … or I, II … there.
    """
    letters = [m.group(1) for m in map(_LETTER_NEAR.search, texts) if m]
    if letters[:2] in (["a", "b"], ["I", "II"]):
        return True
    ends = [int(m.group(1)) for m in map(_TAG_NEAR.search, texts) if m]
    if not ends:
        return False
    cited = {int(n) for text in texts for n in _CITED.findall(text)}
    return ends == list(range(1, len(ends) + 1)) and (len(ends) > 1 or bool(cited & set(ends)))


def dashed(texts: list[str]) -> tuple[bool, bool]:
    """Tell whether `- ` at the start of lines sets a list here, and whether it surely does.

    It does where most lines have it or some have it before words; surely where most of those that
    have it have it before words or labels.
    """
    rows = [text for text in texts if text.strip()]
    marked = [row for row in rows if _DASHED.match(row)]
    worded = sum("=" not in row or bool(_DASHED_WORD.match(row)) for row in marked)
    listed = len(marked) > 1 and (2 * len(marked) > len(rows) or worded > 0)
    return listed, listed and 2 * worded > len(marked)


def points(texts: list[str]) -> str:
    """Return the characters that set lists here: those that stand before words or labels."""
    return "".join({match.group(1) for match in map(_POINTED_WORD.match, texts) if match})


def read_working(text: str, names: Names, latex: bool | None = None) -> tuple[Line, ...]:
    """Read a working: one `Line` for every line that is not blank, numbered as in the file.

    `latex` says that the text is LaTeX throughout; else the text tells. What only the whole can
    tell is decided here: how commas are used, whether `(1)` at a line's end numbers it, chains and
    sums that run over lines, and what LaTeX defines. A sum that breaks off at an operator is read
    with the line that completes it: the first line is words, and the second holds it as `above`.
    """
    lines, _, _ = _read(text, names, latex)
    return lines


def _read(text: str, names: Names, latex: bool | None) -> tuple[tuple[Line, ...], Names, Setting]:
    """Read a working; return its lines, the names as used in it, and what the whole tells."""
    if _FORCE_N.search(text) or _TURNED_N.search(text):
        names = replace(names, extra=names.extra | {"N"})
    if names.units[0] == "N" and _IN_KIPS.search(text):  # no sheet: K is a kip here
        names = replace(names, units=("kip", "ft"))
    rows = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    whole = bool(latex) or document.is_latex(text)
    macros = document.macros(text) if "\\" in text else Macros()
    shown = list(document.rows(rows, whole))
    plain = [_source(row, kind, whole, macros) for _, row, kind in shown]
    plain = small_marks(tables.laid_out(cells.laid_out(plain), shown), names)
    texts = [item.text for item, (_, _, kind) in zip(plain, shown, strict=True) if kind == "line"]
    joined = "\n".join(texts)
    newtons = names.units[0] == "N" and not (names.letters and not _IN_NEWTONS.search(joined))
    if newtons and _N_IN_KN.search(joined):  # N is a force, and measured in kilonewtons
        newtons, names = False, replace(names, units=("kN", names.units[1]))
    if not newtons and _OWN_N.search(joined):
        names = replace(names, extra=names.extra | {"N"})
    if _P_TIMES_A.search(joined) and _OWN_PA.search(joined):
        names = replace(names, extra=names.extra | {"P", "a"})
    if names.units[0] != "kip" and _OWN_K.search(joined):
        names = replace(names, extra=names.extra | {"k"})
    if names.units[0] not in ("t", "Ton") and _OWN_T.search(joined):
        names = replace(names, extra=names.extra | {"t"})
    for letter in {*_OWN_PULL.findall(joined)} - names.letters - names.joints:
        names = replace(names, extra=names.extra | {letter})
    for letter in {*_ACROSS.findall(joined)} & {*_UPRIGHT.findall(joined)}:
        names = replace(names, extra=names.extra | {f"{letter}h"})  # no product F·h beside F_v
    if "Y" not in names.letters and _OWN_Y.search(joined):
        names = replace(names, extra=names.extra | {"Y"})  # X and Y for two forces, no Spanish `y`
    if "O" not in names.letters and _OWN_O.search(joined):
        names = replace(names, extra=names.extra | {"O"})  # a bar of the top chord, no nought
    if functions := inner.functions_of(joined):
        names = replace(names, extra=names.extra | functions)
    comma = comma_of(joined)
    lettered = any(map(_LETTERED.search, texts))
    setting = Setting(
        comma, tags_near(texts), *dashed(texts), points(texts), lettered, counted(texts)
    )
    lines = tuple(_lines(shown, plain, setting, names))
    if comma == "open" and _OPEN_COMMA.search(joined):
        told = comma_by_sums(lines)
        own = "decimal" if told == "open" and _CONTINENTAL.search(joined) else told
        setting = replace(setting, comma=own)
        if own != "open":
            read = tuple(_lines(shown, plain, setting, names))
            lines = read if told != "open" else tuple(map(either, read, lines))
    return labels_behind.put_first(lines), names, setting


def line_reader(text: str, names: Names) -> Callable[[str, int], Line]:
    r"""Return what reads a single line as it is read in a whole working: commas, names, numbers.

    >>> line_reader("P = 2,75 kN\nR = 5,5 kN", Names())("P = 2,753 kN", 1).reads_as
    'P = 2.753 kN'
    """
    _, known, setting = _read(text, names, None)

    def read(row: str, number: int) -> Line:
        source = translate(row) if looks_like(row) else typed(row)
        return read_source(source, number, known, setting)

    return read


def _source(row: str, kind: str, whole: bool, macros: Macros) -> Source:
    if kind == "frame":
        return sources.plain(row)
    return translate(row, macros) if whole or looks_like(row) else typed(row)


def _lines(
    shown: list[tuple[int, str, str]], plain: list[Source], setting: Setting, names: Names
) -> Iterator[Line]:
    held: Source | None = None
    rows: tuple[tuple[int, str], ...] = ()
    carried = False
    spent = 0
    for index, ((number, row, kind), source) in enumerate(zip(shown, plain, strict=True)):
        spent += len(row)
        beyond = index >= MOST_LINES or spent > MOST_CHARACTERS
        if kind == "frame" or not source.text.strip() or beyond:
            yield _frame(number, row, beyond and kind != "frame")
            continue
        if held is not None and _STRUCK.fullmatch(source.text):
            yield replace(read_source(source, number, names, setting, False), text=row)
            continue
        below = _below(index, shown, plain)
        goes_on = below < len(shown) and (
            _breaks_off(source, held, shown[below][2])
            or _goes_on_below(source, plain[below], shown[below][2])
            or (held is not None and _lists_on(source, plain[below], shown[below][2]))
            or (not setting.bulleted and _is_finished_below(source, plain[below], shown[below][2]))
        )
        rows = rows if held else ()
        joined = _join(held, source) if held else source
        if goes_on and len(joined.text) < 4000:
            held, rows = joined, (*rows, (number, row))
            yield Line(number, row, (Prose(_extent(row)),))
            continue
        above = joined
        following = plain[below] if below < len(shown) else None
        cut = _left_side(joined, following, shown[below][2]) if following else None
        if cut:
            joined = _until(joined, cut[0])
        line = replace(read_source(joined, number, names, setting, carried), text=row, above=rows)
        if cut:
            rest = Prose(above.span(cut[1], len(above.text.rstrip())))
            held, carried, rows = _from(above, cut[1]), False, (*rows, (number, row))
            yield replace(line, parts=(*line.parts, rest))
            continue
        if held and any(isinstance(part, Unread) for part in line.parts):
            alone = read_source(source, number, names, setting, carried)
            if not any(isinstance(part, Unread) for part in alone.parts):
                line = alone  # what stands above was whole, or words
        held = None
        carried = source.text.rstrip().endswith("=") and isinstance(_last(line), Relation)
        yield line if line.parts else _frame(number, row, False)


def _below(index: int, shown: list[tuple[int, str, str]], plain: list[Source]) -> int:
    """Return the place of the line below; lines struck out as a whole are passed over."""
    below = index + 1
    while below < len(shown) and shown[below][2] == "line" and _STRUCK.fullmatch(plain[below].text):
        below += 1
    return below


def _left_side(source: Source, below: Source, kind: str) -> tuple[int, int] | None:
    """Find `1,3 X` at a line's end where the next line goes on with its `=`.

    Returns where the line's own equations end and where the side begins that belongs to the next.
    """
    if kind != "line" or not _EQUALS_FIRST.match(below.text):
        return None
    text = source.text.rstrip(" ;\t")
    last = None
    for last in _LAST_STEP.finditer(text):  # noqa: B007 — the last one is wanted
        pass
    if last is None or "=" not in text[: last.start()]:
        return None
    side = text[last.end() :]
    fits = _SIDE.fullmatch(side) and not _LONG_WORD.search(side)
    return (last.start(), last.end()) if fits else None


def _until(source: Source, end: int) -> Source:
    """Return a source without what stands from plain column `end` on."""
    starts, ends = _places(source)
    return Source(source.line, source.text[:end], starts[:end], ends[:end])


def _from(source: Source, start: int) -> Source:
    """Return a source without what stands before plain column `start`."""
    starts, ends = _places(source)
    return Source(source.line, source.text[start:], starts[start:], ends[start:])


def _places(source: Source) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Return where each plain character of a source begins and ends in its line."""
    many = len(source.text)
    return source.starts or tuple(range(many)), source.ends or tuple(range(1, many + 1))


def _last(line: Line) -> object:
    return line.parts[-1] if line.parts else None


def _frame(number: int, row: str, beyond: bool) -> Line:
    if beyond:
        reason = f"only {MOST_LINES} lines and {MOST_CHARACTERS} characters are read"
        return Line(number, row, (Unread(_extent(row), 0, reason, "too long"),))
    return Line(number, row, (Prose(_extent(row)),))


def _extent(row: str) -> tuple[int, int]:
    return (len(row) - len(row.lstrip()), len(row.rstrip()) or len(row))


def _breaks_off(source: Source, held: Source | None, following: str) -> bool:
    """Tell whether a line's sum goes on in the next line: it ends at an operator."""
    text = source.text.rstrip().rstrip(";").rstrip()
    if following != "line" or not _OPEN_END.search(text):
        return False
    return bool(
        re.search(r"[\w)]\s*[-+=*/×·]\s*[\w(]", text) or re.search(r"\d|=", text)
    ) and not re.search(
        r"\+\s*\)?$|→\s*\+$|[↑↺↻]\s*\+$", text[-3:] * ("Σ" in text or len(text) < 4)
    )


_DEEPER = re.compile(r"(?P<indent>\s{2,})[-+−]\s*[\w(½√.]")
_STRUCK = re.compile(r"\s*~~[^~]*~~\s*")
_WORKED_OUT = re.compile(r"\s*[^\W\d]\w*\s*=\s*[^=≈]*[\w)]\s*[-+−×·∙*(/][^=≈]*[\w)]\s*")
_MEASURE = re.compile(r"\b(?:[kM]?N|kips?|lbf?|kgf|[cm]?m|ft|in|s[ei]n|cos|tan)\b")
_OPEN_SUM = re.compile(r"^[^=]*=\s*0\s*[;:,]\s*[^=]*\w\s*[-+−×·*]\s*[^=]*$")
_TO_ZERO = re.compile(r"\s*[-+−][^=]*=\s*0(?![\d.,]*\d)")
_LEADS_ON = re.compile(r"[⇒⟹→]|=>|->|∴|,\s[a-z]")


def _goes_on_below(source: Source, below: Source, kind: str) -> bool:
    """Tell whether an equation goes on in the next line, set in deeper and begun with its sign."""
    deeper = _DEEPER.match(below.text)
    indent = len(source.text) - len(source.text.lstrip())
    if kind != "line" or not deeper or len(deeper["indent"]) < indent + 2:
        return False
    first = _LEADS_ON.split(below.text, maxsplit=1)[0]
    if "=" in first:  # `M = 306 + 294·2,8` and below it `+ 117,6 = 1247`: still to be worked out
        if _OPEN_SUM.search(source.text) and _TO_ZERO.match(first):
            return True  # `ΣM(A)=0; S·0,4 − 3` and below it `+ 15·0,5 = 0`
        begun = _WORKED_OUT.fullmatch(_LEADS_ON.split(source.text)[-1])
        return begun is not None and not re.search(
            r"[^\W\d_]", _MEASURE.sub("", first.partition("=")[0])
        )
    return "=" in source.text


def _lists_on(source: Source, below: Source, kind: str) -> bool:
    """Tell whether a sum that went on in a line, `+ 6·5`, goes on below as deep, or ends there."""
    here, there = (_DEEPER.match(one.text) for one in (source, below))
    indent = len(below.text) - len(below.text.lstrip())
    if kind != "line" or here is None or "=" in source.text:
        return False
    if there is not None and "=" not in below.text:
        return len(there["indent"]) == len(here["indent"])
    return indent >= len(here["indent"]) and _EQUALS_FIRST.match(below.text) is not None


def _is_finished_below(source: Source, below: Source, kind: str) -> bool:
    """Tell whether a sum without `=` is finished by the next line, which starts with its sign."""
    begun = re.match(r"\s*[-+]\s*[\w(½√.]", below.text) or _EQUALS_FIRST.match(below.text)
    if kind != "line" or not begun or "=" not in below.text:
        return False
    text = source.text.rstrip(" ;\t")
    last = text.rpartition(":")[2].rpartition("= 0")[2]
    named = _EQUALS_FIRST.match(below.text) is None or re.search(r"[^\W\d_]", last)
    sums = re.search(r"\w\s*[-+×*·(]\s*\w|\d", last)
    return bool(_SUM_ALONE.match(text)) and bool(sums) and bool(named)


def _join(held: Source, source: Source) -> Source:
    """Put what a line above left open in front of the line that completes it."""
    text = held.text.rstrip().rstrip(";")
    (starts, ends), (own_starts, own_ends) = _places(held), _places(source)
    gap, beyond = len(held.line), len(held.line) + 1
    return Source(
        f"{held.line}\n{source.line}",
        f"{text} {source.text}",
        (*starts[: len(text)], gap, *(at + beyond for at in own_starts)),
        (*ends[: len(text)], beyond, *(at + beyond for at in own_ends)),
    )

"""A whole line → its parts: labels, headings, equations, marks, words, each in its place."""

import re
from dataclasses import replace

from verifier.notation import render
from verifier.notation.claims import ASSUME
from verifier.notation.clauses import clause
from verifier.notation.context import Context, Setting
from verifier.notation.headings import heading_at
from verifier.notation.labels import Found, label_at
from verifier.notation.latex import looks_like, translate
from verifier.notation.marks import mark_at
from verifier.notation.markup import typed
from verifier.notation.names import Lexicon, canonical, is_known, lexicon
from verifier.notation.patterns import loose
from verifier.notation.references import cite_at
from verifier.notation.source import Source
from verifier.notation.tree import (
    Add,
    Expr,
    Heading,
    Line,
    Mark,
    MarkMeaning,
    Name,
    Names,
    Neg,
    Part,
    Prose,
    Reference,
    Relation,
    Struck,
    SumLabel,
    Unread,
)
from verifier.notation.words import UNIT_WORDS

LONGEST = 2_000
_SPACE = re.compile(r"[\s;,:]*(?:\.(?=\s|$|[A-Z]))?[\s;,:]*")
_LEADS_ON = re.compile(r"(?:<=>|∴|∵|⇒|=>|->|→|⟹|--+>)\s*")
_THAT_IS = (
    r"that is(?: to say)?|namely|c\.?\s?-?[àa]-?\s?d\.?|c'est[- ]à[- ]dire|d\.\s?[hi]\.|das heißt"
    r"|tzn\.?|tj\.|to znaczy|es decir|o sea|cioè|cioe|ossia|ovvero|т\.\s?е\.|то есть|即"
)
_BREAK = re.compile(
    r"(?P<open>[(\[{])|(?P<close>[)\]}])|(?P<hard><=>|;|∴|∵|⇒|=>|⟹|:(?!=))|(?P<arrow>→"
    r"|-+>)|(?P<comma>,(?=\s|[^\W\d]|$))"
    r"|(?P<wide>\t\s*|\s{3,})|(?P<stop>\.\s+(?=[^\W\d_]))"
    r"|(?P<word>(?<![\w_])(?:and so|and hence|and|so that|so|hence|thus|therefore"
    r"|giving|which gives|gives|yielding|yields|whence|from which|i\.e\.|ie|then|THAT_IS|"
    r"where|with|because|since|or|und|also|daraus folgt|daraus|folgt|donc|d'où|et"
    r"|soit|ainsi|alors|somit|folglich|daher|quindi|da cui|dunque|pertanto|perciò|luego|entonces|"
    r"por (?:lo )?tanto|de donde|de modo que|así que|więc|stąd|skąd|zatem|czyli|oraz|отсюда|откуда"
    r"|также|и)(?![\w_']))".replace("THAT_IS", _THAT_IS)
)
_DASH = re.compile(r"\s*-\s+(?:\[[ xX]\]\s+)?$")
_POINTED = re.compile(r"\s*[*·◦▪■□◆►▶▸‣]\s+(?=\S)")
_BEGINS = re.compile(r"[^\W\d_]|[Σ∴↑→↓←↺↻↗↘↖↙⊥∥(\[+]")
_NAMED = re.compile(r"[^=]{0,60}[A-Zα-ω]")
_BULLET = re.compile(
    r"\s*(?:[*·◦▪■□◆►▶▸‣]\s+(?:\[[ xX]\]\s+)?(?=[^\W\d_]|[-Σ∴↑→↓←↺↻↗↘↖↙⊥∥(\[+√~]"
    r"(?!\s*[\d.,]+\s*\)?\s*[=·*×/])|\d[^=]{0,40}[A-Zα-ω])"
    r"|-\s+(?:\[[ xX]\]\s+)?(?=\S)|[+o]\s+(?=[^\W\d_ΣΣ∴↑→↺+(\[])|>\s*|#{1,6}\s+"
    r"|\(?(?:step\s*)?(?:\d{1,2}[.)]|\d{1,2}\.\)|#\d{1,2}:)\s+(?=[^\d\s=+×*/·-]|\d+[.,]\d)|\d{1,2}\)\s*(?=[-+]?\s?[\w½√(])"
    r"|\(?[a-z]\)\s+(?=\S)|[A-H]\)\s+(?=\S)"
    r"|\(?[ivx]{1,4}[.)]\s+"
    r"|[Ss]tep\s*\d+\s*[:.)-]?\s+|[Ll]ine\s*\d+\s*[:.)]\s+)?"
)
_TAKES_BACK = re.compile(
    r"(?:[-–—]+\s*)?(?:no[,!.]\s*)?(?:that(?:'s| is| was)\s+)?(?:(?:wrong|mistake"
    r"|my mistake|oops|sorry"
    r"|incorrect|error|correction|scrap (?:that|this)|ignore (?:that|this)|falsch|Korrektur|faux"
    r"|erreur|sbagliato"
    r"|errore|incorrecto|corrección|błąd|poprawka)(?![\w'])[\s!.,:;–—-]*)+"
    r"(?:(?:it\s+)?should\s+(?:be|read|have been)(?![\w])[\s:,]*)?"
    r"|(?:it\s+)?should\s+(?:be|read|have been)(?![\w])[\s:,]*",
    re.I,
)
_LEAD = re.compile(
    loose(
        rf"(?:(?:{_THAT_IS}|so|hence|thus|therefore|then|now|and|also|but|next|finally|again"
        r"|similarly|likewise|giving|gives|which gives|we get|get|"
        r"where|with|because|since|as|so that|from|using|由|根据|利用|对于|(?-i:by)|by(?=\s+Σ)|via"
        r"|apply(?:ing)?|writ(?:e|ing)|equilibrium:|i\.e\.|ie|solve|solving|result"
        r"|answer|ans\.?|from above|from before|from this|using|"
        r"rearranging|rearrange|simplifying|dividing|recall|note|that|resolve|daraus"
        r"|folgt|also|somit|damit|mit|wegen|"
        r"donc|d'où|d'où|alors|on a|on obtient|avec|soit|ainsi|et|quindi|da cui|dunque"
        r"|si ha|con|luego|entonces|por lo tanto|por tanto|"
        r"de donde|se tiene|folglich|daher|pertanto|perciò|de modo que|así que|więc|stąd|skąd|zatem"
        r"|czyli|oraz|z tego|yields|yielding|whence|from which|отсюда|откуда|тогда"
        r"|следовательно|得|所以|因此|故|由此)(?![\w'])(?!\s*[=≈])[\s,:]*)+"
    ),
    re.I,
)
_CLOSING = re.compile(
    loose(
        r"(?:as a )?(?:closing |final |quick )?(?:check(?:ing)?|verify|verification"
        r"|cross-?check|Probe|Kontrolle|vérification|contrôle|"
        r"verifica|controllo|comprobación|comprobacion|verificación|verificacion"
        r"|sprawdzenie|kontrola|проверка|перевірка|验算|检验|検算)"
        r"(?![\w])[\s:,.;]*(?:using |by |with |of )?"
    ),
    re.I,
)
_BY = re.compile(
    loose(
        r"(?:by|from|due to|aus|wegen|par|per|por|z|из) (?P<w>inspection|symmetry|Symmetrie|"
        r"symétrie|"
        r"simmetria|simetría|simetria|symetrii|inspección|ispezione|inspection)[\s,:]*"
    ),
    re.I,
)
_STRUCK = re.compile(r"~~(.+?)~~")
_BOLD = re.compile(
    r"(?<![\w)*])\*\*(?=\S)|(?<=\S)\*\*(?![\w(*])|`|(?<![\w])__(?=\w)|(?<=\w)__(?!\w)"
)
_SAYS_NOTHING = re.compile(
    r"\s*[■□∎◼◻][\s;]*$|\s<[-=]{2,}[\w .!;]*$|\s[<←]-*\s*(?:ans|answer|ANS|Ans)\w*\.?[\s;.]*$"
    r"|\s{2,}#\s.*$|(?<=[\w)\]])\s+//\s[^=]*$"
    r"|\(\s?(?:to |correct to )?\d\s?(?:s\.?\s?f\.?|d\.?\s?p\.?|sig\.?\s?fig\w*\.?"
    r"|dec\w*\.?(?: places)?)\s?\)"
)
_SET_APART = re.compile(r"(?<![\w_])_([A-Z]?[a-z]{2,}(?: [a-z]+){0,4}:?)_(?![\w_])")
_QUOTED = re.compile(r'\s*"[^"]*"[\s.,;]*$')
_FORMULA = re.compile(
    r"\s*=\s*(?:SUM|SUMME|SOMME|MAX|MIN|ROUND|IF|AVERAGE|INDEX|LOOKUP)\s?\(", re.I
)
_DIVIDES = re.compile(r"(?:[\d)\]]|[\d\s](?:k?N|m|cm|mm|kNm))\s*$")
_LONE_ARROW = re.compile(r"[→←]\s*(?=[^\s=;→←][^=;]*=)")
_FRINGE = re.compile(r"[■□∎◼◻<←#\"]|//|\(\s?(?:to |correct to )?\d\s?[sd]|(?<!\w)_[A-Za-z]")
_JOINING = ("and", "or", "und", "et", "oder", "oraz", "и")
_ONE_NAME = re.compile(r"\s*[A-Z]\w{0,12}'?(?:_?\{\w{1,8}\})?\s*")
_NAME_EQUALS = re.compile(r"\s*[A-Z]\w{0,12}'?\s*=")
_SHOUTED = re.compile(
    r"\b(?:SUM|OF|THE|ALL|MOMENTS?|FORCES?|ABOUT|POINT|TAKING|TAKE|RESOLV(?:E|ING)|VERTICAL(?:LY)?|"
    r"HORIZONTAL(?:LY)?|DIRECTION|CLOCKWISE|ANTICLOCKWISE|COUNTERCLOCKWISE|ASSUM(?:E|ING)|SO|HENCE|"
    r"THEREFORE|AND|FROM|CHECK|SYMMETRY|INSPECTION)\b"
)
_NAMES_ONLY = re.compile(
    r"\s*(?:[Mm]embers?|[Bb]ars?|[Ff]orces?|in)?\s*[A-Z]\w{0,12}'?(?:(?:\s*,\s*"
    r"|\s+and\s+)[A-Z]\w{0,12}'?){0,20}\s*"
)
_DRESSED = re.compile(r"\s*[A-Z]+_?\{?\w*\}?\s*")
_QUANTITY = re.compile(
    r"^\s*(?:the )?(?:vertical |horizontal )?(?:reactions?|force|tension|compression"
    r"|thrust|load|moment|"
    r"weight|resultant)\b[\w\s]{0,30}$",
    re.I,
)
_ONLY_MARKS = re.compile(
    r"\s*(?:in |a |an )?(?:ties?|struts?|tension|compression|zero[- ]force)\b[\s.]*", re.I
)
_MEMBER_VALUE = re.compile(r"\s*:\s*[-+]?\d[\d.,]*\s*[^\W\d]*\s*(?:[(\[;,.]|[TC]\b|$)")
_VALUE = re.compile(r"\s*[-+]?\d[\d.,]*\s*[^\s\d+*/×·=(-]?\w*")
_LEADERS = re.compile(r"^(\s*[^\W\d]\S{0,12}\s*)([.…]{3,})(?=\s*[-+]?\d)")
_TWO_WAYS = re.compile(
    r"^(\s*)(↑|→|↺|↻|up|UP|[ac]?CW|CCW|clockwise|anticlockwise)(\s*:)([^=;,:]+)[;,]\s*"
    r"(?:↓|←|↺|↻|down|DOWN|[AC]?CW|clockwise|anticlockwise)\s*:(?=[^=;,:]+$)",
    re.I,
)
_FRAMED = re.compile(
    r"^(\s*(?:\d{1,2}[.)]\s+|[a-z]\)\s+)?)([-=*~_#·.<>]{2,}|[*_])(\s*[^\W_].*?)\s*(?:[-=*~_#·.<>]{2,}|[*_])(\s*[;,.]?\s*)$"
)
_ROW = re.compile(r"^\s*\|\s.*\s\|[\s;]*$")
_TABLE = re.compile(r"^\s*\|\s.*\s\|[\s;]*$|\s\|\s.*\s\|\s")
_EMPTY_CELL = re.compile(r"(\|\s*)(-{1,3})(?=\s*\|)")
_CELL = re.compile(r"([^|]*)\|")
_NAME_CELL = re.compile(r"\s*[^\W\d]\S*\s*$")
_VALUE_CELL = re.compile(r"\s*[-+]?\d")
_TAGGED = re.compile(
    r"(?:\s{2,}|\s*(?:\.{2,}|…+|-{2,}|→|⋯+)\s*"
    r"|\s+(?=\(?eq))[(\[]\s?(?:eqn?\.?\s?)?(\d{1,2}|[ivx]{1,4}"
    r"|[ABDEabde*])\s?[)\]]\s*\.?$"
)
_TAG_NEAR = re.compile(r"\s[(\[](\d{1,2}|[ivx]{1,4})[)\]]\s*\.?$")
_CITES = re.compile(r"(?:gives|yields|becomes|in|into|and|minus|plus|ergibt|donne|then)\b")
_TAG_FIRST = re.compile(r"\s*[(\[](\d{1,2}|[ivx]{1,4})[)\]]:?\s+")


def read_line(text: str, number: int, names: Names) -> Line:
    """Read one written line into its parts; never raises for what is written.

    `number` counts lines from 1. Spans are 0-based columns of `text`. Top-level parts stand in
    order and do not overlap, but for `Struck` parts, which may lie inside a `Relation` (they come
    after it). What has no meaning becomes `Unread`, with the column where understanding stopped.

    >>> read_line("Ax + 3 = 0", 1, Names()).reads_as
    'Ax + 3 = 0'
    """
    return read_source(translate(text) if looks_like(text) else typed(text), number, names)


def read_source(
    source: Source,
    number: int,
    names: Names,
    setting: Setting = Setting(),  # noqa: B008 — frozen
    carried: bool = False,
) -> Line:
    """Read a line in plain characters; `carried` where the line above ended with an `=`."""
    if len(source.text) > LONGEST or _REPEATED.search(source.text):
        return Line(number, source.line, (_too_long(source),))
    reader = _Reader(source, lexicon(names), setting, carried)
    parts = tuple(reader.run())
    if not setting.tagged and _TAG_NEAR.search(source.text.rstrip()):
        parts = _or_numbered(parts, source, lexicon(names), setting, carried)
    return Line(number, source.line, parts, render.line(parts))


def _or_numbered(
    parts: tuple[Part, ...], source: Source, lex: Lexicon, setting: Setting, carried: bool
) -> tuple[Part, ...]:
    """Keep beside `= 14 (1)`, read as a product, the reading in which (1) numbers the equation."""
    last = parts[-1] if parts else None
    if not isinstance(last, Relation) or last.tag:
        return parts
    other = _Reader(source, lex, replace(setting, tagged=True), carried).run()
    numbered = other[-1] if other else None
    if not isinstance(numbered, Relation) or not numbered.tag:
        return parts
    return (*parts[:-1], replace(last, others=(*last.others, numbered)))


_REPEATED = re.compile(r"([^\s])\1{40}")


def _only_marks(text: str) -> bool:
    """Tell whether text says nothing but a sense: 'tension', 'a strut', 'zero-force member'."""
    if _ONLY_MARKS.fullmatch(text):
        return True
    mark = mark_at(text, 0, len(text))
    told = mark is not None and mark.meaning in ("tension", "compression", "zero-force")
    return mark is not None and told and not text[mark.end :].strip(" .")


def _both_ways(match: re.Match[str]) -> str:
    """Take `↑: A + B; ↓: 6` as the balance `↑: A + B = 6`, as wide as it was."""
    lead = "".join(match.groups())
    return lead + "=".rjust(len(match.group()) - len(lead))


def _bare(match: re.Match[str]) -> str:
    """Blank out the rules around a title: `--- Joint C ---`, `== Joint C ==`."""
    lead, rule, title, _ = match.groups()
    return (lead + " " * len(rule) + title).ljust(len(match.group()))


def _either_dash(part: Part, dash: int) -> Part:
    """Take `- A_x = 3` as a list's entry, or else as −A_x = 3; a longer sum keeps its minus.

    Where the dash was taken for a list's already, the reading with the minus at `dash` is added.
    """
    if not isinstance(part, Relation) or part.continues:
        return part
    first = part.sides[0]
    if part.span[0] > dash and isinstance(first, Neg):
        return part
    if part.span[0] > dash:
        return replace(part, others=(_minus(part, dash), *part.others))
    if not isinstance(first, Neg) or not isinstance(first.inner, Name):
        return part
    entry = replace(part, sides=(first.inner, *part.sides[1:]))
    return replace(entry, span=(entry.sides[0].span[0], part.span[1]), others=(part, *part.others))


def _minus(part: Relation, dash: int) -> Relation:
    """Return a relation with a minus, written at `dash`, before its first term."""
    first = part.sides[0]
    span = (dash, first.span[1])
    if isinstance(first, Add):
        (sign, term), *rest = first.terms
        side: Expr = Add(span, ((-sign, term), *rest))
    else:
        side = Neg(span, first)
    return replace(part, span=(dash, part.span[1]), sides=(side, *part.sides[1:]))


def _too_long(source: Source) -> Part:
    """Return a line that nobody works by hand: a long paragraph is words, the rest stays unread."""
    whole = (0, len(source.line))
    if "=" not in source.text and not _REPEATED.search(source.text):
        return Prose(whole)
    return Unread(whole, 0, "longer than any line of a working", "too long")


def _before_next(part: Struck, others: list[Part]) -> Struck:
    """End what is struck where the next part begins: braces without partners can widen it."""
    start, end = part.span
    stop = min((other.span[0] for other in others if start < other.span[0] < end), default=end)
    return part if stop == end else replace(part, span=(start, stop))


class _Reader:
    """Walks one line from left to right."""

    def __init__(self, source: Source, lex: Lexicon, setting: Setting, carried: bool) -> None:
        self.source = source
        self.lex = lex
        self.setting = setting
        self.carried = carried
        self.text = source.text
        self.end = len(self.text.rstrip(" \t;"))
        self.at = 0
        self.parts: list[Part] = []
        self.struck: list[Struck] = []
        self.labelled = False
        self.closing = False
        self.dashed = -1
        self.tag = ""

    def run(self) -> list[Part]:
        """Return the parts in order.

        What is struck is left out; where nothing readable is left (a fraction reduced by
        crossing out), it is kept.
        """
        kept = self.source
        parts = self._run(strike=True)
        if not self.struck or not any(isinstance(part, Unread) for part in parts):
            return parts
        whole = _Reader(kept, self.lex, self.setting, self.carried)._run(strike=False)
        return parts if any(isinstance(part, Unread) for part in whole) else whole

    def _run(self, strike: bool) -> list[Part]:
        self._mask(strike)
        if self.text.isupper() or _SHOUTED.search(self.text):
            self.text = _SHOUTED.sub(lambda m: m.group().lower(), self.text)
        self.text = _TWO_WAYS.sub(_both_ways, self.text)
        self.text = _FRAMED.sub(_bare, self.text)
        self._cells()
        self.text = _LEADERS.sub(lambda m: m[1] + "=".ljust(len(m[2])), self.text)
        if self.text != self.source.text:
            self.source = replace(self.source, text=self.text)
        if _FORMULA.match(self.text):  # of a spreadsheet, which names its cells
            return [Prose(self.source.span(0, self.end))]
        self._tags()
        bullet = _BULLET.match(self.text, self.at, self.end)
        dash = bullet and _DASH.match(bullet.group())
        if bullet and dash and not self._listed(bullet.start(), bullet.end()):
            bullet = None  # a minus
        if point := _POINTED.match(self.text, self.at, self.end):
            bullet = point if point.group().strip() in self.setting.points else bullet
        if bullet and not (_TAG_FIRST.match(bullet.group()) and "=" in self.text):
            self.at = bullet.end()
        first = True
        while self.at < self.end:
            self._skip()
            if self.at >= self.end:
                break
            before = self.at
            if not (self._label() or self._word(first)):
                self._clause()
            first = False
            if self.at <= before:
                self.at = before + 1
        return self._placed()

    def _listed(self, start: int, at: int) -> bool:
        """Tell whether the dash before `at` sets a list; where it may be a minus, keep both."""
        numeric = not _BEGINS.match(self.text, at, self.end)
        if "=" not in self.text:
            return not numeric
        if self.text[at - 1 : at] == "]" or "[" in self.text[start:at]:
            return True  # a task and its box
        if self.setting.listed or not self._balance(at):
            return True
        self.dashed = start + self.text[start:at].index("-")
        return self.setting.bulleted and (not numeric or bool(_NAMED.match(self.text, at)))

    def _balance(self, at: int) -> bool:
        """Tell whether a sum begins at `at`, and no label, heading or word."""
        label = label_at(self.source, at, self.end, self.lex)
        word = _LEAD.match(self.text, at, self.end)
        return not (label or word or heading_at(self.source, at, self.end, self.lex))

    def _placed(self) -> list[Part]:
        """Put the struck parts where they stand, behind a part that holds them.

        Braces without partners can widen a place over its neighbour; what stands first keeps it.
        """
        at, kept = 0, []
        for part in self.parts:
            start = max(part.span[0], at)
            at = max(part.span[1], start)
            kept.append(part if part.span == (start, at) else replace(part, span=(start, at)))
        struck = [_before_next(part, kept) for part in self.struck]
        return sorted([*kept, *struck], key=lambda part: part.span[0])

    def _mask(self, strike: bool) -> None:
        """Blank out what is crossed out and what only sets the type."""
        if not strike:
            self.text = self.text.replace("~~", "  ")
        if "~~" in self.text:
            for match in _STRUCK.finditer(self.text):
                read = _Reader(self._inside(match), self.lex, self.setting, False).run()
                self.struck.append(Struck(self.source.span(*match.span()), tuple(read)))
            self.text = _STRUCK.sub(lambda m: " " * len(m.group()), self.text)
        if _FRINGE.search(self.text):
            self.text = _SAYS_NOTHING.sub(lambda m: " " * len(m.group()), self.text)
            self.text = _SET_APART.sub(r" \1 ", self.text)
            if _QUOTED.match(self.text):
                self.text = self.text.replace('"', " ")
        if "*" in self.text or "`" in self.text or "__" in self.text:
            self.text = _BOLD.sub(lambda m: " " * len(m.group()), self.text)

    def _cells(self) -> None:
        """Take a table's row as equations: a name's cell before a value's says `name = value`."""
        if "|" not in self.text or not (_ROW if "=" in self.text else _TABLE).search(self.text):
            return
        equals = "=" in self.text
        row = self.text = _EMPTY_CELL.sub(lambda m: m[1] + " " * len(m[2]), self.text)
        for match in _CELL.finditer(self.text):
            name = not equals and _NAME_CELL.match(self.text, *match.span(1))
            value = _VALUE_CELL.match(self.text, match.end())
            sign = "=" if name and value else ";" if not (name or value) or equals else ","
            if equals and self.text[match.end() : match.end() + 3].lstrip()[:1] == "=":
                sign = " "
            row = row[: match.end() - 1] + sign + row[match.end() :]
        self.text = row.replace("|", " ")

    def _inside(self, match: re.Match[str]) -> Source:
        """Return what is crossed out as a source of its own, with its places in this line."""
        places = range(match.start(1), match.end(1))
        starts = tuple(self.source.span(i, i + 1)[0] for i in places)
        ends = tuple(self.source.span(i, i + 1)[1] for i in places)
        return Source(self.source.line, match.group(1), starts, ends)

    def _tags(self) -> None:
        match = _TAGGED.search(self.text, 0, self.end) or (
            _TAG_NEAR.search(self.text, 0, self.end) if self.setting.tagged else None
        )
        if match and "=" in self.text[: match.start()]:
            self.tag, self.end = match.group(1), match.start()
            return
        first = _TAG_FIRST.match(self.text, 0, self.end)
        if first and _CITES.match(self.text, first.end()):
            return
        if (
            first
            and "=" in self.text[first.end() : self.end]
            and self.text[first.end()] not in "=+-⇒→∴*×·/"
        ):
            self.tag, self.at = first.group(1), first.end()

    def _skip(self) -> None:
        gap = _SPACE.match(self.text, self.at, self.end)
        self.at = gap.end() if gap else self.at

    def _label(self) -> bool:
        found = label_at(self.source, self.at, self.end, self.lex) or self._lone_arrow()
        if found is None:
            leads = _LEADS_ON.match(self.text, self.at, self.end)
            if leads:
                self.at = leads.end()
                return True
            return False
        self.parts.append(found.label)
        self.at = found.end
        self.labelled = True
        return True

    def _lone_arrow(self) -> Found | None:
        """Read → as a direction where it leads on from nothing: `Joint A: → S₁ + S₂ = 0`."""
        match = _LONE_ARROW.match(self.text, self.at, self.end)
        if match is None or not self.parts:
            return None
        last, before = self.parts[-1], self.text[: self.at].rstrip()
        alone = any(isinstance(part, SumLabel) and part.axis in "xy" for part in self.parts)
        if not (isinstance(last, Heading) or (before.endswith(";") and alone)):
            return None
        positive = "right" if self.text[self.at] == "→" else "left"
        span = self.source.span(self.at, self.at + 1)
        return Found(SumLabel(span, "x", "", positive), match.end())

    def _word(self, first: bool) -> bool:
        """Take a heading, or words that lead on to what follows."""
        if taken := _TAKES_BACK.match(self.text, self.at, self.end):
            span = self.source.span(taken.start(), taken.end())
            self.parts.append(Mark(span, self.source.line[span[0] : span[1]], "wrong"))
            self.at = taken.end()
            return True
        if by := _BY.match(self.text, self.at, self.end):
            span = self.source.span(by.start(), by.end("w"))
            meaning: MarkMeaning = "symmetry" if by["w"][0] in "sS" else "inspection"
            self.parts.append(Mark(span, self.source.line[span[0] : span[1]], meaning))
            self.at = by.end()
            return True
        closing = _CLOSING.match(self.text, self.at, self.end)
        if closing and (closing.end() < self.end or first):
            self.closing = True
            self._prose(closing.start(), closing.end())
            return True
        lead = _LEAD.match(self.text, self.at, self.end)
        if cited := cite_at(self.text, self.at, self.end if lead else self._clause_end()):
            tags, stop = cited
            self.parts.append(Reference(self.source.span(self.at, stop), tags))
            self.at = stop
            return True
        if found := heading_at(self.source, self.at, self.end, self.lex, not self.parts):
            heading, stop = found
            if heading.kind == "body" and self._member_says(stop):
                return True
            self.parts.append(heading)
            self.at = stop
            return True
        if lead:
            self._prose(lead.start(), lead.end())
            return True
        return False

    def _member_says(self, stop: int) -> bool:
        """Take `Member AB: 3 kN (T)` as `AB = 3 kN (T)`."""
        name = self.text[self.at : stop].split()[-1]
        rest = self.text[stop : self.end].partition(";")[0]
        if self.lex.pair(canonical(name)) is None or "=" in rest:
            return False
        told = re.match(r"\s*:\s*", rest)
        if told and _only_marks(rest.partition(",")[0][told.end() :]):
            place = self.text.index(":", stop)
            self.text = self.text[:place] + " " + self.text[place + 1 :]
            self._prose(self.at, stop - len(name))
            return True
        if not _MEMBER_VALUE.match(rest):
            return False
        place = self.text.index(":", stop)
        self.text = self.text[:place] + "=" + self.text[place + 1 :]
        self._prose(self.at, stop - len(name))
        return True

    def _prose(self, start: int, end: int) -> None:
        stop = start + len(self.text[start:end].rstrip(" ,:;."))
        self.parts.append(Prose(self.source.span(start, stop)))
        self.at = end

    def _clause(self) -> None:
        stop = self._clause_end()
        said = [part for part in self.parts if not isinstance(part, Prose)]
        follows = bool(said) and isinstance(said[-1], Relation)
        context = Context(
            self.source,
            self.lex,
            self.setting.comma,
            self.labelled,
            self.closing,
            self.tag,
            follows or self.carried,
            self.carried,
        )
        self.carried = False
        for part in clause(self.text, self.at, stop, context):
            self._add(
                part if self.dashed < 0 else _either_dash(part, self.source.place(self.dashed))
            )
        self.dashed = -1
        self.at = stop

    def _add(self, part: Part) -> None:
        """Append a part; marks that stand alone behind a value belong to it."""
        said = [i for i, old in enumerate(self.parts) if not isinstance(old, Prose)]
        last = self.parts[said[-1]] if said else None
        if isinstance(part, Mark) and isinstance(last, Relation):
            marks = list(last.marks) or [()] * len(last.sides)
            marks[-1] = (*marks[-1], part)
            whole = replace(last, marks=tuple(marks), span=(last.span[0], part.span[1]))
            self.parts[said[-1] :] = [whole]
            return
        self.parts.append(part)

    def _clause_end(self) -> int:
        depth = 0
        for match in _BREAK.finditer(self.text, self.at, self.end):
            kind = match.lastgroup
            if kind == "open":
                depth += 1
            elif kind == "close":
                depth = max(0, depth - 1)
            elif (
                (depth == 0 or (kind == "hard" and match.group() in ";∴⇒"))
                and match.start() > self.at
                and self._breaks(match)
            ):
                return match.start()
        return self.end

    def _says(self, before: str, after: str) -> bool:
        """Tell whether `PR: 5.2 kN (T)` says that the name has the value."""
        named = is_known(canonical(before.strip()), self.lex) or bool(
            _DRESSED.fullmatch(before) or _QUANTITY.search(before)
        )
        return named and bool(_VALUE.match(after)) and "=" not in after.partition(";")[0]

    def _divides(self, before: str, after: str) -> bool:
        """Tell whether a colon divides, as continental schools write it: `= 24 kN·m : 6 m`."""
        last = before.rpartition("=")[2].strip()
        return (
            self.setting.comma == "decimal"
            and "=" in before
            and last != "0"
            and bool(_DIVIDES.search(before))
            and bool(re.match(r"\s*[\d(]", after))
        )

    def _put(self, match: re.Match[str], sign: str) -> None:
        """Take a separator as `sign`, in place."""
        start, end = match.span()
        self.text = self.text[:start] + sign.ljust(end - start) + self.text[end:]

    def _breaks(self, match: re.Match[str]) -> bool:
        before, after = self.text[self.at : match.start()], self.text[match.end() : self.end]
        kind = match.lastgroup
        if kind in ("comma", "word") and "=" not in before and ASSUME.match(before):
            return False
        if kind == "comma" and _NAMES_ONLY.fullmatch(before) and "=" not in after.partition(";")[0]:
            return False
        if kind == "word" and match.group() in _JOINING:
            return "=" in before
        if match.group() == ":" and (
            (_only_marks(after) and _NAMES_ONLY.fullmatch(before)) or ASSUME.fullmatch(before)
        ):
            return False
        if match.group() == ":" and self._divides(before, after):
            self._put(match, "/")
            return False
        if match.group() == ":" and self._says(before, after):
            self._put(match, "=")
            return False
        if match.group() in ("→", "=>", "⇒", "->") and _ONE_NAME.fullmatch(before):
            if _only_marks(after):
                self._put(match, " ")
                return False
            if self._says(before, after):
                self._put(match, "=")
                return False
        if kind == "comma" and _NAMES_ONLY.fullmatch(before) and _NAME_EQUALS.match(after):
            self._put(match, "=")
            return False
        if kind == "arrow":
            return bool(re.match(r"\s*(?:[\w(√+½-]|\.\d)", after)) and bool(before.strip())
        if kind == "wide":
            return "=" in before and bool(re.match(r"[^\s=+×*/·-]", after)) and "=" in after
        if kind == "stop":
            spaced = self.text[match.start() - 1] == " "
            if before[-1:].isdigit() and after.split(" ", 1)[0].rstrip(".,;") in UNIT_WORDS:
                return False
            short = re.search(r"(?:^|[\s(])[^\W\d_]{1,4}$", before)
            return not spaced and (not short or "=" in before)
        return True

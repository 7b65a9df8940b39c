"""Answers told in sentences: 'Bar AB carries 3 kN in tension', 'Lager A: 740 N nach links'."""

import re

from verifier.notation import build, marks, units
from verifier.notation.context import Context
from verifier.notation.names import Lexicon, canonical, is_known
from verifier.notation.tokens import Scanner, Tok
from verifier.notation.tree import Mark, Name, Part, Relation

_PLACE = r"(?P<{}>[A-Z][A-Za-z]?[0-9₀-₉]*'*)(?![\w])"
_WORD = (
    r"(?:support|bearing|pin|pivot|stop|guide|wall|floor|foot|roller|hinge|(?:Fest|Los|Auf)?lager|appuis?|apoyo|vincolo|appoggio"
    r"|cerniera|carrello|podpor[ay]|łożysko|опора)"
)
_VERB = (
    r"(?:gives|provides|exerts|supplies|carries|gibt|liefert|trägt|nimmt|donne|exerce|fournit|da"
    r"|ejerce|aporta|dà|esercita|fornisce|daje|przenosi)"
)
_HOLDS = (
    rf"(?:{_VERB}|holds|takes|bears|acts|pushes|pulls"
    r"|(?:has to|must|needs to) (?:hold|carry|give|take)|muss|hält|drückt|zieht"
    r"|wirkt|pousse|tire|retient|spinge|tira|regge|empuja|sostiene|pcha"
    r"|ciągnie)(?:\s+(?:back|halten|aufnehmen))?(?:\s+(?:with|mit|avec|con|z|siłą))?"
)
_SUPPORT = re.compile(
    rf"(?:(?:at|an|in|en|à|w)\s+{_PLACE.format('one')},?\s+(?:the|das|le|el|il)?\s*{_WORD}\s+{_VERB}"
    rf"|(?:(?:the|das|le|el|il|la|die)\s+|l')?{_WORD}\s+(?:(?:at|in|en|w|an)\s+)?"
    rf"{_PLACE.format('two')}\s*(?::|{_HOLDS})?|(?-i:{_PLACE.format('three')})\s+{_HOLDS})\s+"
    r"(?=[-+]?\d)",
    re.IGNORECASE,
)
_AND = re.compile(r"\s*(?:,|and|und|et|y|e|i|en|och|,\s*and)\s+(?=[-+]?\d)")
_SENSES = {"up": "y", "down": "y", "left": "x", "right": "x"}
_UNSURE = re.compile(
    r"\b(?:not|no|never|nicht|kein|pas|non|nie|if|wenn|would|may|max|maximum|capacity|allow\w*|limit"
    r"|load\w*|Last|charge|carga|carico|obciążenie)\b",
    re.IGNORECASE,
)
_NOUN = re.compile(
    r"(?:\b(?:the|its|der|die|das|le|la|il|lo|el)\s|l')(?P<noun>cable|(?:mooring |guy )?rope|line"
    r"|stay|guy|tie|rod|strut|prop|link|bar|Seil|Stange|Stab|Strebe|Zugstab|câble|hauban|tirant|bielle"
    r"|barre|cavo|fune|tirante|puntone|asta|barra|tensor)\b",
    re.IGNORECASE,
)
_SAID = re.compile(  # what says which way it acts, right before its value
    r"\b(?:pulls|pushes|in (?:tension|compression)|zieht|drückt|tire|tira|pousse|spinge|empuja)"
    r"(?:\s(?:with|mit|avec|con))?\s*$",
    re.IGNORECASE,
)
_IN = re.compile(
    r"\s*(?:\w+\s+)?(?:in|im|dans|en|nell'|nella|w)\s+(?:[^\W\d]+\s+){0,3}",
    re.IGNORECASE,
)
_START = re.compile(r"(?<![\w])[(\[]?(?=[^\W\d_])")


def told(text: str, tokens: list[Tok], start: int, end: int, ctx: Context) -> list[Part]:
    """Read a sentence that gives forces with their senses as `name = value (sense)`."""
    numbers = [token for token in tokens if token.kind in ("NUM", "COMPOSITE")]
    if not 0 < len(numbers) < 4 or _UNSURE.search(text, start, end):
        return []
    of_support = _of_support(text, start, end, ctx)
    if of_support or len(numbers) > 1:
        return of_support
    member = _of_member(text, tokens, end, ctx)
    return [member] if member else []


def awaits_value(text: str, lex: Lexicon) -> bool:
    """Tell whether text is a sentence that waits for its value: `Lager A`, `AB ist gezogen`."""
    if support := _SUPPORT.match(text.strip() + " 1"):
        return canonical(support["one"] or support["two"] or support["three"]) in lex.joints
    if _lone(lex) and _NOUN.search(text) and _SAID.search(text):
        return True
    at = marks.tail(text, 0, len(text))
    sense = marks.mark_at(text, at, len(text)) if at < len(text) else None
    if sense is None or sense.meaning not in ("tension", "compression"):
        return False
    if sense.text.strip() in ("T", "C"):  # `sliding FC to C: 3 × 10 …`
        return False
    return any(lex.pair(canonical(word)) for word in re.findall(r"[A-Z]\w*'*", text[:at]))


def _of_support(text: str, start: int, end: int, ctx: Context) -> list[Part]:
    """Read `The pin A gives 180 N up and 240 N to the right`."""
    match = _SUPPORT.match(text, start, end)
    if match is None:
        return []
    place = next(place for place in ("one", "two", "three") if match[place])
    joint = canonical(match[place])
    if joint not in ctx.lex.joints:
        return []
    span = ctx.source.span(*match.span(place))
    written = ctx.source.line[span[0] : span[1]]
    said: list[Part] = []
    at = match.end()
    while at < end:
        value = _value(Scanner(text, at, end, ctx.lex).run())
        found, at = marks.marks_at(ctx.source, value[-1].end, end) if value else ([], end)
        meaning = found[0].meaning if found else ""
        if value is None or not (meaning in _SENSES or meaning.endswith("clockwise")):
            return []
        moment = meaning not in _SENSES
        base, sub = ("M", joint) if moment else (joint, _SENSES[meaning])
        said.append(_relation(Name(span, written, base, sub), value, found[0], ctx))
        span = (said[-1].span[1],) * 2  # the parts stand one behind the other
        further = _AND.match(text, at, end)
        if further is None:
            break
        at = further.end()
    return [] if text[at:end].strip(" .,;!") else said


def _of_member(text: str, tokens: list[Tok], end: int, ctx: Context) -> Part | None:
    named = [token for token in tokens if token.kind == "NAME" and _is_member(token.text, ctx)]
    if not named:
        return _of_the_only_one(text, tokens, end, ctx)
    others = [token for token in tokens if token.kind == "NAME" and token not in named]
    if len(named) != 1 or not all(_is_word(token, tokens, ctx) for token in others):
        return None
    base, sub = build.undress(named[0].text)
    return _valued(named[0].start, named[0].end, base, sub, text, tokens, end, ctx)


def _of_the_only_one(text: str, tokens: list[Tok], end: int, ctx: Context) -> Part | None:
    """Read `the stay pulls with 4 kN` where the figure has one bar or cable alone."""
    pair = _lone(ctx.lex)
    noun = _NOUN.search(text, tokens[0].start, end)
    names = (token for token in tokens if token.kind == "NAME")
    if not pair or noun is None or not all(_is_word(t, tokens, ctx) for t in names):
        return None
    return _valued(*noun.span("noun"), pair, "", text, tokens, end, ctx)


def _lone(lex: Lexicon) -> str:
    """Return the name of the figure's only bar or cable, '' where it has none or several."""
    found = {frozenset(pair): "".join(pair) for pair in lex.members.values()}
    return next(iter(found.values())) if len(found) == 1 else ""


def _is_word(token: Tok, tokens: list[Tok], ctx: Context) -> bool:
    """Tell whether what may be a name is a word of the sentence: `Im Stab`, `une`, `auf Zug`."""
    if is_known(token.text, ctx.lex):
        return False
    small = token.text.islower() and (len(token.text) < 3 or token.text.isalpha())
    marked = marks.mark_at(f" {token.text}", 0, len(token.text) + 1) is not None
    return small or marked or (token is tokens[0] and token.text.isalpha())


def _valued(
    start: int, stop: int, base: str, sub: str, text: str, tokens: list[Tok], end: int, ctx: Context
) -> Part | None:
    """Read the value and the sense that a sentence gives the bar named at its place."""
    kinds = {"NAME", "WORD", "NUM", "UNIT", "SOFT", "LPAR", "RPAR", "SIGN", "MARK"}
    first = next(i for i, token in enumerate(tokens) if token.kind == "NUM")
    signed = first > 0 and tokens[first - 1].kind == "SIGN"
    value = _value(tokens[first - 1 if signed else first :])
    signs = sum(token.kind == "SIGN" for token in tokens)
    behind = tokens[first].start < start  # `a thrust of 8 kN in AD`
    if behind and not _IN.fullmatch(text, value[-1].end if value else start, start):
        return None
    mark = _sense(text, tokens[0].start if behind else stop, end, ctx)
    odd = any(token.kind not in kinds for token in tokens)
    if odd or value is None or mark is None or signs > (value[0].kind == "SIGN"):
        return None
    if behind and value[-1].kind != "UNIT":
        return None
    span = ctx.source.span(start, stop)
    name = Name(span, ctx.source.line[span[0] : span[1]], base, sub)
    return _relation(name, value, mark, ctx)


def _is_member(text: str, ctx: Context) -> bool:
    name = canonical(text)
    pair = ctx.lex.pair(name)
    if pair is None and len(name) > 2 and is_known(name, ctx.lex):
        pair = ctx.lex.pair(name[1:])
    return pair is not None and (not ctx.lex.members or pair in ctx.lex.members.values())


def _value(tokens: list[Tok]) -> list[Tok] | None:
    """Return the tokens of a force at the front: its sign, number and unit."""
    size = 1 if tokens and tokens[0].kind == "SIGN" else 0
    if len(tokens) <= size or tokens[size].kind != "NUM":
        return None
    taken = tokens[: size + 1]
    if len(tokens) > size + 1 and tokens[size + 1].kind == "UNIT":
        written = tokens[size + 1].text.strip("[]()")
        unit = units.unit(written, (0, 0))
        if unit is None or unit.kind not in ("force", "moment"):
            return None
        taken = tokens[: size + 2]
    return taken


def _sense(text: str, start: int, end: int, ctx: Context) -> Mark | None:
    """Return the one sense of a member that words from `start` on tell, or None."""
    found: list[Mark] = []
    at = start
    for match in _START.finditer(text, start, end):
        if match.start() < at:
            continue
        mark = marks.mark_at(text, match.start(), end)
        if mark is None or mark.meaning not in ("tension", "compression"):
            continue
        if mark.text.strip() in ("T", "C"):
            continue
        found.append(marks.as_mark(ctx.source, mark))
        at = mark.end
    return found[0] if len({mark.meaning for mark in found}) == 1 else None


def _relation(name: Name, value: list[Tok], mark: Mark, ctx: Context) -> Relation:
    sides, _ = build.parse(value, ctx.source, ctx.comma)
    spans = [name.span, sides[0].span, mark.span]
    span = (min(low for low, _ in spans), max(high for _, high in spans))
    return Relation(span, (name, sides[0]), ("=",), ((), (mark,)), ctx.tag)

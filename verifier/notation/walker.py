"""The walk through one line from left to right: its parts in order, each in its place."""

import re
from dataclasses import replace

from verifier.notation import asides, bullets, inner, leads, masks, tuples
from verifier.notation.clauses import clause
from verifier.notation.context import Context, Setting
from verifier.notation.heading_forms import SIDE_ANY, SIDES, side_of
from verifier.notation.headings import heading_at
from verifier.notation.labels import Found, label_at
from verifier.notation.names import Lexicon, canonical, is_known
from verifier.notation.references import cite_at
from verifier.notation.separators import RUN, clause_end, only_marks
from verifier.notation.source import Source
from verifier.notation.tree import (
    Heading,
    Mark,
    MarkMeaning,
    Part,
    Prose,
    Reference,
    Relation,
    Struck,
    SumLabel,
    Unread,
)

_MEMBER_VALUE = re.compile(r"\s*:\s*[-+]?\d[\d.,]*\s*[^\W\d]*\s*(?:[(\[;,.]|[TC]\b|$)")
_FORCE_FIRST = re.compile(r"\s*:\s*[-+−–]?\s*\d[\d.,]*\s*[^\W\d]+\s+(?=[^\W\d])")
_HEADED = re.compile(
    r"(?P<head>[^\W\d][^=:;,Σ]{2,50}?)(?:,\s*(?=(?:taking |take |the )?"
    r"(?:moments?|momente?[ins]?|sum(?:ming)?|resolv\w+|vertical\w*|horizontal\w*|about)\b|[Σ↺↻↑→+])"
    r"|\s+(?=(?:horizontal(?:ly|ement|mente)?|vertical(?:ly|ement|mente)?|waagerecht|lotrecht"
    r"|senkrecht|vertikal|poziomo|pionowo|orizzontalmente)\s*:"
    r"|(?:moments? )?(?:about|um|autour de|attorno ad?|respecto a|względem) "
    r"(?:point |Punkt )?[A-Z]\d?'?\s*:))",
    re.I,
)
_NO_BODY = ("method", "reactions")
_LABEL_BEHIND = re.compile(
    r"\s[(\[](?P<label>\s*(?:(?=Σ|[↺↻]\s*\w{1,3}\s*$)[^()\[\]]{2,40}"
    r"|[^\W\d]{3,} [^()\[\]=\d]{3,50}))[)\]]\s*(?:[!✓]|\((?:ok|OK|o\.k\.)\))*\s*$"
)
_ON = (
    r"(?:acting )?(?:on|auf|an|am|beim?|sur|su|sul|sulla|sobre|en|na) "
    r"(?:the |dem |der |den |die |la |le |el |il |l')?(?:(?:member|bar|beam|leg|body|frame|Stab"
    r"|Balken|Körper|barre|barra|asta|corps|corpo) (?=[A-Z]))?(?P<body>[\w'-]+)"
    r"(?: (?:leg|half|body|part|frame|arm|side|piece|member|beam|bar))?"
)
_ON_BODY = re.compile(
    rf"(?P<name>[A-Z][\w{{}},]{{0,6}})(?P<on>\s+{_ON})(?=\s*=|\s(?:is|ist|est|è|es|jest|is|är)\s)"
)
_SENSE_ON = re.compile(
    r"=[^=;()]*\((?:up|down|left|right|nach oben|nach unten|links|rechts|vers le (?:haut|bas)"
    rf"|[↑↓→←])(?P<on>,? {_ON})\)(?=\s*(?:[.;,]|$))"
)
_COMPONENTS = re.compile(
    r"=[^=;]*\b(?:component|Komponente|Anteil|composante|componente|componenti|składow)\w*\b[^=;]*$",
    re.I,
)
_ON_ANOTHER = re.compile(
    r"[-+]?\s?\d[\d.,]*\s{0,3}[^\W\d]*\s+(?:on|auf|am|an|sur|su|sul|sulla|sobre|na)\s(?!average)"
)
_LEANS = re.compile(
    r"°\s(?:with|to|from|against|mit|zur|gegen|avec|con|com|z)\s(?:the |der |die |l'|la |el |a )?$"
)
_JOINED = re.compile(r"\s(?:and|und|et|y|e|i|oraz)$")  # `loads 2(5) = 10 kN and 5 kN`
_RESULT_BEHIND = re.compile(
    r"(?:\b(?:so|hence|thus|also|daher|donc|quindi|luego|więc)\b|[∴⇒→;]|=>)\s*"
    r"(?=[A-Z]_?\{?\w+\}?\s*=\s*[-+]?\s?\d[^;]*$)"
)
_LABEL_ON = re.compile(
    r"(?:[Hh]orizontal(?:ly|ement|mente)?|[Vv]ertical(?:ly|ement|mente)?|[Vv]ertikal|[Ww]aagerecht"
    r"|[Ss]enkrecht|[Oo]rizzontal[ei]|[Pp]oziomo|[Pp]ionowo|[Mm]oments? about [A-Z]\d?)"
    r"(?P<on>,?\s(?:forces\s)?(?:on|of|for|am|auf|sur|su|sulla|sobre|en|na)\s(?:the\s|la\s|le\s|el\s)?"
    rf"(?:{SIDE_ANY})\s?(?:half|part|piece|leg|body|Teil|partie|parte|części)?)\s*:"
)
_BEFORE_SUM = re.compile(
    r"(?P<words>[^\W\d_][^=:;,Σ\d+*/·×()\[\]]{1,40}?)\s*(?=[(\[+]?\s?(?:[↺↻]\s?\+?\s?)?Σ)"
)
_FROM_AXIS = re.compile(  # `From x  A = 1.03 B`: from the sum along x
    r"(?:[Ff]rom|[Aa]us|[Dd]e|[Dd]a|[Zz]|[Uu]it|[Ff]rån)\s\(?(?P<axis>[xy])\)?(?:\s{2,}|\s*[:,])\s*"
)
_DRAWN = re.compile(r"[/\\|_^v=~-]{2}|[/\\|]\s.*[/\\|]|^\s*[/\\|]+\s*$")
"""Strokes of a figure in text, in a line without a letter or a figure."""
_LONE_ARROW = re.compile(r"[→←]\s*(?=[^\s=;→←][^=;]*=)")


class LineReader:
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
        self.listing = False
        self.dashed = -1
        self.tag = ""
        self.ended: tuple[tuple[str, int, int], tuple[int, str]] = ("", 0, 0), (0, "")

    def run(self) -> list[Part]:
        """Return the parts in order.

        What is struck is left out; where nothing readable is left (a fraction reduced by
        crossing out), it is kept.
        """
        kept = self.source
        parts = self._run(strike=True)
        if not self.struck or not any(isinstance(part, Unread) for part in parts):
            return parts
        whole = LineReader(kept, self.lex, self.setting, self.carried)._run(strike=False)
        return parts if any(isinstance(part, Unread) for part in whole) else whole

    def _run(self, strike: bool) -> list[Part]:
        self._mask(strike)
        cleared = asides.cleared(self.text)
        drawn = not any(ch.isalnum() for ch in self.text) and _DRAWN.search(self.text)
        if self.text.strip() and (drawn or not cleared.strip()):
            return [Prose(self.source.span(0, self.end))]
        self.text = inner.spelt(masks.told(cleared))
        if self.lex.force == "kip":
            self.text = masks.kips(self.text)
        if self.text != self.source.text:
            self.source = replace(self.source, text=self.text)
        if masks.MATRIX.search(self.text):
            return [Prose(self.source.span(0, self.end))]
        begins = len(self.text) - len(self.text.lstrip())
        along = masks.FUNCTION.match(self.text) and not self._inner_at(begins)
        if masks.FORMULA.match(self.text) or along:
            # a spreadsheet's cell, or what a force or load is along x
            told = _RESULT_BEHIND.search(self.text)
            if told is None:
                return [Prose(self.source.span(0, self.end))]
            self.parts.append(Prose(self.source.span(0, told.start())))
            self.text = " " * told.end() + self.text[told.end() :]
            self.source = replace(self.source, text=self.text)
        self.tag, self.at, self.end = bullets.number_of(
            self.text,
            self.end,
            self.setting.tagged,
            self.setting.lettered,
            self.setting.counted,
        )
        bullet = bullets.BULLET.match(self.text, self.at, self.end)
        dash = bullet and bullets.DASH.match(bullet.group())
        if bullet and dash and not self._listed(bullet.start(), bullet.end()):
            bullet = None  # a minus
        if point := bullets.POINTED.match(self.text, self.at, self.end):
            bullet = point if point.group().strip() in self.setting.points else bullet
        if bullet and not (bullets.TAG_FIRST.match(bullet.group()) and "=" in self.text):
            self.at = bullet.end()
        if self._unpacked():
            return self._placed()
        behind = self._label_behind()
        first = True
        while self.at < self.end:
            self._skip()
            if self.at >= self.end:
                break
            before = self.at
            if not (self._headed() or self._label() or self._word(first)):
                self._clause()
            first = False
            if self.at <= before:
                self.at = before + 1
        self._head_with(behind) if behind else None
        return self._placed()

    def _unpacked(self) -> bool:
        """Take `w, P = 60, 450` as an equation for each name; tell whether the line is that."""
        found: list[Part] = []
        for text in tuples.unpacked(self.text[: self.end]):
            context = Context(self.source, self.lex, self.setting.comma)
            found = clause(text, self.at, self.end, context)
            last = self.parts[-1].span[1] if self.parts else 0
            for part in found:
                end = part.sides[-1].span[1] if isinstance(part, Relation) else part.span[1]
                self.parts.append(replace(part, span=(max(last, part.span[0]), end)))
        return bool(found)

    def _head_with(self, behind: Part) -> None:
        """Put a label from the line's end before the equation that it is about."""
        at = next((i for i, part in enumerate(self.parts) if isinstance(part, Relation)), None)
        if at is None or not isinstance(behind, SumLabel):
            self.parts.append(behind)
            return
        place = self.parts[at].span[0]
        self.parts.insert(at, replace(behind, span=(place, place)))
        self.parts.append(Prose(behind.span))

    def _label_behind(self) -> Part | None:
        """Take a label in brackets at the line's end: `A_y = 3   (ΣF_y)`."""
        match = _LABEL_BEHIND.search(self.text, self.at, self.end)
        if match is None or "=" not in self.text[: match.start()]:
            return None
        start, stop = match.span("label")
        found = label_at(self.source, start, stop, self.lex)
        if self.text[start].isalpha() and (found is None or found.end < stop):
            return None
        self.end = len(self.text[: match.start()].rstrip())
        return found.label if found else Prose(self.source.span(start, stop))

    def _listed(self, start: int, at: int) -> bool:
        """Tell whether the dash before `at` sets a list; where it may be a minus, keep both."""
        numeric = not bullets.BEGINS.match(self.text, at, self.end)
        if "=" not in self.text:
            return not numeric
        if self.text[at - 1 : at] == "]" or "[" in self.text[start:at]:
            return True  # a task and its box
        if self.setting.listed or not self._balance(at):
            return True
        self.dashed = start + self.text[start:at].index("-")
        return self.setting.bulleted and (not numeric or bool(bullets.NAMED.match(self.text, at)))

    def _balance(self, at: int) -> bool:
        """Tell whether a sum begins at `at`, and no label, heading or word."""
        label = label_at(self.source, at, self.end, self.lex)
        word = leads.LEAD.match(self.text, at, self.end)
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
            for match in masks.STRUCK.finditer(self.text):
                read = LineReader(self._inside(match), self.lex, self.setting, False).run()
                self.struck.append(Struck(self.source.span(*match.span()), tuple(read)))
            self.text = masks.STRUCK.sub(lambda m: " " * len(m.group()), self.text)
        self.text = masks.unset(self.text)

    def _inside(self, match: re.Match[str]) -> Source:
        """Return what is crossed out as a source of its own, with its places in this line."""
        places = range(match.start(1), match.end(1))
        starts = tuple(self.source.span(i, i + 1)[0] for i in places)
        ends = tuple(self.source.span(i, i + 1)[1] for i in places)
        return Source(self.source.line, match.group(1), starts, ends)

    def _skip(self) -> None:
        gap = leads.SPACE.match(self.text, self.at, self.end)
        self.at = gap.end() if gap else self.at

    def _headed(self) -> bool:
        """Take a heading that a sum follows behind a comma: `Right leg, moments about C:`."""
        headed = _HEADED.match(self.text, self.at, self.end)
        if headed is None:
            return False
        found = heading_at(self.source, self.at, headed.end("head"), self.lex, not self.parts)
        if found is None or found[1] < headed.end("head") or found[0].kind in _NO_BODY:
            return False
        self.parts.append(found[0])
        self.at = headed.end()
        return True

    def _label(self) -> bool:
        on = _LABEL_ON.match(self.text, self.at, self.end)
        if on:
            side, (start, stop) = side_of(on), on.span("on")
            kind = "body" if side in self.lex.bodies else "section"
            named = (side,) if kind == "body" else ()
            span = (self.source.place(self.at),) * 2
            self.parts.append(Heading(span, kind, named, "" if named else side))
            self.text = self.text[:start] + " " * (stop - start) + self.text[stop:]
            self.source = replace(self.source, text=self.text)
        found = label_at(self.source, self.at, self.end, self.lex) or self._lone_arrow()
        if found and (self._is_moment_itself(found) or self._inner()):
            found = None
        if found and self._describes(found):
            found = None
        if found is None:
            on = leads.LEADS_ON.match(self.text, self.at, self.end)
            if on:
                self.at = on.end()
                return True
            return False
        if found.side:
            kind = "body" if found.side in self.lex.bodies else "section"
            place = (found.label.span[0], found.label.span[0])
            named = (found.side,) if kind == "body" else ()
            self.parts.append(Heading(place, kind, named, "" if named else found.side))
        self.parts.append(found.label)
        self.at = found.end
        self.labelled = True
        return True

    def _describes(self, found: Found) -> bool:
        """Tell whether words say how the value before them acts: `W = 6 kN, square to AB`."""
        said = any(isinstance(part, Relation) for part in self.parts)
        rest = self.text[self.at : self.end]
        if found.label.axis in ("x", "y") and _LEANS.search(self.text[: self.at]):
            return True  # `the boom makes 30° with the horizontal`
        return said and rest[:1].isalpha() and "=" not in rest and ":" not in rest

    def _inner(self) -> bool:
        """Tell whether the name of an inner force stands here."""
        return self._inner_at(self.at)

    def _inner_at(self, place: int) -> bool:
        named = inner.named(self.text, place, self.end, self.lex) is not None
        return named or inner.sorted_letter(self.text, place, self.end)

    def _is_moment_itself(self, found: Found) -> bool:
        """Tell whether M_A behind a label is the moment at A: `Moments about A, M_A − 8 = 0`."""
        before = any(isinstance(part, SumLabel) for part in self.parts)
        text = self.source.line[slice(*found.label.span)]
        return before and text.lstrip(" →⇒")[:2] in ("M_", "M{") and ":" not in text

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
        if taken := leads.TAKES_BACK.match(self.text, self.at, self.end):
            span = self.source.span(taken.start(), taken.end())
            self.parts.append(Mark(span, self.source.line[span[0] : span[1]], "wrong"))
            self.at = taken.end()
            return True
        if by := leads.BY.match(self.text, self.at, self.end):
            span = self.source.span(by.start(), by.end("w"))
            meaning: MarkMeaning = "symmetry" if by["w"][0] in "sS" else "inspection"
            self.parts.append(Mark(span, self.source.line[span[0] : span[1]], meaning))
            self.at = by.end()
            return True
        axis = _FROM_AXIS.match(self.text, self.at, self.end)
        if axis and axis["axis"] not in self.lex.letters:
            self._prose(axis.start(), axis.end())
            return True
        closing = leads.CLOSING.match(self.text, self.at, self.end)
        if closing and (closing.end() < self.end or first):
            self.closing = True
            self._prose(closing.start(), closing.end())
            return True
        lead = leads.LEAD.match(self.text, self.at, self.end)
        if cited := cite_at(self.text, self.at, self.end if lead else self._clause_end()):
            tags, stop = cited
            self.parts.append(Reference(self.source.span(self.at, stop), tags))
            self.at = stop
            return True
        found = heading_at(self.source, self.at, self.end, self.lex, not self.parts)
        if found and not (found[0].kind == "section" and self._inner()):  # Italian taglio is both
            heading, stop = found
            if heading.kind == "body" and self._member_says(stop):
                return True
            self.parts.append(heading)
            self.at = stop
            return True
        if lead:
            self._prose(lead.start(), lead.end())
            return True
        return self._before_sum()

    def _before_sum(self) -> bool:
        """Take words right before a sum's label with the part that they keep: `Linker Flügel Σ`."""
        told = _BEFORE_SUM.match(self.text, self.at, self.end)
        if told is None or label_at(self.source, told.end(), self.end, self.lex) is None:
            return False
        side, span = side_of(SIDES.search(told["words"])), self.source.span(*told.span("words"))
        if side in self.lex.bodies:
            self.parts.append(Heading(span, "body", (side,)))
        else:
            self.parts.append(Heading(span, "section", (), side) if side else Prose(span))
        self.at = told.end()
        return True

    def _member_says(self, stop: int) -> bool:
        """Take `Member AB: 3 kN (T)` as `AB = 3 kN (T)`."""
        name = self.text[self.at : stop].split()[-1]
        rest = self.text[stop : self.end].partition(";")[0]
        if self.lex.pair(canonical(name)) is None or "=" in rest or RUN.match(rest.lstrip(" :")):
            return False  # `jib AC: 4 across, 3 up`
        told = re.match(r"\s*:\s*", rest)
        if told and only_marks(rest.partition(",")[0][told.end() :]):
            place = self.text.index(":", stop)
            self.text = self.text[:place] + " " + self.text[place + 1 :]
            self._prose(self.at, stop - len(name))
            return True
        value = _FORCE_FIRST.match(rest)
        labelled = value is not None and only_marks(rest[value.end() :].rstrip(" ."))
        if not labelled and not _MEMBER_VALUE.match(rest):
            return False
        place = self.text.index(":", stop)
        self.text = self.text[:place] + "=" + self.text[place + 1 :]
        self._prose(self.at, stop - len(name))
        return True

    def _prose(self, start: int, end: int) -> None:
        stop = start + len(self.text[start:end].rstrip(" ,:;."))
        self.parts.append(Prose(self.source.span(start, stop)))
        self.at = end

    def _on_body(self) -> None:
        """Take the body of `C_x on the right leg = 3`, `= 3 (up on AB)` as a heading in front.

        Behind the name of a force an unknown body is left out: a writer's own word for it.
        """
        match = _ON_BODY.match(self.text, self.at, self.end)
        own = match is not None and is_known(canonical(match["name"]), self.lex)
        match = match or _SENSE_ON.search(self.text, self.at, self.end)
        if match is None:
            return
        name, lex = match["body"], self.lex
        bodies = {body.lower(): body for body in lex.bodies}
        known = name.lower() in bodies or (len(name) > 1 and set(name) <= lex.joints)
        if not known and not own:
            return
        start, stop = match.span("on")
        self.text = self.text[:start] + " " * (stop - start) + self.text[stop:]
        if known:
            place = self.source.span(self.at, self.at)
            self.parts.append(Heading(place, "body", (bodies.get(name.lower(), name),)))

    def _clause(self) -> None:
        self._on_body()
        stop = self._clause_end()
        said = [part for part in self.parts if not isinstance(part, Prose)]
        follows = bool(said) and isinstance(said[-1], Relation) and not self._told_between()
        listed = follows and self._lists(stop)
        context = Context(
            self.source,
            self.lex,
            self.setting.comma,
            self.labelled,
            self.closing,
            self.tag,
            (follows and not listed) or self.carried,
            listed,
            self.carried,
        )
        self.carried = False
        for part in clause(self.text, self.at, stop, context):
            dash = self.source.place(self.dashed) if self.dashed >= 0 else None
            self._add(part if dash is None else bullets.either_dash(part, dash))
        self.dashed = -1
        self.at = stop

    def _told_between(self) -> bool:
        """Tell whether words with numbers stand between the last equation and this place.

        `6.8 − 12 = −5.2 at C, jump 8.2 to 3.0, end −3 → 0`: the nought goes on from no equation.
        """
        behind: list[Part] = []
        for part in reversed(self.parts):
            if not isinstance(part, Prose):
                break
            behind.append(part)
        texts = [self.source.line[slice(*part.span)] for part in behind]
        return sum(any(ch.isdigit() for ch in text) for text in texts) > 1

    def _lists(self, stop: int) -> bool:
        """Tell whether what stands here lists parts of the value before, and restates nothing.

        It does behind a colon (`W = 10 kN: 6 kN →, 8 kN ↓`), behind words that say so and in a new
        sentence, up to the next `=`; and where it acts on another body (`so −3 kN on the bar`).
        """
        before = self.text[: self.at].rstrip()
        sentence = before.endswith(".") and self.text[self.at].isupper()
        column = self.text[: self.at].endswith("   ") and self.text[self.at].isdecimal()
        if "=" in self.text[self.at : stop]:
            self.listing = False
        elif column or sentence or before.endswith(":") or _COMPONENTS.search(before):
            self.listing = True
        joined = _JOINED.search(before) and "=" not in self.text[self.at : stop]
        return self.listing or bool(joined) or bool(_ON_ANOTHER.match(self.text, self.at, stop))

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
        asked = self.text, self.at, self.end
        if self.ended[0] != asked:
            self.ended = asked, clause_end(*asked, self.lex, self.setting.comma)
        stop, self.text = self.ended[1]
        return stop


def _before_next(part: Struck, others: list[Part]) -> Struck:
    """End what is struck where the next part begins: braces without partners can widen it."""
    start, end = part.span
    stop = min((other.span[0] for other in others if start < other.span[0] < end), default=end)
    return part if stop == end else replace(part, span=(start, stop))

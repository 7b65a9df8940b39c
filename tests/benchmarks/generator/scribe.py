"""The second writer: other words, other layouts, another order of work than the first one."""

from __future__ import annotations

import copy
import math
import re
from dataclasses import replace

from .closing import closing_check, cut, frame, whole_reaction
from .dress import significant
from .hand import Piece, Slip
from .plan import Step, Term, wanted_keys
from .text import T
from .tongues import TONGUES
from .write import Writer, simple_zero

IE = {"en": "i.e.", "de": "d.h.", "fr": "c.-à-d.", "es": "es decir", "it": "cioè", "pl": "tzn."}
AGAIN = {
    "en": ["No, should be ", "Correction: ", "wrong, should be ", "Sorry: "],
    "de": ["Falsch, richtig: ", "Korrektur: "],
    "fr": ["erreur, corrigé : ", "Correction : "],
    "es": ["Corrección: ", "mal, debe ser "],
    "it": ["Correzione: ", "errore, corretto: "],
    "pl": ["Poprawka: ", "błąd, powinno być "],
}
MEET = {
    "en": "{o}: intersection of {a} and {b}", "de": "{o} = Schnittpunkt von {a} und {b}",
    "fr": "{o} : intersection de {a} et {b}", "es": "{o}: intersección de {a} y {b}",
    "it": "{o}: intersezione di {a} e {b}", "pl": "{o}: przecięcie {a} i {b}",
}  # fmt: skip
SQUARE = {
    "en": "Perpendicular to {bar}: ", "de": "Senkrecht zu {bar}: ",
    "fr": "Perpendiculairement à {bar} : ", "es": "Perpendicular a {bar}: ",
    "it": "Perpendicolarmente ad {bar}: ", "pl": "Prostopadle do {bar}: ",
}  # fmt: skip
ALONG = {
    "en": "Along {bar}: ", "de": "In Richtung {bar}: ", "fr": "Suivant {bar} : ",
    "es": "Según {bar}: ", "it": "Lungo {bar}: ", "pl": "Wzdłuż {bar}: ",
}  # fmt: skip
CARRIES = {
    "en": ("Bar {bar} carries {v} in {s}.", ("tension", "compression")),
    "de": ("Stab {bar}: {v} ({s}).", ("Zug", "Druck")),
    "fr": ("La barre {bar} supporte {v} en {s}.", ("traction", "compression")),
    "es": ("La barra {bar} trabaja a {s} con {v}.", ("tracción", "compresión")),
    "it": ("L'asta {bar} è {s}: {v}.", ("tesa", "compressa")),
    "pl": ("Pręt {bar} jest {s}: {v}.", ("rozciągany", "ściskany")),
}
TASK = {
    "en": ("Given:", "Find:"), "de": ("Geg.:", "Ges.:"), "fr": ("Données :", "On cherche :"),
    "es": ("Datos:", "Se pide:"), "it": ("Dati:", "Incognite:"), "pl": ("Dane:", "Szukane:"),
}  # fmt: skip
MINUS = {
    "en": "The minus sign means that {x} acts {w}.", "de": "Das Minus heißt: {x} wirkt {w}.",
    "fr": "Le signe moins indique que {x} agit {w}.",
    "es": "El signo menos indica que {x} actúa {w}.",
    "it": "Il segno meno indica che {x} agisce {w}.", "pl": "Minus oznacza, że {x} działa {w}.",
}  # fmt: skip
SUPPORT = {
    "en": "At {j} the support gives {v} {w}.", "de": "Lager {j}: {v} {w}.",
    "fr": "L'appui {j} donne {v} {w}.", "es": "El apoyo {j} da {v} {w}.",
    "it": "Il vincolo in {j} dà {v} {w}.", "pl": "Podpora {j}: {v} {w}.",
}  # fmt: skip


REPEATED = re.compile(r" = ([^=\n]+)(?= = \1(?![\w.,·×*∙(]))")
TEX = {
    "×": r"\times ",
    "·": r"\cdot ",
    "∙": r"\cdot ",
    "²": "^2",
    "≈": r"\approx ",
    "⇒": r"\Rightarrow ",
    "−": "-",
    "√": r"\sqrt",
}


def translated(line: T) -> T:
    """A line in LaTeX's signs, its marks moved along."""
    at, out = [0], ""
    for char in line.s:
        out += TEX.get(char, char)
        at.append(len(out))
    return T(out, tuple((m, at[a], at[b]) for m, a, b in line.marks))


def terse(statements: list[T]) -> list[T]:
    """Nobody writes `A = 12 = 12` or says the same twice in a row."""
    out: list[T] = []
    for one in statements:
        while (again := REPEATED.search(one.s)) and not marked(one, again.start(), again.end()):
            one = cut(one, 0, again.start()) + cut(one, again.end(), len(one.s))
        if out and one.s.startswith(out[-1].s) and not marked(out[-1], 0, len(out[-1].s)):
            out.pop()
        out.append(one)
    return out


def marked(line: T, a: int, b: int) -> bool:
    """Whether a planted fault lies in this piece."""
    return any(m in ("fault", "first", "wide") and x < b and y > a for m, x, y in line.marks)


def wrapped(line: T) -> T:
    """A long line broken before a sign, as people do at the edge of the paper."""
    if len(line.s) < 64 or "\n" in line.s:
        return line
    for at in range(44, len(line.s) - 12):
        sign = line.s[at : at + 3] in (" + ", " − ", " - ", " = ")
        level = line.s[:at].count("(") == line.s[:at].count(")")
        if sign and level:
            return cut(line, 0, at) + "\n    " + cut(line, at + 1, len(line.s))
    return line


class Scribe(Writer):
    """Writes the same plan in another hand."""

    def __post_init__(self) -> None:
        super().__post_init__()
        self.tongue = TONGUES[self.s.tongue]
        self.ie = IE[self.s.tongue]
        if self.s.latex:
            self.ie = rf"\text{{{self.ie}}}"
        self.again = AGAIN[self.s.tongue]
        if self.s.way_words:
            self.d.ways = self.tongue.ways
        self.met: set[str] = set()
        self.parts: dict[tuple[str, str], tuple[str, str, float]] = {}
        self.count = 0
        self.said: list[str] = []
        self.letter = ""

    def of(self, options: tuple[str, ...], habit: int) -> str:
        return options[habit % len(options)]

    # ---- the page
    def page(self, steps: list[Step]) -> T:
        if self.s.prose:
            self.doc.append(T(self.p.title))
        if self.s.given and not self.p.letters:
            self.task()
        if self.s.declare:
            self.doc += [T(line) for line in self.declarations(steps)]
        if self.p.load_names and not self.s.given:
            sep = "; " if self.s.comma else ", "
            given = [
                f"{n} = {self.d.given(self.p.load_size(k))[0].s}{self.d.unit(k)}"
                for k, n in self.p.load_names.items()
            ]
            self.doc.append(T(sep.join(given)))
        if self.s.lumps and not self.p.letters:
            self.resultants(steps)
        self.definitions(steps)
        if self.s.angles_said and self.s.trig == "degrees":
            self.angles(steps)
        if self.s.resolves and not self.p.letters and self.s.units != "all":
            self.resolve(steps)
        last: tuple[str, ...] | None = None
        i = 0
        while i < len(steps):
            step = steps[i]
            if step.body != last or step.inspection:
                self.head(step)
            group = self.group(steps, i)
            if len(group) > 1:
                self.together(i, group)
            else:
                self.step(i, step, T())
            i += len(group)
            self.doc += [T(x) for x in self.said]
            self.said = []
            ending = group[-1]
            last = None if ending.inspection else (ending.pair or ending).body
            if self.s.gaps and i < len(steps) and steps[i].body != last:
                self.doc.append(T(""))
        if self.s.check:
            closing_check(self)
        if self.s.resultant and self.s.roller_dress != "A":
            whole_reaction(self)
        if self.s.restate:
            self.restate()
        if self.s.tables:
            self.table()
        elif self.s.sentences:
            self.sentences()
        if self.s.latex:
            self.doc = [translated(line) for line in self.doc]
        return frame(self, self.doc)

    def task(self) -> None:
        """What is given and what is sought."""
        given, sought = TASK[self.s.tongue]
        sep = "; " if self.s.comma else ", "
        loads = [
            f"{name} = {self.d.given(self.p.load_size(key))[0].s} {self.d.force_unit}"
            for key, name in self.p.load_names.items()
        ]
        if loads:
            self.doc.append(T(f"{given} {sep.join(loads)}"))
        keys = [self.d.name(k) for k in wanted_keys(self.p)]
        self.doc.append(T(f"{sought} {sep.join(dict.fromkeys(keys))}"))

    def conclude(self, i: int, step: Step, x: float, slip: Slip, mark: str = "") -> T:
        out = super().conclude(i, step, x, slip, mark)
        key = step.target
        v = self.values.get(key, 0.0)
        act = next(t.act for t in step.terms if t.act.key == key)
        upright = act.slope is not None and act.slope.deg % 90 == 0
        if self.s.minded and v < 0 and act.kind == "react" and upright and self.slip.step != i:
            turned = self.sense.get(key, 1)
            assert act.slope is not None
            deg = round((act.slope.deg + (180 if turned > 0 else 0)) % 360)
            way = self.tongue.ways[deg // 90]
            self.said.append(MINUS[self.s.tongue].format(x=self.d.name(key), w=way))
        return out

    def head(self, step: Step) -> None:
        if step.inspection:
            return
        text = self.heading(step)
        if not text:
            return
        self.count += 1
        match self.s.numbering:
            case "1.":
                text = f"{self.count}. {text}"
            case "Step" if self.s.tongue == "en":
                text = f"Step {self.count}: {text}"
            case "a)":
                text = f"{'abcdefghijklmnopqrstuvwxyz'[self.count % 26 - 1]}) {text}"
        self.doc.append(T(text))

    def heading(self, step: Step) -> str:
        w, at = self.tongue, self.s.head_set
        match step.body[0]:
            case "whole":
                return self.of(w.whole, at)
            case "joint":
                return self.of(w.joint, at).format(j=step.body[1])
            case "section":
                part = set(step.body[1:])
                cut = [m for m in self.p.bars() if (m[0] in part) != (m[1] in part)]
                side = w.sides[0 if self._side(part) == "left" else 1]
                names = ", ".join(a + b for a, b in cut)
                return self.of(w.section, at).format(names=names, side=side)
            case "body":
                return self.of(w.body, at).format(n=step.body[1])
            case "cut":
                side = w.sides[0 if step.body[3] == "left" else 1]
                return self.of(w.cut, at).format(k=step.body[2], side=side)
        return ""

    def declarations(self, steps: list[Step]) -> list[str]:
        w, at = self.tongue, self.s.head_set
        bars = sorted({k for s in steps for k in s.unknowns if "-" in k})
        pulls = [self.d.name(k) for k in bars if self.sense.get(k, 1) > 0]
        pushes = [self.d.name(k) for k in bars if self.sense.get(k, 1) < 0]
        out = []
        if bars and not pushes:
            out.append(self.of(w.pulled, at))
        elif bars:
            if pulls:
                out.append(w.bars[0].format(x=", ".join(pulls)))
            out.append(w.bars[1].format(x=", ".join(pushes)))
        done = set()
        for s in steps:
            for k in s.unknowns:
                act = next(
                    t.act for part in (s, s.pair) if part for t in part.terms if t.act.key == k
                )
                if "-" in k or act.kind != "react" or k in done:
                    continue
                done.add(k)
                if act.slope is not None and act.slope.deg % 90 == 0:
                    deg = round((act.slope.deg + (0 if self.sense.get(k, 1) > 0 else 180)) % 360)
                    out.append(self.of(w.drawn, at).format(x=self.d.name(k), w=w.ways[deg // 90]))
        return out

    def label(self, step: Step) -> tuple[str, int]:
        w = self.tongue
        if step.axis in ("⊥", "∥") and self.s.latex:
            return rf"\sum F_{{\perp {step.point}}} = 0: \quad ", 1
        if step.axis in ("⊥", "∥"):
            text = (SQUARE if step.axis == "⊥" else ALONG)[self.s.tongue]
            return text.format(bar=step.point), 1
        if self.s.latex:
            axes = {"x": "F_x", "y": "F_y"}.get(step.axis, f"M_{step.point}")
            turn = -1 if step.axis == "M" and self.s.moment_positive == "cw" else 1
            return rf"\sum {axes} = 0: \quad ", turn
        x, y, m = w.labels[self.s.label_set % len(w.labels)]
        if step.axis == "x":
            return x, 1
        if step.axis == "y":
            return y, 1
        flip = -1 if self.s.moment_positive == "cw" else 1
        text = m.format(a=step.point)
        return (text.replace("↺", "↻") if flip < 0 else text), flip

    def definitions(self, steps: list[Step]) -> None:
        super().definitions(steps)

    def define(self, t: Term) -> None:
        if self.s.defs != "sincos":
            self.define_angle(t)
            return
        assert t.act.slope is not None
        assert t.act.slope.legs is not None
        if not self.d.greek:
            return
        key = round(t.act.slope.acute, 4)
        name = self.d.greek.pop(0)
        dx, dy = t.act.slope.legs
        wrong = self.slip.where == "definition" and self.slip.step == len(self.d.angle_values)
        if wrong and self.slip.how == "dx":
            dx = self.slip.amount
        elif wrong:
            dy = self.slip.amount
        fault = "fault" if wrong else ""
        hyp = math.hypot(dx, dy)
        figures = 3 if self.s.figures == 3 else 4
        if self.s.lengths_first and not self.p.letters:
            hyp = significant(hyp, 4)
        ratios = []
        worth = {}
        for fn, leg in (("sin", dy), ("cos", dx)):
            v = round(leg / hyp, figures)
            worth[fn] = v
            exact = abs(hyp - round(hyp, 2)) < 1e-9
            word = self.d.trig(fn, name, True)
            if exact:
                worth[fn] = leg / hyp
                ratios.append(f"{word} = {self.d.text(leg)}/{self.d.text(hyp)}")
            elif self.s.lengths_first and not self.p.letters:
                ratios.append(f"{word} = {self.d.text(leg)}/{self.d.text(hyp)} = {self.d.text(v)}")
            else:
                ratios.append(f"{word} = {self.d.text(v)}")
        sep = "; " if self.s.comma else ", "
        self.d.angle_names[key] = name
        self.d.angle_values[key] = math.degrees(math.atan2(dy, dx))
        self.sincos[key] = worth
        if self.s.lengths_first and not self.p.letters and t.act.kind == "member":
            bar = t.act.key.replace("-", "")
            bar = f"l_{bar}" if bar.isdigit() else bar
            root = f"√({self.d.text(dx)}² + {self.d.text(dy)}²)"
            text = f"{bar} = {root} = {self.d.text(hyp)} {self.p.units[1]}"
            self.doc.append(T(text).tag(f"length:{key}", fault))
        self.doc.append(T(sep.join(ratios)).tag(f"definition:{key}", fault))

    def define_angle(self, t: Term) -> None:
        assert t.act.slope is not None
        assert t.act.slope.legs is not None
        if not self.d.greek:
            return
        name = self.d.greek.pop(0)
        key = round(t.act.slope.acute, 4)
        dx, dy = t.act.slope.legs
        wrong = self.slip.where == "definition" and self.slip.step == len(self.d.angle_values)
        if wrong and self.slip.how == "dx":
            dx = self.slip.amount
        elif wrong:
            dy = self.slip.amount
        text, value = self.d.degrees(math.degrees(math.atan2(dy, dx)))
        ratio = f"{self.d.text(dy)}/{self.d.text(dx)}"
        fault = "fault" if wrong else ""
        self.d.angle_names[key] = name
        self.d.angle_values[key] = value
        if self.s.define in ("arctan", "atan"):
            word = {"tg": "arctg", "tan": "arctan"}[self.s.tangent]
            body = T(f"{word}({ratio})").tag(fault) + f" = {text}"
            self.doc.append((T(f"{name} = ") + body).tag(f"definition:{key}"))
            return
        body = T(f"{self.s.tangent} {name} = ") + T(ratio).tag(fault)
        if dx and self.s.figures == 3:
            body = body + f" = {self.d.text(round(dy / dx, 4))}"
        self.doc.append((body + f" ⇒ {name} = {text}").tag(f"definition:{key}"))

    def angles(self, steps: list[Step]) -> None:
        """The slopes that the sums will use, each as an angle of the figure at its corner."""
        done: set[float] = set()
        for step in steps:
            for t in step.terms + (step.pair.terms if step.pair else []):
                slope = t.act.slope
                if t.act.kind != "member" or t.fn is None or slope is None or not slope.legs:
                    continue
                key = round(slope.acute, 4)
                corner = self.corner(t.act.key)
                if key in done or (corner or "").isdigit() or t.theta is not None or corner is None:
                    continue
                done.add(key)
                dx, dy = slope.legs
                text, _ = self.d.degrees(slope.acute)
                fn = {"tg": "arctg", "tan": "arctan"}[self.s.tangent]
                ratio = f"{self.d.text(dy)}/{self.d.text(dx)}"
                self.doc.append(T(f"∠{corner} = {fn}({ratio}) = {text}"))

    def corner(self, bar: str) -> str | None:
        """The angle between a bar and a level one that meets it, by its three joints."""
        a, b = bar.split("-")
        slope = self.p.slope_between(a, b).acute
        for c, d in self.p.bars():
            for at, far in ((c, d), (d, c)):
                if at not in (a, b) or self.p.joints[c][1] != self.p.joints[d][1]:
                    continue
                other = b if at == a else a
                one, two = self.p.slope_between(at, far), self.p.slope_between(at, other)
                between = abs((one.deg - two.deg + 180) % 360 - 180)
                if abs(between - slope) < 1e-6:
                    return f"{far}{at}{other}"
        return None

    def resolve(self, steps: list[Step]) -> None:
        """The slanted loads' components worked out before any sum."""
        taken = {self.d.name(k) for k in self.p.truth}
        for step in steps:
            for t in step.terms + (step.pair.terms if step.pair else []):
                key, slope = t.act.key, t.act.slope
                if (
                    t.act.kind != "load"
                    or t.fn is None
                    or t.act.parts
                    or (key, "cos") in self.parts
                ):
                    continue
                if step.axis in "⊥∥" or slope is None or slope.legs is not None:
                    continue
                size = abs(t.act.value or 0.0)
                given = self.p.load_names.get(key, f"F{int(key.split()[1]) + 1}")
                names = [f"{given}{'_' if given.isalpha() else ''}{axis}" for axis in "xy"]
                if taken & set(names) or any(given == self.d.name(k) for k in self.p.truth):
                    continue
                texts = []
                shown = given if key in self.p.load_names else self.d.text(size)
                for fn, name in zip(("cos", "sin"), names, strict=True):
                    plain = Term(1, t.act, fn)
                    ratio, c = self.angle(plain)
                    text, v = self.number(size * c)
                    op = self.times.get(self.s.product, "·") if self.s.product != "paren" else " "
                    self.parts[key, fn] = (name, text, v)
                    texts.append(f"{name} = {shown}{op}{ratio.s} = {text}{self.d.unit('load')}")
                if self.rng.random() < 0.5:
                    self.doc += [T(x) for x in texts]
                else:
                    self.doc.append(T(("; " if self.s.comma else ", ").join(texts)))

    def piece(self, t: Term, flip: int, values: bool, target: tuple[str, ...]) -> Piece:
        part = self.parts.get((t.act.key, t.fn or "")) if t.theta is None else None
        if part is None or t.value is not None:
            return self.squared(t, flip) or super().piece(t, flip, values, target)
        name, text, v = part
        worded = self.s.resolves == "names" and not values
        body, worth = T(name if worded else text), v
        if t.arm is not None:
            body = self._with_arm(body, t, self.panel, not worded, False)
            worth *= round(t.arm / self.panel, 4)
        sign = t.sign * flip
        return Piece(sign, body, None, sign * worth, t)

    def squared(self, t: Term, flip: int) -> Piece | None:
        """w·L²/2 (or /3, /6) for a spread load that begins or ends at the moment point."""
        parts = t.parts or t.act.parts
        if not self.s.squares or t.act.kind != "dist" or t.arm is None or self.p.letters:
            return None
        if self.s.lumps or self.s.premultiplies or self.panel != 1.0:
            return None
        n = parts[-1]
        w = parts[-2]
        tri = len(parts) == 3
        ratio = t.arm / n
        by = next(
            (
                k
                for k in ((3, 6) if tri else (2,))
                if abs(ratio * (0.5 if tri else 1) - 1 / k) < 1e-3
            ),
            None,
        )
        if by is None:
            return None
        square = f"{self.d.text(n)}{'^2' if self.s.ascii else '²'}"
        op = "·" if self.s.product == "paren" else self.times[self.s.product]
        sign = t.sign * flip
        body = T(f"{self.d.text(w)}{op}{square}/{by}")
        return Piece(sign, body, None, sign * w * n * n / by, t)

    # ---- sums
    def solution(
        self,
        i: int,
        step: Step,
        mine: list[Piece],
        rest: list[Piece],
        c: float,
        k: float,
        solo: bool,
    ) -> list[T]:
        """The first hand's solution, its result marked as rounded by those who do so."""
        out = terse(super().solution(i, step, mine, rest, c, k, solo))
        x, v = self.full.get(step.target), self.values.get(step.target)
        if not self.s.approx or self.p.letters or self.slip.step == i or x is None or v is None:
            return out
        last = out[-1]
        spots = [a for m, a, _ in last.marks if m == "result"]
        if not spots or abs(x - v) < 1e-9 * abs(v) or "~~" in last.s:
            return out
        at = spots[0]
        if last.s[at - 3 : at] != " = ":
            return out
        if self.s.approx == "long":
            digits = max(0, self.s.figures + 1 - math.floor(math.log10(abs(x))))
            long = self.d.signed_plain(f"{abs(x):.{digits}f}", x < 0)
            return [*out[:-1], cut(last, 0, at) + long + " ≈ " + cut(last, at, len(last.s))]
        return [*out[:-1], T(last.s[: at - 3] + " ≈ " + last.s[at:], last.marks)]

    def equation(self, pieces: list[Piece], target: str | None = None) -> T:
        if self.s.form == "known right":
            mine = [q for q in pieces if q.key is not None]
            rest = [q for q in pieces if q.key is None]
            if mine and rest:
                turn = mine[0].sign
                return self.signed(mine, turn) + " = " + self.signed(rest, -turn)
        return super().equation(pieces, target)

    def group(self, steps: list[Step], i: int) -> list[Step]:
        """The sums of one body that this person writes down before solving any."""
        first = steps[i]
        if self.s.page_order != "sums first" or not self.plain(first):
            return [first]
        out = [first]
        for step in steps[i + 1 : i + 3]:
            if step.body != first.body or not self.plain(step):
                break
            out.append(step)
        return out

    def plain(self, step: Step) -> bool:
        return not (step.pair or step.inspection or step.symmetry or self.s.form == "solve")

    def together(self, i: int, group: list[Step]) -> None:
        """All sums first, numbered; then each solved in turn."""
        tags = []
        for k, step in enumerate(group, i):
            self.meet(step)
            self.numbered += 1
            tags.append(self.mark(self.numbered))
            label, flip = self.label(step)
            self.panel = 1.0
            terms = copy.copy(step.terms)
            for at, t in enumerate(terms):
                if t.value is not None and t.act.value is None and t.act.key not in self.values:
                    terms[at] = copy.copy(t)
                    terms[at].value, terms[at].mark = None, ""
            pieces = self.ordered([self.piece(t, flip, False, (step.target,)) for t in terms])
            sum_ = self.equation(pieces, step.target).tag(f"sum:{k}")
            head = T(label).tag(f"label:{k}")
            self.put(head + sum_ + "   " + tags[-1])
        for k, (step, tag) in enumerate(zip(group, tags, strict=True), i):
            label, flip = self.label(step)
            self.panel = 1.0
            if self.s.steps in ("short", "gather"):
                # What is put in is not shown, so it is what was found.
                self.s = replace(self.s, carry="same")
            pieces = [self.piece(t, flip, True, (step.target,)) for t in step.terms]
            valued = self.without_zeros(self.ordered(pieces))
            mine = [q for q in valued if q.key == step.target]
            rest = [q for q in valued if q.key != step.target]
            c, v = sum(q.worth for q in mine), sum(q.worth for q in rest)
            if abs(c) < 1e-9:
                self.dropped = True
                return
            self.spoken = []
            lead = T(self.rng.choice([f"{tag} ⇒ ", f"{tag}: "]))
            if not rest and simple_zero(mine):
                self.values[step.target] = 0.0
                self.doc.append(lead + f"{self.d.name(step.target)} = 0")
                continue
            self.doc.append(
                lead
                + T.join(self.s.connect, self.solution(k, step, mine, rest, c, v, False)).tag(
                    f"line:{k}"
                )
            )

    def step(self, i: int, step: Step, lead: T) -> None:
        self.meet(step)
        if self.s.passes_on and self.handed_on(i, step):
            return
        super().step(i, step, lead)

    def handed_on(self, i: int, step: Step) -> bool:
        """AB = BC = 12.3 kN (T): what a joint hands on from one bar to the next."""
        if step.pair or step.inspection or step.symmetry or step.body[0] != "joint":
            return False
        if step.axis not in "xy" or len(step.terms) != 2 or self.slip.step == i:
            return False
        mine, other = sorted(step.terms, key=lambda t: t.act.key != step.target)
        if other.mark or mine.mark or mine.fn or other.fn or other.value is not None:
            return False
        v = self.values.get(other.act.key)
        if not v or {mine.act.kind, other.act.kind} != {"member"} or mine.sign == other.sign:
            return False
        x = self.full.get(other.act.key, v)
        lead = f"{self.d.name(step.target)} = {self.d.name(other.act.key)} = "
        self.doc.append(T(lead) + self.conclude(i, step, x, Slip()))
        return True

    def meet(self, step: Step) -> None:
        """Where a point off the structure lies, before it is used."""
        if step.point in self.p.spots and step.point not in self.met and step.axis == "M":
            self.met.add(step.point)
            _, a, b = self.p.spots[step.point]
            bars = [n.replace("-", "") for n in (a, b)]
            self.doc.append(T(MEET[self.s.tongue].format(o=step.point, a=bars[0], b=bars[1])))

    def lines(self, head: T, statements: list[T], i: int) -> None:
        statements = [
            one
            for k, one in enumerate(statements)
            if k == 0 or one.s != statements[k - 1].s or marked(one, 0, len(one.s))
        ]
        place = self.s.label_place
        if (
            place == "after"
            and head
            and "(" not in head.s
            and head.s.rstrip().endswith((":", "→", "⟹", "⇒"))
        ):
            inner = T(head.s.strip().rstrip(":→⟹⇒ ").removesuffix("= 0").strip(), head.marks[:1])
            behind = "   (" + T(inner.s).tag(f"label:{i}") + ")"
            if "\n" in self.s.connect:
                statements = [statements[0] + behind, *statements[1:]]
            else:
                statements = [*statements[:-1], statements[-1] + behind]
            head = T()
        elif place == "line" and head:
            head = T(head.s.rstrip(), head.marks) + "\n"
        text = head + T.join(self.s.connect, statements).tag(f"line:{i}")
        self.put(text)

    def put(self, text: T) -> None:
        if self.s.bullets and text.s[0] not in "0123456789-−(":
            text = T(self.s.bullets) + text
        tagged = text.s.endswith(self.mark(self.numbered)) if self.numbered else False
        if self.s.comments and self.rng.random() < 0.15 and "\n" not in text.s and not tagged:
            text = text + self.rng.choice(["  ✓", "  (ok)", "  !"])
        self.doc.append(wrapped(text) if self.s.wraps else text)

    # ---- the end
    def restate(self) -> None:
        before = len(self.doc)
        super().restate()
        if len(self.doc) > before:
            text = self.doc[-1].s
            for lead in ("Results: ", "So ", "Answer: "):
                text = text.removeprefix(lead)
            self.doc[-1] = T(self.rng.choice([*self.tongue.results, ""]) + text)

    def table(self) -> None:
        """The answers as a table, as people type them."""
        rows = []
        words = CARRIES[self.s.tongue][1]
        for key in wanted_keys(self.p):
            v = self.values.get(key, 0.0)
            if not v or self.p.letters:
                continue
            size = self.d.result(v, "moment" in key)
            sense = words[0 if v * self.sense.get(key, 1) > 0 else 1] if "-" in key else ""
            rows.append(f"| {self.d.name(key)} | {size} | {sense} |")
        if rows:
            self.doc.append(T(f"| | [{self.d.force_unit}] | |"))
            self.doc += [T("|---|---|---|"), *(T(r) for r in rows)]

    def sentences(self) -> None:
        """The answers said in words."""
        form, words = CARRIES[self.s.tongue]
        for key in wanted_keys(self.p):
            v = self.values.get(key, 0.0)
            if not v or self.p.letters:
                continue
            size = self.d.result(abs(v), "moment" in key) + self.d.unit(key)
            if "[" in size:
                continue
            turned = v * self.sense.get(key, 1)
            if "-" in key:
                bar = key.replace("-", "")
                self.doc.append(T(form.format(bar=bar, v=size, s=words[0 if turned > 0 else 1])))
            elif key.startswith("reaction") and key.split()[-1] in "xy":
                axis = key.split()[-1]
                way = self.tongue.ways[(0 if axis == "x" else 1) + (0 if turned > 0 else 2)]
                self.doc.append(T(SUPPORT[self.s.tongue].format(j=key.split()[1], v=size, w=way)))

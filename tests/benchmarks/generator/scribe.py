"""The second writer: other words, other layouts, another order of work than the first one."""

from __future__ import annotations

import copy
import math
from dataclasses import replace

from .closing import closing_check, cut, frame, whole_reaction
from .ending import Ending
from .hand import Piece, Slip
from .plan import Step, wanted_keys
from .small_words import AGAIN, ALONG, MEET, MINUS, SQUARE, TASK
from .text import T
from .trim import marked, terse, translated, wrapped
from .write import simple_zero

__all__ = ["AGAIN", "Scribe"]


class Scribe(Ending):
    """Writes the same plan in another hand."""

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

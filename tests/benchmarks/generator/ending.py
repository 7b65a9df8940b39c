"""How the second writer's page ends: results again, as a table, or in sentences."""

from __future__ import annotations

from .plan import wanted_keys
from .preparing import Preparing
from .small_words import CARRIES, SUPPORT
from .text import T


class Ending(Preparing):
    """Says the answers once more."""

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

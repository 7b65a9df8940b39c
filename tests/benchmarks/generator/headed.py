"""Headings of free bodies and the senses that a page declares."""

from __future__ import annotations

from .labels import HEADINGS
from .plan import Step
from .solving import Solver


class Headed(Solver):
    """Says which free body comes next, and how forces were drawn."""

    def heading(self, step: Step) -> str:
        s = self.s
        match step.body[0]:
            case "whole":
                return s.whole
            case "joint":
                return HEADINGS[s.heading].format(j=step.body[1])
            case "section":
                part = set(step.body[1:])
                cut = [m for m in self.p.bars() if (m[0] in part) != (m[1] in part)]
                side = self._side(part)
                names = ", ".join(a + b for a, b in cut)
                return self.rng.choice(
                    [
                        f"Section through {names}; {side} part",
                        f"Cut {names}, {side} part:",
                        f"Section a-a through {names}, {side} part:",
                    ]
                )
            case "body":
                return (
                    f"FBD of {step.body[1]}:"
                    if s.heading != "none"
                    else f"{step.body[1].capitalize()}:"
                )
            case "cut":
                return f"Cut at {step.body[2]}, {step.body[3]} part:"
        return ""

    def plain_heading(self, step: Step) -> str:
        """What somebody writes who heads bodies only where it would not be clear otherwise."""
        return f"Joint {step.body[1]}:" if step.body[0] == "joint" else "Whole structure:"

    def _side(self, part: set[str]) -> str:
        inside = sum(self.p.joints[j][0] for j in part) / len(part)
        outside = [x for j, (x, _) in self.p.joints.items() if j not in part]
        return "left" if inside < sum(outside) / len(outside) else "right"

    def declarations(self, steps: list[Step]) -> list[str]:
        bars = sorted({k for s in steps for k in s.unknowns if "-" in k})
        pulls = [self.d.name(k) for k in bars if self.sense.get(k, 1) > 0]
        pushes = [self.d.name(k) for k in bars if self.sense.get(k, 1) < 0]
        out = []
        if bars and not pushes:
            out.append(
                self.rng.choice(["Assume all members in tension.", "All bars assumed in tension"])
            )
        elif bars:
            if pulls:
                out.append(f"Assume {', '.join(pulls)} in tension")
            out.append(f"Assume {', '.join(pushes)} in compression")
        for s in steps:
            for k in s.unknowns:
                act = next(t.act for t in s.terms if t.act.key == k)
                if "-" in k or act.kind not in ("react",):
                    continue
                word = self.d.arrow(k, act, True)
                if word and not any(self.d.name(k) + " " in o for o in out):
                    plain = {
                        "→": "to the right",
                        "←": "to the left",
                        "↑": "up",
                        "↓": "down",
                        "left": "to the left",
                        "right": "to the right",
                    }.get(word, word)
                    out.append(f"Assume {self.d.name(k)} {plain}")
        return out

    # ---- angles

"""Random lines of working in many habits, statically meaningless: reading must not care.

The sums are as often wrong as right, so nothing that reads them can learn that equations hold.
"""

import random

_GREEK = ("θ", "α", "β", "φ")
_WORDS = (
    "Taking moments about {J}", "Joint {J}", "Joint {J}:", "Section through {M}, {M2}; left part",
    "FBD of deck", "Whole structure", "Whole truss as free body", "Knoten {J}:",
    "By inspection, {M} = 0 (zero-force)", "assume {M} in compression", "Reactions",
    "Check at joint {J}", "Resolve vertically at {J}", "From (1): substitute into (2)",
    "Cut a-a, right-hand part", "so {M} is in tension", "Equilibrium of the boom",
    "Method of joints", "Slip hoist bracket, sheet {D}", "weight of the rack acts at {J}",
)  # fmt: skip


class Scribbler:
    """Makes up lines; `style` fixes the habits of one writer."""

    def __init__(self, seed: int) -> None:
        self.rng = random.Random(seed)
        pick = self.rng.choice
        self.joints = self.rng.sample("ABCDEFGHJKLMNPQRSTUVW", 7)
        self.force = pick(["F_{{{}}}", "{}", "F_{}", "{}", "T_{{{}}}", "N_{{{}}}"])
        self.times = pick(["({})", "({})", " × {}", "·{}", "*{}", " x {}"])
        self.minus = pick("−−-")
        self.decimal = pick("....,")
        self.unit = pick(["kN", "N", "kN", "lb", "kip", "kgf"])
        self.deg = pick(["°", "°", ""])
        self.moment = pick(["ΣM_{} = 0:", "↺+ ΣM_{} = 0:", "ΣM({}) = 0", "{}↺:", "M({}):"])
        self.sums = pick([("ΣF_x = 0:", "ΣF_y = 0:"), ("→+ ΣFx = 0", "+↑ ΣFy = 0"),
                          ("ΣH = 0:", "ΣV = 0:"), ("R(→):", "R(↑):"), ("→:", "↑:")])  # fmt: skip

    def lines(self, count: int) -> list[str]:
        """Return a page of lines."""
        kinds = [self.sum_line, self.moment_line, self.result, self.chain, self.words,
                 self.angle, self.ratio, self.sum_line, self.moment_line]  # fmt: skip
        return [self.rng.choice(kinds)().replace("−", self.minus) for _ in range(count)]

    def number(self) -> str:
        rng = self.rng
        value = rng.choice([
            f"{rng.randint(1, 60)}", f"{rng.uniform(0.1, 40):.1f}", f"{rng.uniform(0.1, 20):.2f}",
            f"{rng.uniform(0.1, 2):.3f}", f"{rng.randint(100, 9900)}", f"0.{rng.randint(1, 9)}",
        ])  # fmt: skip
        return value.replace(".", self.decimal)

    def joint(self) -> str:
        return self.rng.choice(self.joints)

    def member(self) -> str:
        return "".join(self.rng.sample(self.joints, 2))

    def name(self) -> str:
        kind = self.rng.random()
        if kind < 0.6:
            return self.force.format(self.member())
        return self.joint() + self.rng.choice(["_x", "_y", "_x", "_y", "x", "y"])

    def trig(self) -> str:
        of = self.rng.choice([*_GREEK, self.number() + self.deg, self.number() + self.deg])
        return f"{self.rng.choice(['sin', 'cos', 'sin', 'cos', 'tan'])} {of}"

    def term(self) -> str:
        rng = self.rng
        return rng.choice([
            lambda: self.name(), lambda: self.number(), lambda: f"{self.name()} {self.trig()}",
            lambda: f"{self.number()} {self.trig()}", lambda: f"{self.number()} {self.name()}",
            lambda: f"({rng.randint(3, 5)}/{rng.randint(5, 13)}){self.name()}",
        ])()  # fmt: skip

    def arm_term(self) -> str:
        rng = self.rng
        head = rng.choice([self.name(), self.number(), self.number(),
                           f"{self.number()} {self.trig()}"])  # fmt: skip
        return head + self.times.format(self.number())

    def terms(self, one: str, count: int) -> str:
        maker = self.arm_term if one == "arm" else self.term
        out = ("−" if self.rng.random() < 0.3 else "") + maker()
        for _ in range(count - 1):
            out += self.rng.choice([" + ", " − "]) + maker()
        return out

    def sum_line(self) -> str:
        label = self.rng.choice(self.sums)
        return f"{label} {self.terms('force', self.rng.randint(2, 4))} = 0"

    def moment_line(self) -> str:
        label = self.moment.format(self.joint())
        return f"{label} {self.terms('arm', self.rng.randint(2, 3))} = 0"

    def value(self) -> str:
        sense = self.rng.choice(["", "", " (T)", " (C)", " ↑", " ↓", " →", " ←"])
        sign = self.rng.choice(["", "", "−"])
        return f"{sign}{self.number()} {self.unit}{sense}"

    def result(self) -> str:
        lead = self.rng.choice(["", "", "∴ ", "⇒ ", "so "])
        return f"{lead}{self.name()} = {self.value()}"

    def chain(self) -> str:
        return f"{self.name()} = {self.number()}/{self.trig()} = {self.value()}"

    def ratio(self) -> str:
        a, b = self.number(), self.number()
        return f"{self.name()} = ({a} − {b})/{self.number()} = {self.value()}"

    def angle(self) -> str:
        greek = self.rng.choice(_GREEK)
        how = self.rng.choice(["tan⁻¹({}/{})", "arctan({}/{})", "tan^-1({}/{})"])
        inner = how.format(self.number(), self.number())
        return f"{greek} = {inner} = {self.number()}°"

    def words(self) -> str:
        form = self.rng.choice(_WORDS)
        return form.format(
            J=self.joint(), M=self.member(), M2=self.member(), D=self.rng.randint(2, 9)
        )

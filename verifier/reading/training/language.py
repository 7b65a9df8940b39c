r"""Lines of statics working as people write them, right or wrong alike, in a small markup.

The generator knows the language of statics and no statics: numbers, names, signs and functions
are drawn at random, so that a reader trained on its lines cannot learn that equations tend to be
right. Markup: `_{…}` `^{…}` scripts, `\f{…}{…}` a stacked fraction, `\r{…}` a root with its bar,
`\s{…}` struck out, `\c{T}` circled; a blank is a gap between words.
"""

import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from verifier.reading.training import formulas, usages

_TRADE = (
    "Joint joint Section section cut through left right part moments about Moments Taking "
    "taking the of at for at and in is by to from sum forces vertical horizontal Resolve "
    "resolve resolving Res vert horiz Reactions reactions support Support roller pin hinge "
    "member tension compression Tension Compression tie strut thrust zero force inspection By "
    "symmetry Check check so So since hence Hence therefore Let let Assume assume whole "
    "structure body FBD free diagram beam frame truss deck hoist boom mast rack gangway "
    "trestle upwards downwards clockwise anticlockwise positive equilibrium Equilibrium "
    "Consider consider angle load loads distributed UDL total from above sub into gives eqn "
    "using Using find Find where Knoten Schnitt Zug Druck noeud coupe nudo corte tirante "
    "puntone with weight mass up down Method method joints sections unknown direction acts "
    "act on as shown figure all given not ok OK see page answer Answer ans Ans units "
    "perpendicular distance slope line action "
)
WORDS = _TRADE.split()
FORCE_UNITS = ["kN", "N", "lb", "kip", "k", "kgf", "Ton", "daN", "MN", "lbs", "kips", "t", "tf"]
MOMENT_UNITS = ["kNm", "Nm", "kN·m", "N·m", "k-ft", "lb·ft", "ft-lb", "kip·ft", "N.m", "Nmm",
                "kN m", "N m", "kNcm", "lb-in", "kip-ft", "kgf·m", "kN-m", "kN×m"]  # fmt: skip
LENGTH_UNITS = ["m", "mm", "ft", "cm", "in", "'", "m^{2}", "mm^{2}", "kg", "s", "°", "rad"]
LINE_UNITS = ["kN/m", "N/m", "plf", "klf", "lb/ft", "k/ft", "N/mm", "kN/m^{2}", "N/mm^{2}",
              "MPa", "kPa", "kg/m", "m/s^{2}", "t/m"]  # fmt: skip
GREEK_ANGLES = "θθθαβφγ"
USAGES: tuple[tuple[float, Callable[["Speaker"], str]], ...] = (
    (0.045, usages.slashed), (0.035, usages.raised), (0.01, usages.sides),
    (0.015, usages.row), (0.03, usages.brief),
    (0.02, usages.sentence), (0.03, usages.twins), (0.03, usages.summed), (0.006, usages.mended),
    (0.02, usages.nested), (0.012, usages.lengthy), (0.14, formulas.laid),
    (0.03, formulas.fractions),
)  # fmt: skip
UP = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
LOW = "abcdefghijklmnopqrstuvwxyz"
JOINTS = "ABCDEFGHABCDEFGHABCDEJKLMNPQRSTUVWXZIO"


@dataclass
class Habit:
    """One writer's habits of notation, kept through a page."""

    times: str
    unit_chance: float
    stacked: float
    subscript: float
    decimal: str
    degree: float
    angle_bracket: float
    greek_sum: str
    moment: int
    force: str
    sense: int


def habit(rng: random.Random) -> Habit:
    """Draw one writer's habits."""
    return Habit(
        times=rng.choice(["()", "()", "()", "×", "×", "·", "·", "x", "*", ""]),
        unit_chance=rng.choice([0, 0, 0.1, 0.5]),
        stacked=rng.choice([0, 0.2, 0.5, 0.9]),
        subscript=rng.choice([1, 1, 0.9, 0.5, 0]),
        decimal=rng.choice("....,"),
        degree=rng.choice([1, 1, 1, 0.5, 0]),
        angle_bracket=rng.choice([0, 0, 0.3, 1]),
        greek_sum=rng.choice(["Σ"] * 8 + ["S", "", "sum", "SUM"]),
        moment=rng.randrange(6),
        force=rng.choice(["F", "F", "F", "R", "T", "S", "N", "P", "", "", "V"]),
        sense=rng.randrange(6),
    )


class Speaker:
    """Writes lines in one habit; every method returns markup."""

    def __init__(self, rng: random.Random) -> None:
        self.rng = rng
        self.habit = habit(rng)
        self.joints = rng.sample(sorted(set(JOINTS)), 5)

    def pick(self, options: Sequence[str]) -> str:
        """Return one of the options."""
        return self.rng.choice(options)

    def maybe(self, chance: float) -> bool:
        """Return true with this chance."""
        return self.rng.random() < chance

    def number(self) -> str:
        """Return a number of any form."""
        rng = self.rng
        kind = rng.random()
        if kind < 0.42:
            text = str(rng.choice([rng.randint(1, 9), rng.randint(1, 99), rng.randint(1, 999)]))
        elif kind < 0.9:
            places = rng.choice([1, 1, 1, 2, 2, 3])
            whole = rng.choice([0, rng.randint(0, 9), rng.randint(0, 99), rng.randint(0, 999)])
            text = f"{whole}{self.habit.decimal}{rng.randint(0, 10**places - 1):0{places}d}"
        elif kind < 0.94:
            apart = rng.choice([",", " ", "", ",", ".", "'"])
            text = f"{rng.randint(1, 99)}{apart}{rng.randint(0, 999):03d}"
            if self.maybe(0.15):
                text += f"{self.habit.decimal}{rng.randint(0, 99)}"
        elif kind < 0.96:
            text = f".{rng.randint(1, 999)}"
        elif kind < 0.98:
            text = rng.choice(["½", f"{rng.randint(1, 20)}½"])
        else:
            text = str(rng.randint(1000, 99999))
        return text.replace(" ", "")

    def joint(self) -> str:
        """Return a joint's letter, at times any letter or a number."""
        if self.maybe(0.85):
            return self.pick(self.joints)
        return self.pick(UP) if self.maybe(0.8) else str(self.rng.randint(1, 12))

    def scripted(self, base: str, sub: str) -> str:
        """Return a name with its index, lowered or in line as the habit has it."""
        if self.maybe(self.habit.subscript):
            return f"{base}_{{{sub}}}"
        return base + sub

    def name(self) -> str:
        """Return the name of a force, length, load or angle."""
        rng = self.rng
        kind = rng.random()
        if self.maybe(0.05):
            return usages.indexed(self)
        if kind < 0.3:
            base = self.habit.force or self.pick("FTRSN")
            return self.scripted(base, self.joint() + self.joint())
        if kind < 0.52:
            return self.scripted(self.joint(), self.pick("xyxyxyhvHVXY"))
        if kind < 0.62:
            base = self.pick("RVHMFNXYTSP")
            return self.scripted(base, self.joint() + self.pick(["", "", "x", "y", "h", "v"]))
        if kind < 0.68:
            return self.joint() + self.joint()
        if kind < 0.76:
            return self.scripted(self.pick("STFRNPWGQLahdlxwqrmMVXk"), str(rng.randint(0, 12)))
        if kind < 0.93:
            return self.pick(["F", "P", "W", "T", "R", "S", "N", "H", "V", "M", "Q", "G", "w", "q",
                              "L", "a", "b", "h", "l", "d", "g", "m", "x", "y", "r", "k", "s",
                              "wL", "mg", "qa", "Pa", "n", "e", "t", "z", "c", "u", "v", "p",
                              self.pick(LOW), self.pick(UP)])  # fmt: skip
        if kind < 0.97:
            return self.pick(["P'", "F'", "x'", self.pick(UP) + "'", "Δ", "δ", "λ", "μ", "σ", "ω"])
        return self.scripted(self.pick(UP + LOW), self.pick(UP + LOW + "θαβ0123"))

    def angle(self) -> str:
        """Return what stands under a function."""
        rng = self.rng
        if self.maybe(0.3):
            inner = self.pick(GREEK_ANGLES)
            if self.maybe(0.15):
                inner = self.scripted(inner, self.pick(["1", "2", "A", "B", "AB"]))
        else:
            value = rng.choice([30, 45, 60, 90, rng.randint(1, 179), rng.randint(1, 89)])
            text = str(value)
            if self.maybe(0.3):
                text += f"{self.habit.decimal}{rng.randint(0, 99)}"
            inner = text + ("°" if self.maybe(self.habit.degree) else "")
        if self.maybe(self.habit.angle_bracket):
            return f"({inner})"
        return inner

    def function(self) -> str:
        """Return a trigonometric factor."""
        name = self.pick(["sin", "cos", "sin", "cos", "tan"])
        if self.maybe(0.06):
            up = self.pick(["2", "-1", str(self.rng.randint(0, 9)), f"-{self.rng.randint(0, 9)}"])
            return self.pick([f"{name}^{{{up}}}{self.angle()}", f"{name}^{{{up}}}({self.ratio()})",
                              f"arc{name}({self.ratio()})"])  # fmt: skip
        return name + self.angle()

    def ratio(self) -> str:
        """Return a fraction, stacked or with a slash."""
        rng = self.rng
        kind = rng.random()
        if kind < 0.5:
            top, low = str(rng.randint(1, 15)), str(rng.randint(1, 20))
        elif kind < 0.7:
            top, low = self.number(), self.number()
        elif kind < 0.8:
            top, low = str(rng.randint(1, 9)), f"\\r{{{rng.randint(2, 99)}}}"
        elif kind < 0.9:
            top, low = self.name(), self.name()
        else:
            top, low = self.product(), self.number()
        return self.over(top, low)

    def over(self, top: str, low: str) -> str:
        """Return top over low in the habit's way."""
        if self.maybe(self.habit.stacked) and "\\f" not in top + low:
            return f"\\f{{{top}}}{{{low}}}"
        if any(c in top for c in "+-") and self.maybe(0.9):
            top = f"({top})"
        return f"{top}/{low}"

    def divisor(self) -> str:
        """Return what a sum is divided by."""
        if self.maybe(0.75):
            return self.number()
        return self.function() if self.maybe(0.6) else f"({self.number()}{self.function()})"

    def times(self, left: str, right: str) -> str:
        """Return a product in the habit's way."""
        sign = self.habit.times if self.maybe(0.85) else self.pick(["×", "·", "()", "*", "x"])
        if sign == "()":
            form = self.rng.random()
            if form < 0.7:
                return f"{left}({right})"
            return f"({left})({right})" if form < 0.9 else f"({left}){right}"
        return f"{left}{sign}{right}"

    def product(self) -> str:
        """Return one term of a sum, without its sign."""
        rng = self.rng
        kind = rng.random()
        if kind < 0.16:
            return self.number() + self.unit(self.habit.unit_chance)
        if kind < 0.32:
            return self.name()
        if kind < 0.5:
            return self.times(self.number(), self.number())
        if kind < 0.64:
            first, second = self.name(), self.number()
            if self.maybe(0.35):
                first, second = second, first
                return first + second if self.maybe(0.6) else self.times(first, second)
            return self.times(first, second)
        if kind < 0.8:
            first = self.name() if self.maybe(0.6) else self.number()
            if self.maybe(0.14):
                return self.over(first, self.function())
            text = first + rng.choice(["", "", "", "·", " "]) + self.function()
            return self.times(text, self.number()) if self.maybe(0.25) else text.replace(" ", "")
        if kind < 0.9:
            frac = self.ratio()
            if self.maybe(0.3):
                frac = f"({frac})"
            return rng.choice([frac + self.name(), self.name() + frac, self.name() + "·" + frac])
        if kind < 0.94:
            return self.times(self.times(self.number(), self.number()), self.number())
        if kind < 0.97:
            return self.name() + self.name() + self.pick(["", "^{2}", "^{2}/2", "/2", "/L"])
        inner = f"{self.number()}{self.pick('+-')}{self.number()}"
        return f"{self.name()}({inner})"

    def unit(self, chance: float = 1.0) -> str:
        """Return a unit, or nothing."""
        if not self.maybe(chance):
            return ""
        kind = self.rng.random()
        units = FORCE_UNITS if kind < 0.6 else MOMENT_UNITS if kind < 0.8 else LENGTH_UNITS
        if kind > 0.95:
            units = LINE_UNITS
        text = self.pick(units[:2]) if self.maybe(0.5) else self.pick(units)
        return f"[{text}]" if self.maybe(0.04) else text

    def sum_of(self, most: int) -> str:
        """Return a sum of up to `most` products with random signs."""
        count = self.rng.randint(1, most)
        text = ("-" if self.maybe(0.25) else "+" if self.maybe(0.03) else "") + self.product()
        for _ in range(count - 1):
            text += self.pick("+-") + self.product()
        return text

    def arrow(self) -> str:
        """Return an arrow."""
        return self.pick("→→←↑↑↓↺↺↻↺↗↘")

    def label(self) -> str:
        """Return the label of a sum, with its declared sense."""
        rng, h = self.rng, self.habit
        sigma = h.greek_sum
        axis = rng.random()
        if axis < 0.35:
            core = self.pick([f"{sigma}F_{{x}}", f"{sigma}F_{{y}}", f"{sigma}F_{{x}}",
                              f"{sigma}F_{{y}}", f"{sigma}F{self.pick('xyhvHV')}", f"{sigma}X",
                              f"{sigma}Y", f"{sigma}H", f"{sigma}V", f"{sigma}F_{{H}}",
                              f"{sigma}F_{{V}}", f"{sigma}F_{{kx}}"])  # fmt: skip
            way = self.pick("→↑→↑←↓")
        elif axis < 0.75:
            point = self.joint()
            core = [f"{sigma}M_{{{point}}}", f"{sigma}M_{{{point}}}", f"{sigma}M{point}",
                    f"{sigma}M({point})", f"M({point})", f"{sigma}M/{point}"][h.moment]  # fmt: skip
            way = self.pick("↺↺↻")
        else:
            core = self.pick(
                [
                    "R(↑)",
                    "R(→)",
                    "(↑)",
                    "(→)",
                    "↑",
                    "→",
                    "R(↗)",
                    f"M({self.joint()})",
                    f"{self.joint()}↺",
                    f"{self.joint()}↻",
                ]
            )
            return core + self.pick([":", "", " "])
        sense = [
            "", f"{way}+ ", f"+{way}", f"{way}^{{+}}", f"({way}+)", f"{self.pick(['+', ''])}{way}",
        ][h.sense]  # fmt: skip
        text = core if self.maybe(0.3) else core + "=0"
        text = sense + text if self.maybe(0.7) else text + " " + sense
        if self.maybe(0.05):
            text = f"[{text}]"
        return text.rstrip() + self.pick([":", ":", " ", ";", ",", " →", " ⇒"])

    def mark(self) -> str:
        """Return a mark behind a value."""
        return self.pick(
            [
                "(T)",
                "(C)",
                "(T)",
                "(C)",
                "\\c{T}",
                "\\c{C}",
                "T",
                "C",
                "→",
                "←",
                "↑",
                "↓",
                "↺",
                "↻",
                "✓",
                " tension",
                " compression",
                " (tie)",
                " (strut)",
                "(Zug)",
                "[comp]",
                "(tens)",
                " ✓",
                "(+)",
                "(-)",
                "!",
                " OK",
            ]
        )

    def value(self) -> str:
        """Return a value with unit and mark."""
        text = ("-" if self.maybe(0.2) else "") + self.number() + self.unit(0.75)
        if self.maybe(0.35):
            text += self.pick(["", " "]) + self.mark()
        return text

    def headed(self) -> str:
        """Return a labelled sum."""
        gap = self.pick(["", " ", " "])
        end = "" if self.maybe(0.08) else "=0" if self.maybe(0.75) else f"={self.sum_of(2)}"
        return self.label() + gap + self.sum_of(4) + end

    def equation(self) -> str:
        """Return an equation without label."""
        kind = self.rng.random()
        if kind < 0.4:
            return self.sum_of(4) + "=0"
        if kind < 0.5:
            return "0=" + self.sum_of(3)
        return self.sum_of(3) + "=" + self.sum_of(3)

    def chain(self) -> str:
        """Return a chain ending in a value."""
        start = self.pick(["", "", "", "∴", "∴ ", "⇒", "→", "so ", "So ", "⇒ ", "∵", "=", "="])
        if start == "=":
            return "=" + self.sum_of(2) + self.pick(["", "=" + self.value()])
        text = start + self.name()
        for _ in range(self.rng.choice([0, 0, 1, 1, 2])):
            text += "=" + self.pick([self.sum_of(3), self.ratio(), self.over(self.sum_of(3),
                                     self.divisor()), self.sum_of(2)])  # fmt: skip
        return text + self.pick(["=", "=", "=", "=", "=", "=", "=", "=", "≈", ":"]) + self.value()

    def definition(self) -> str:
        """Return the finding of an angle or a length."""
        rng = self.rng
        kind = rng.random()
        if kind < 0.5:
            fn = self.pick(["tan", "sin", "cos"])
            up = "-1" if self.maybe(0.7) else self.pick("-+") + str(rng.randint(0, 9))
            arc = self.pick([f"{fn}^{{{up}}}", f"{fn}^{{{up}}}", f"arc{fn} ".strip(), f"a{fn}"])
            return f"{self.pick(GREEK_ANGLES)}={arc}({self.ratio()})={self.number()}°"
        if kind < 0.8:
            a, b = self.number(), self.number()
            ups = ["2" if self.maybe(0.8) else str(rng.randint(0, 9)) for _ in range(2)]
            root = f"\\r{{{a}^{{{ups[0]}}}{self.pick('+-')}{b}^{{{ups[1]}}}}}"
            side = self.pick([self.joint() + self.joint(), "L", "R", "l", "d"])
            return f"{side}={root}={self.number()}"
        fn = self.pick(["sin", "cos", "tan"])
        return f"{fn}{self.pick(GREEK_ANGLES)}={self.ratio()}" + self.pick(
            ["", f"={self.number()}"]
        )

    def words(self, count: int) -> str:
        """Return words of the trade, with names and points among them."""
        out = []
        for _ in range(count):
            roll = self.rng.random()
            if roll < 0.75:
                word = self.pick(WORDS)
            elif roll < 0.85:
                word = self.joint() + self.pick(["", self.joint()])
            elif roll < 0.9:
                word = self.name()
            else:
                word = "".join(self.rng.choices(LOW, k=self.rng.randint(2, 8)))
            out.append(word + self.pick(["", "", "", "", "", "", ",", ".", ":"]))
        return " ".join(out)

    def heading(self) -> str:
        """Return a heading."""
        j = self.joint()
        a, b = self.joint() + self.joint(), self.joint() + self.joint()
        return self.pick([
            f"Joint {j}", f"Joint {j}:", f"joint {j}", f"@ {j}", f"@{j}:", f"Section {a},{b}",
            f"Section through {a}, {b}", "Section a-a", "Reactions:", "Reactions", f"At {j}:",
            f"Moments about {j}", f"Moments about {j}:", f"Taking moments about {j}:",
            f"Take moments at {j}", f"Knoten {j}", f"Knoten {j}:", "Whole structure",
            "FBD of beam", f"By inspection, {a}=0", f"{a}=0 (zero force)", "left part",
            f"Cut {a}; {b}", f"Resolve at {j}", f"Joint {j} {self.headed()}", f"Body {a}",
            f"Support {j}", "Check:", f"Check {self.headed()} ✓", "Equilibrium:", f"({j})",
            f"Assume {a} in tension", f"{a} in compression", f"sub ({self.rng.randint(1, 4)}) "
            f"into ({self.rng.randint(1, 4)})", f"from ({self.rng.randint(1, 4)}):",
        ])  # fmt: skip

    def expression(self) -> str:
        """Return mathematics of no meaning, so that no sign leans on its neighbours."""
        rng = self.rng
        every = "0123456789" * 4 + "ABCDEFGHJKLMNPQRSTUVWXYZ" + "abcdefghijkmnpqrstuvwxyz" * 2
        every += "xyab" * 6 + "θαβφγδλμπσωΔ"

        def atom() -> str:
            roll = rng.random()
            if roll < 0.45:
                return self.pick(every)
            if roll < 0.6:
                return self.number()
            if roll < 0.75:
                inside = "".join(self.pick(every) for _ in range(rng.choice([1, 1, 1, 2, 2, 3])))
                if self.maybe(0.15):
                    inside += self.pick("+-=,") + self.pick(every)
                return f"{self.pick(every)}_{{{inside}}}"
            if roll < 0.92:
                inside = self.pick(
                    [
                        "2",
                        "2",
                        "3",
                        "n",
                        "-1",
                        "x",
                        self.pick(every),
                        self.pick(every) + self.pick("+-") + self.pick(every),
                        "-" + self.pick(every),
                        str(rng.randint(1, 99)),
                    ]
                )
                base = self.pick(every)
                if self.maybe(0.12):
                    base += f"_{{{self.pick(every)}}}"
                return f"{base}^{{{inside}}}"
            return self.pick(["sin", "cos", "tan", "log", "lim", "max", "exp"]) + self.pick(every)

        def row(depth: int, inside: int = 0) -> str:
            text = self.pick(["", "", "", "-"])
            for index in range(rng.choice([1, 2, 2, 3, 3, 4])):
                if index:
                    text += self.pick(
                        [
                            "+",
                            "-",
                            "=",
                            "",
                            "",
                            "",
                            "·",
                            "×",
                            "/",
                            ",",
                            "<",
                            "÷",
                            ">",
                            "≤",
                            "≥",
                            "≠",
                            "→",
                            "±",
                            "≈",
                        ]
                    )
                roll = rng.random()
                if depth and roll < 0.16:
                    text += f"\\f{{{row(0, 1)}}}{{{row(0, 1)}}}"
                elif depth and roll < 0.24:
                    text += f"\\r{{{row(0, 1)}}}"
                elif inside < 2 and roll < 0.36:
                    text += self.pick(["({})", "({})", "[{}]", "|{}|"]).format(row(0, inside + 1))
                    if self.maybe(0.2):
                        text += "^{" + self.pick("23n") + "}"
                else:
                    text += atom()
            return text

        if self.maybe(0.06):
            return f"Σ_{{{self.pick('ijkn')}={self.pick('01')}}}^{{{self.pick('nN5k')}}}" + row(1)
        return row(1)

    def jumble(self) -> str:
        """Return signs in no order at all."""
        signs = ("0123456789" * 4 + UP + LOW + "+-=()/.,+-=()" + "θαβφΣ°√×·÷→←↑↓↺↻∴⇒✓½≈'[]:;*<>|∠⊥"
                 "±@%&!?\"")  # fmt: skip
        return "".join(self.rng.choices(signs.replace("√", ""), k=self.rng.randint(2, 14)))

    def corrected(self, line: str) -> str:
        """Strike something out in a line and write it anew."""
        wrong = self.pick([self.number(), self.name(), self.product()])
        if "\\" in wrong:
            wrong = self.number()
        at = line.rfind("=")
        at = at + 1 if at >= 0 and self.maybe(0.7) else len(line)
        if line.count("{", 0, at) != line.count("}", 0, at):
            at = len(line)
        return line[:at] + f"\\s{{{wrong}}}" + line[at:]

    def doubled(self) -> str:
        """Return an equation and what follows from it."""
        return f"{self.equation()} {self.pick(['→', '⇒', '∴', ';', ','])} {self.chain()}"

    def line(self) -> str:
        """Return one line of working."""
        kinds: list[tuple[float, Callable[[], str]]] = [
            (0.2, self.headed), (0.12, self.equation), (0.17, self.chain),
            (0.05, self.definition), (0.05, self.heading), (0.1, self.expression),
            (0.03, self.jumble), (0.01, lambda: self.words(self.rng.randint(1, 5))),
            (0.02, self.doubled), (0.02, self.value),
            *((share, partial(usage, self)) for share, usage in USAGES),
        ]  # fmt: skip
        roll = self.rng.random() * sum(w for w, _ in kinds)
        chosen = self.headed
        for weight, kind in kinds:
            roll -= weight
            if roll < 0:
                chosen = kind
                break
        text = chosen()
        if self.maybe(0.03):
            text += " " + f"({self.rng.randint(1, 5)})"
        if self.maybe(0.03):
            text = self.corrected(text)
        return " ".join(text.split()) or self.number()

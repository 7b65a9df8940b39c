r"""Turns of writing that many people have and plain sums and chains do not show.

Slashes before figures, ratios of sides, tables, short answers, sentences around formulas, indices
with commas and primes, figures of signs that look alike. All of it says nothing of statics: figures
and names are drawn at random. Markup as in `language.py`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from verifier.reading.training.language import Speaker

TWINS = ("49", "60", "17", "35", "56", "27", "38", "149", "068", "358", "014", "79", "23", "08")
"""Figures that one hand or another writes alike."""
LOOK_ALIKE = ("5S", "2zZ", "1Il", "0O", "6b", "9gq", "TF", "RC", "CG", "UV", "uv", "HN", "MN",
              "PD", "BD", "KR", "xX", "yY", "pP", "wW", "sS", "cC", "kK", "aα", "vV", "ad", "hn",
              "nm", "rv", "ea", "tf", "OD", "EF", "ij", "γy", "βB", "δ8")  # fmt: skip
_SAID = (
    "Summe der Kräfte Moment um Punkt Gleichgewicht Auflager Stab Stäbe Zug Druck links rechts "
    "oben unten somit daher folgt aus mit und für Last Seil Träger Hebelarm gesucht gegeben also "
    "somme des forces moments par rapport au point équilibre barre traction appui donc alors avec "
    "poids charge poutre suma fuerzas respecto barra apoyo peso carga viga tracción somma forze "
    "momento rispetto asta carico reazione vincolo carrello cerniera the whole beam as pivot then "
    "because which gives this must be same line of both sides cancel equal opposite pulls pushes "
    "end wall rope pulley boat oar weight length span middle centre each other only one two three "
    "first second next again total sum result force moment arm lever ground water rail wheel "
    "means that is does not rotate move up down towards away left right side top bottom"
)
SAID = _SAID.split()
ACCENTED = str.maketrans({"ä": "a\\¨", "ö": "o\\¨", "ü": "u\\¨", "é": "e\\´", "è": "e\\`",
                          "ó": "o\\´", "í": "i\\´", "á": "a\\´", "ñ": "n\\~"})  # fmt: skip


def slashed(s: Speaker) -> str:
    """Return a formula of letters over a figure: wL/2, 5wL^{4}/384EI."""
    r = s.rng

    def load() -> str:
        letters = s.pick(["wL", "PL", "wl", "qL", "ql", "Pa", "Pb", "Fa", "qa", "W", "P", "F", "w",
                          "Pab", "Fl", "mg", "Q", "M", "WL", s.name(), s.name()])  # fmt: skip
        if s.maybe(0.15):
            letters = str(r.randint(2, 5)) + letters
        if letters[-1] in "Lla" and s.maybe(0.45):
            letters += s.pick(["^{2}", "^{2}", "^{2}", "^{3}"])
        low = s.pick(["2", "2", "2", "3", "4", "6", "8", "8", "12", "L", "l", "24", "2L", "a",
                      str(r.randint(2, 20)), "(a+b)", "L^{2}", s.number()])  # fmt: skip
        if s.maybe(0.5):
            return f"{letters}/{low}"
        return f"\\f{{{letters}}}{{{low}}}" if s.maybe(0.5) else f"({letters})/{low}"

    text = load()
    if s.maybe(0.35):
        text += s.pick("+-") + load()
    if s.maybe(0.75):
        text = f"{s.name()}={text}"
    if s.maybe(0.5):
        figures = s.times(s.number(), s.number()) + s.pick(["", "", "^{2}"])
        text += f"={figures}/{r.choice([2, 2, 3, 4, 6, 8, r.randint(2, 20)])}"
    return text + (f"={s.value()}" if s.maybe(0.6) else "")


def raised(s: Speaker) -> str:
    """Return raised figures of any kind: people make mistakes in them too, and 10^{3} is common."""
    r = s.rng

    def power() -> str:
        return r.choice([str(r.randint(0, 9)), str(r.randint(0, 9)), f"-{r.randint(0, 9)}",
                         str(r.randint(10, 99)), f"-{r.randint(1, 12)}", s.pick("nkxabmN"),
                         s.pick("nkxab") + s.pick("+-") + str(r.randint(1, 9)),
                         f"{r.randint(0, 9)}{s.habit.decimal}{r.randint(1, 9)}"])  # fmt: skip

    def one() -> str:
        base = r.choice([
            s.name(), s.number(), str(r.randint(2, 99)), s.pick("abcdhlLxyzrRdtI"), "10",
            f"({s.number()}{s.pick('+-')}{s.number()})", s.pick(["m", "mm", "cm", "s", "ft", "in"]),
        ])  # fmt: skip
        if s.maybe(0.25):
            name = s.pick(["sin", "cos", "tan", "cot", "sin", "cos"])
            return f"{name}^{{{power()}}}{r.choice([s.angle(), f'({s.ratio()})'])}"
        text = f"{base}^{{{power()}}}"
        return s.number() + s.pick(["·", "×", "", " "]) + text if s.maybe(0.2) else text

    text = one()
    if s.maybe(0.5):
        text += s.pick(["+", "-", "=", "·", "+", "-", "/"]) + r.choice([one, s.product])()
    if s.maybe(0.2):
        text = f"\\r{{{text}}}"
    if s.maybe(0.5):
        text = f"{r.choice([s.name(), s.pick('θαβφ')])}={text}"
    return text + (f"={s.value()}" if s.maybe(0.4) else "")


def sides(s: Speaker) -> str:
    """Return the ratio of a triangle's sides, or a slope."""
    r = s.rng
    count = r.choice([2, 2, 3])
    text = ":".join(r.choice([str(r.randint(1, 15)), s.number()]) for _ in range(count))
    if s.maybe(0.25):
        return text
    form = r.choice(["{t} triangle", "slope {t}", "({t})", "{n}:{t}", "{t} ⇒ {f}={q}", "Δ {t}",
                     "{f}={q} ({t})", "{j}{k}: {t}"])  # fmt: skip
    return form.format(
        t=text, n=s.name(), f=s.pick(["sin", "cos", "tan"]) + s.pick("θαβ"), q=s.ratio(),
        j=s.joint(), k=s.joint(),
    )  # fmt: skip


def row(s: Speaker) -> str:
    """Return a row of a table."""
    r = s.rng

    def cell() -> str:
        return r.choice([
            s.joint() + s.joint(), s.number(), "-" + s.number(), s.number(), s.name(),
            s.pick("TC"), s.pick(["T", "C", "(T)", "(C)", "0", "-", "kN", "Zug", "Druck"]),
            str(r.randint(1, 12)), s.value(),
        ])  # fmt: skip

    if s.maybe(0.12):
        return s.pick(["Member|Force|T/C", "member | F | type", "Stab | S | Zug/Druck", "No.|L|F",
                       "load|arm|moment", "F|d|M", "Bar Force (kN)"])  # fmt: skip
    gap = r.choice(["|", " | ", "  ", "|", ", ", "; "])
    text = gap.join(cell() for _ in range(r.randint(2, 5)))
    return f"|{text}|" if gap.strip() == "|" and s.maybe(0.2) else text


def brief(s: Speaker) -> str:
    """Return a line of very few signs."""
    r = s.rng
    return r.choice([
        s.name(), s.number(), f"{s.name()}=0", f"={s.number()}", f"={s.value()}", f"={s.name()}",
        f"({r.randint(1, 9)})", f"{r.randint(1, 9)})", s.mark().strip(), f"{s.name()}=?",
        s.joint() + s.joint(), f"{s.joint()}:", f"{s.number()}{s.unit()}", f"{s.name()}{s.mark()}",
        f"∴{s.name()}", f"-{s.number()}", s.function(), f"{s.name()}={r.randint(0, 99)}",
        f"{s.arrow()}+", f"+{s.arrow()}", s.label(), f"{s.pick('θαβφ')}={r.randint(1, 90)}°",
        f"{s.number()}{s.mark()}", s.pick(["FBD", "OK", "ans", "check", "✓", "So", "(a)"]),
    ])  # fmt: skip


def sentence(s: Speaker) -> str:
    """Return words around a formula."""
    r = s.rng

    def words(most: int) -> str:
        count = r.randint(1, most)
        said = " ".join(s.pick(SAID) if s.maybe(0.7) else s.words(1) for _ in range(count))
        return said.translate(ACCENTED)

    inner = r.choice([s.name, s.number, s.value, s.equation, s.chain, s.function])()
    text = r.choice([
        f"{words(3)} {inner}", f"{inner} {words(2)}", f"{words(2)} {inner} {words(2)}", words(5),
        f"{words(2)}: {inner}", f"{words(2)}, {inner}", f"{s.name()} {words(2)} {s.name()}",
    ])  # fmt: skip
    return (
        text[0].upper() + text[1:]
        if text[0] in "abcdefghijklmnopqrstuvwxyz" and s.maybe(0.5)
        else text
    )


def indexed(s: Speaker) -> str:
    """Return a name whose index has commas, primes, words, or stands where it should not."""
    r = s.rng
    base, a, b = s.pick("FRSTNMVAPWQσL"), s.joint(), s.joint()
    way, few = s.pick("xyhvHVXYz"), str(r.randint(1, 12))
    return r.choice([
        f"{base}_{{{a}{b},{way}}}", f"{base}_{{{a},{way}}}", f"{base}_{{{few}{way}}}",
        f"{base}_{{{few},{way}}}", f"{base}_{{{a}{b}}}'", f"{base}'_{{{a}{b}}}", f"{a}'_{{{way}}}",
        f"{base}_{{{a}}}'", f"{base}_{{{a}{b}{s.joint()}}}", f"{base}_{{{a}{few}}}",
        f"{base}_{{{a}{way}}}", f"{base}_{{{few}{r.randint(0, 9)}}}", f"{base}_{{{a}}}{b}",
        f"{base}_{{{s.pick(['max', 'min', 'res', 'tot', 'eq', 'net', 'left', 'right', 'up'])}}}",
        f"{base}_{{{a}{b}{way}}}", f"{base}_{{{a}({way})}}", f"{base}_{{{a}/{b}}}",
        f"{base}_{{{a}}}^{{{s.pick(['2', few, way, '+', 'l', 'r'])}}}", f"{base}^{{{a}}}",
        f"({base}_{{{a}{b}}})_{{{way}}}", f"{base}{a.lower()}{b.lower()}",
        f"{base}_{{{a.lower()}}}",
    ])  # fmt: skip


def twins(s: Speaker) -> str:
    """Return a sum or chain of figures and names that look like one another."""
    r = s.rng

    def figure() -> str:
        chosen = s.pick(TWINS)
        text = "".join(r.choices(chosen, k=r.randint(1, 4)))
        if len(text) > 1 and s.maybe(0.6):
            at = r.randint(1, len(text) - 1)
            text = text[:at] + s.habit.decimal + text[at:]
        return text

    def name() -> str:
        base, index = r.choices(s.pick(LOOK_ALIKE), k=1)[0], "".join(r.choices(
            s.pick(LOOK_ALIKE), k=r.randint(1, 2)))  # fmt: skip
        return base if s.maybe(0.5) else s.scripted(base, index)

    def term() -> str:
        return r.choice([figure(), figure(), name(), figure() + name(), s.times(name(), figure()),
                         s.over(figure(), figure()), s.times(figure(), figure())])  # fmt: skip

    text = term()
    for _ in range(r.randint(0, 4)):
        text += s.pick("+-=+-=/") + term()
    return text


def summed(s: Speaker) -> str:
    """Return a sum headed by an arrow alone, as some schools write it."""
    way = s.pick("↑→↑→↓←↺↻")
    head = s.pick([f"({way})", f"({way}):", f"R({way}):", f"{way}:", f"{way} ", f"[{way}]",
                   f"({way}+)", f"(+{way})", f"\\a{{{way}}}", f"\\a{{{way}}} ", f"{way}+:",
                   f"R {way}", f"Res. {way}", f"Res({way})", f"F_{{{s.pick('xyHV')}}}:",
                   f"({s.joint()}){way}:", f"@{s.joint()} {way}:"])  # fmt: skip
    if head.startswith("\\a") and s.maybe(0.6):
        head += s.habit.greek_sum + s.pick(["F_{x}", "F_{y}", f"M_{{{s.joint()}}}", "X", "V"])
        head += s.pick(["=0:", ":", "=0 ", " "])
    end = s.pick(["=0", "=0", f"={s.sum_of(2)}", f"={s.value()}"])
    return head + s.pick(["", " "]) + s.sum_of(4) + end


def mended(s: Speaker) -> str:
    r"""Return a chain whose wrong figure is struck out, the right one written above it."""
    wrong = s.pick([s.number(), s.name(), s.number()])
    right = s.number() if s.maybe(0.7) else s.name()
    return f"{s.name()}={s.pick(['', s.sum_of(2) + '='])}\\o{{{wrong}}}{{{right}}}{s.unit(0.6)}"


def nested(s: Speaker) -> str:
    """Return a stacked fraction whose top or bottom holds another."""
    r = s.rng
    inner = f"\\f{{{s.pick([str(r.randint(1, 9)), s.name()])}}}{{{r.randint(2, 13)}}}"
    inner = s.pick([inner, inner, inner + s.name(), s.name() + inner, s.number() + "+" + inner])
    other = s.pick([s.number(), s.name(), s.product()])
    if "\\f" in other:
        other = s.number()
    pair = (inner, other) if s.maybe(0.5) else (other, inner)
    text = f"\\f{{{pair[0]}}}{{{pair[1]}}}"
    return f"{s.name()}={text}" + (f"={s.value()}" if s.maybe(0.6) else "")


def lengthy(s: Speaker) -> str:
    """Return a sum that takes the whole width of the paper."""
    r = s.rng
    text = s.pick([s.label() + " ", "", "", s.name() + "="])
    text += s.sum_of(3)
    for _ in range(r.randint(2, 4)):
        text += s.pick("+-") + s.product()
    return text + s.pick(["=0", f"={s.sum_of(2)}", f"={s.value()}", ""])

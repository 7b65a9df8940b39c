"""Any equation in any dress reads as the same equation (hypothesis)."""

from dataclasses import dataclass

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from meaning import strict, tree_value, values
from test_exact_places import rebuilt

from verifier.notation import read_line, read_working
from verifier.notation.tree import Names, Relation, walk

SHEET = Names(
    frozenset({"A", "B", "C", "L0", "U12"}),
    frozenset(),
    frozenset({("A", "B"), ("B", "C"), ("L0", "U12")}),
    frozenset({"θ", "w", "a", "F_1"}),
)


@dataclass(frozen=True)
class Dress:
    """One writer's habits."""

    minus: str
    times: str
    comma: bool
    spaced: bool
    latex: bool
    degree: str
    zero_first: bool


DRESSES = st.builds(
    Dress,
    minus=st.sampled_from(["-", "−", "–"]),
    times=st.sampled_from(["×", "·", "*", " x ", "(", "∙"]),
    comma=st.booleans(),
    spaced=st.booleans(),
    latex=st.booleans(),
    degree=st.sampled_from(["°", "", " deg"]),
    zero_first=st.booleans(),
)
NAMES = {
    "A_y": ("A_y", "Ay", "A_{y}", "R_Ay", "R_{Ay}"),
    "AB": ("AB", "F_AB", "F_{AB}", "T_AB", "S_{AB}"),
    "L0U12": ("L0U12", "F_L0U12", "L0-U12"),
    "F1": ("F_1", "F1", "F_{1}", "F₁"),
    "θ": ("θ", "theta"),
}
PLAIN = {"A_y": "Ay", "AB": "AB", "L0U12": "L0U12", "F1": "F1"}


@dataclass(frozen=True)
class Pair:
    """What is written, and the same in strict notation."""

    written: str
    strict: str


def number(draw: st.DrawFn, dress: Dress) -> Pair:
    digits = f"{draw(st.integers(1, 9999)) / 10 ** draw(st.integers(0, 3)):g}"
    return Pair(digits.replace(".", ",") if dress.comma and "." in digits else digits, digits)


def name(draw: st.DrawFn, dress: Dress) -> Pair:
    key = draw(st.sampled_from(sorted(PLAIN)))
    written = draw(st.sampled_from(NAMES[key]))
    head = written.partition("_")
    # A force letter in front makes it another name for the strict reader.
    meant = written.replace("_", "").replace("{", "").replace("}", "").replace("-", "")
    assert head
    return Pair(written, meant.replace("₁", "1"))


def angle(draw: st.DrawFn, dress: Dress) -> Pair:
    function = draw(st.sampled_from(["sin", "cos", "tan"]))
    degrees = str(draw(st.integers(5, 80)))
    way = draw(st.integers(0, 2))
    mark = r"^\circ" if dress.latex and dress.degree == "°" else dress.degree
    slash = "\\" if dress.latex else ""
    if way == 0:
        greek = r"\theta" if dress.latex else "θ"
        return Pair(f"{slash}{function} {greek}", f"{function}(θ)")
    if way == 1:
        return Pair(f"{slash}{function}({degrees}{mark})", f"{function}({degrees})")
    gap = " " if dress.spaced or dress.latex else ""
    return Pair(f"{slash}{function}{gap}{degrees}{mark}", f"{function}({degrees})")


def slope(draw: st.DrawFn, dress: Dress) -> Pair:
    top, bottom = draw(st.integers(1, 12)), draw(st.integers(2, 13))
    if dress.latex:
        frac = draw(st.sampled_from([r"\frac", r"\tfrac", r"\dfrac"]))
        return Pair(f"{frac}{{{top}}}{{{bottom}}}", f"({top}/{bottom})")
    form = draw(st.sampled_from(["({}/{})", "({}/√{})", "({} / {})"]))
    meant = "({}/sqrt({}))" if "√" in form else "({}/{})"
    return Pair(form.format(top, bottom), meant.format(top, bottom))


@st.composite
def term(draw: st.DrawFn, dress: Dress) -> Pair:
    """One term: a force as number or name, perhaps resolved, perhaps with an arm."""
    force = draw(st.sampled_from([number, name]))(draw, dress)
    written, meant = force.written, force.strict
    if draw(st.booleans()):
        part = draw(st.sampled_from([angle, slope]))(draw, dress)
        written, meant = f"{written} {part.written}", f"{meant}*{part.strict}"
    if draw(st.booleans()):
        arm = number(draw, dress)
        times = r" \cdot " if dress.latex else dress.times
        joined = f"({arm.written})" if times == "(" else f"{times}{arm.written}"
        written, meant = written + joined, f"{meant}*{arm.strict}"
    return Pair(written, meant)


@st.composite
def equation(draw: st.DrawFn) -> tuple[str, tuple[str, str], bool]:
    """A written equation, its two sides in strict notation, and whether it is LaTeX."""
    dress = draw(DRESSES)
    gap = " " if dress.spaced else ""
    sides = []
    for least in (1, 0):
        terms = draw(st.lists(term(dress), min_size=least, max_size=4))
        written, meant = "", ""
        for index, one in enumerate(terms):
            minus = draw(st.booleans())
            sign = (dress.minus if minus else "+") if index or minus else ""
            written += (f"{gap}{sign}{gap}" if index else sign) + one.written
            meant += ("-" if minus else "+" if index else "") + one.strict
        sides.append(Pair(written or "0", meant or "0"))
    if dress.zero_first:
        sides.reverse()
    text = f"{sides[0].written}{gap}={gap}{sides[1].written}"
    return text, (sides[0].strict, sides[1].strict), dress.latex


@settings(max_examples=250, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(equation())
def test_any_dress_reads_as_the_same_equation(case: tuple[str, tuple[str, str], bool]) -> None:
    text, sides, latex = case
    context = text + "\nw = 2,5" if "," in text else text + "\nw = 2.5"
    line = read_working(context, SHEET, latex=latex)[0]
    relations = [part for part in line.parts if isinstance(part, Relation)]
    assert len(relations) == len(line.parts) == 1, line
    for wanted, side in zip(sides, relations[0].sides, strict=True):
        one, two = strict(wanted, values(3)), tree_value(side, values(3))
        assert abs(one - two) <= 1e-9 * max(1.0, abs(one)), (text, line.reads_as)


@settings(max_examples=150, deadline=None)
@given(equation())
def test_what_a_line_reads_as_reads_the_same_again(
    case: tuple[str, tuple[str, str], bool],
) -> None:
    text, _, latex = case
    line = read_working(text, SHEET, latex=latex)[0]
    again = read_line(line.reads_as, 1, SHEET)
    for one, two in zip(line.parts, again.parts, strict=True):
        assert isinstance(one, Relation)
        assert isinstance(two, Relation)
        for left, right in zip(one.sides, two.sides, strict=True):
            wanted, found = tree_value(left, values(5)), tree_value(right, values(5))
            assert abs(wanted - found) <= 1e-9 * max(1.0, abs(wanted)), (text, line.reads_as)


@settings(max_examples=200, deadline=None)
@given(equation(), st.data())
def test_a_broken_line_keeps_its_characters_and_raises_nothing(
    case: tuple[str, tuple[str, str], bool], data: st.DataObject
) -> None:
    text, _, latex = case
    place = data.draw(st.integers(0, len(text)))
    junk = data.draw(st.sampled_from(["(", ")", "=", "?", "~~", "{", "\\", "$", "|", "→", ":", ""]))
    cut = data.draw(st.integers(0, 3))
    broken = text[:place] + junk + text[place + cut :]
    for line in read_working(broken, SHEET, latex=latex):
        assert rebuilt(line) == line.whole
        for part in line.parts:
            for side in part.sides if isinstance(part, Relation) else ():
                for node in walk(side):
                    assert 0 <= node.span[0] <= node.span[1] <= len(line.whole)


@settings(max_examples=200, deadline=None)
@given(st.text(max_size=60))
def test_any_text_at_all_is_kept_and_raises_nothing(text: str) -> None:
    for line in read_working(text, SHEET):
        assert rebuilt(line) == line.whole

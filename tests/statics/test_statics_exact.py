"""Exact values: rationals, surds, letters, odd angles, and what is too long to write."""

import subprocess
import sys

import pytest
import sympy

from verifier.statics import answers, solve
from verifier.statics.surds import Surd, root_of
from verifier.statics.surdvalues import surd
from verifier.structure import read_sheet
from verifier.structure.values import call, value

BAR = """joint A 0 0
joint B {x} {y}
joint C {c} 0
member A-B, B-C, A-C
pin A
roller C
load B {load} down
"""


def exact(sheet, item):
    return solve(read_sheet(sheet)).exact(item)


def test_rational_geometry_gives_rationals_and_one_root_a_bar():
    sheet = BAR.format(x=1, y=2, c=3, load=5)
    assert exact(sheet, "reaction C") == sympy.Rational(5, 3)
    assert exact(sheet, "A-B") == -5 * sympy.sqrt(5) / 3


def test_a_quadratic_figure_stays_in_surds():
    sheet = BAR.format(x=1, y="sqrt(3)", c=2, load=6)
    assert exact(sheet, "A-B") == -2 * sympy.sqrt(3)
    assert exact(sheet, "A-C") == sympy.sqrt(3)


def test_letters_stay_letters():
    sheet = "let a\nlet h\nlet F\n" + BAR.format(x="a", y="h", c="2*a", load="F")
    a, h, force = sympy.symbols("a h F", positive=True)
    assert sympy.simplify(exact(sheet, "A-C") - force * a / (2 * h)) == 0
    assert sympy.simplify(exact(sheet, "A-B") + force * sympy.sqrt(a**2 + h**2) / (2 * h)) == 0


def test_a_beam_in_letters():
    sheet = read_sheet(
        "let w\nlet L\njoint A 0 0\njoint B L 0\njoint C L/2 0\nbody deck: A, C, B\n"
        "pin A\nroller B\n"
        "distributed A-B w down\nfind reactions, moment at C, shear at A\n"
    )
    said = {one.item: one.value for one in answers(sheet, solve(sheet))}
    assert said == {
        "reaction A x": 0.0,
        "reaction A y": "L·w/2",
        "reaction B": "L·w/2",
        "moment at C": "L²·w/8",
        "shear at A": "L·w/2",
    }


def test_odd_angles_are_kept():
    sheet = BAR.format(x=1, y=1, c=2, load=4).replace("down", "at 37")
    turn = sympy.cos(37 * sympy.pi / 180)
    assert exact(sheet, "reaction A x") == -4 * turn


def test_odd_angles_in_the_figure_are_carried_through():
    sheet = BAR.format(x=2, y="2*tan(37)", c=4, load=6)
    found = exact(sheet, "A-C")
    assert found.has(sympy.tan)
    assert float(found) == pytest.approx(3 / 0.7535540501027942)


def test_an_exact_form_that_would_fill_pages_comes_as_a_decimal():
    lines = [f"joint J{i} {2 * i}+cos({11 + i}) {i % 2 * 3}+sin({53 - i})" for i in range(9)]
    bars = [f"J{k}-J{i}" for i in range(9) for k in (i - 2, i - 1) if k >= 0]
    sheet = "\n".join(
        [*lines, "member " + ", ".join(bars), "pin J0", "roller J8", "load J3 2 down"]
    )
    solution = solve(read_sheet(sheet))
    found = solution.exact("J2-J4")
    assert found.is_Float
    assert float(found) == pytest.approx(solution.values["J2-J4"], rel=1e-12)


def test_forty_joints_exactly_in_every_member():
    count = 40
    lines = [f"joint J{i} {i} {i % 2 * 2}" for i in range(count)]
    bars = [f"J{k}-J{i}" for i in range(count) for k in (i - 2, i - 1) if k >= 0]
    lines += ["member " + ", ".join(bars), "pin J0", "roller J38", "load J17 3 at 250"]
    solution = solve(read_sheet("\n".join(lines)))
    for item, number in solution.values.items():
        assert float(solution.exact(item)) == pytest.approx(number, abs=1e-9)


@pytest.mark.parametrize(
    ("made", "expected"),
    [
        (call("sqrt", value(8)), {2: 2}),
        (call("cos", value(15)), {6: 0.25, 2: 0.25}),
        (call("sin", value(180) + call("atan", value(4) / value(3))), {1: -0.8}),
        (call("cos", call("asin", value(3) / value(5))), {1: 0.8}),
        (call("tan", value(-60)), {3: -1}),
        (value(1) / (value(1) + call("sqrt", value(2))), {2: 1, 1: -1}),
    ],
)
def test_values_become_surds(made, expected):
    found = surd(made)
    assert found is not None
    assert {root: float(part) for root, part in found.terms.items()} == expected
    assert float(found) == pytest.approx(made.number())


def test_surds_know_zero_exactly():
    two, three, six = (root_of(Surd({1: n})) for n in map(value_of, (2, 3, 6)))
    assert not two * three - six
    assert (two + three) / (two + three) == 1
    assert 1 / (three - two) == three + two
    assert surd(call("cos", value(37))) is None
    assert root_of(two) is None


def value_of(number):
    return value(number).args[0]


def test_solving_with_floats_loads_neither_sympy_nor_numpy():
    code = (
        "import sys\nfrom verifier.statics import solve\n"
        "from verifier.structure import read_sheet\n"
        f"sheet = read_sheet({BAR.format(x=1, y=2, c=3, load=5)!r})\n"
        "solution = solve(sheet)\nsolution.steps()\n"
        "print([name for name in ('sympy', 'numpy', 'mpmath') if name in sys.modules])\n"
    )
    found = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert found.stdout == "[]\n"

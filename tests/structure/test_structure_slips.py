"""Wrong sheets: one sentence with the line, the place, what was expected and a like example."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from verifier.errors import SheetError
from verifier.structure import new_sheet, read_sheet
from verifier.structure.slips import EXAMPLES

BASE = "joint A 0 0\njoint B 4 0\njoint C 4 3\nbody deck: A, B\npin A\nroller B\n"


def slip(text):
    with pytest.raises(SheetError) as caught:
        read_sheet(text)
    assert "\n" not in str(caught.value)
    assert len(str(caught.value)) < 600
    return caught.value


@pytest.mark.parametrize(
    ("line", "column", "problem", "expected"),
    [
        ("jiont D 1 1", 0, "begins no statement", "joint"),
        ("load D 5 down", 5, "no joint «D»", "A, B, C"),
        ("load b 5 down", 5, "no joint «b»", "«B»"),
        ("load C 5 down", 5, "nothing passes through C", "add C to the body"),
        (
            "joint M 5 0\njoint N 6 0\nmember B-N\nload M 2 up",
            5,
            "M lies on B-N",
            "make B-N a body",
        ),
        ("roller C", 7, "nothing passes through C", "add C to the body"),
        ("member A-A", 7, "A-A has no length", "two different joints"),
        ("joint D 4 0", 8, "B and D lie in one place", "a place of its own"),
        ("joint A 9 9", 6, "the first is on line 1", "a name of its own"),
        ("body deck: A, C", 5, "the first is on line 4", "a name of its own"),
        ("body arm: A, C, A", 16, "A is in the body twice", "each joint once"),
        ("body arm: A", 5, "a single joint", "two joints"),
        ("member A-B, B-A", 12, "a second member B-A", "each member once"),
        ("units kN, miles", 10, "no unit of length", "mm cm m ft in"),
        ("units m, kN", 6, "no unit of force", "kN"),
        ("let a = b\nlet b = a", 4, "circle: a → b → a", "none of the others"),
        ("joint D x 0\nangle x = A-D to A-C", 6, "circle", "none of the others"),
        ("let a = q", 8, "«q» is no number and no let", "a name that has a let"),
        ("let alpha = 2\nlet b = alpah", 8, "no let", "a number"),
        ("let x = (1+2", 12, "opened too often", "closed as opened"),
        ("let x = 1+2)", 11, "closed too often", "closed as opened"),
        ("let x = 1/(2-2)", 8, "division by zero", "other than 0"),
        ("let x = 1/sin 0", 8, "division by zero", "other than 0"),
        ("let x = sqrt(-1)", 8, "has no value", "real number"),
        ("let x = asin 2", 8, "has no value", "real number"),
        ("let x = tan 90", 8, "too large", "1e+12"),
        ("let a\nlet b = sqrt(a-100)", 8, "while letters stay letters", "real number"),
        ("let a\nlet b = 2^a", 8, "a letter in a power", "a number"),
        ("distributed A-C 3 down", 12, "nothing straight runs from A to C", "one body"),
        ("body wall: B, C\ndistributed B-C 2 left on plan", 23, "no length on plan", "upright"),
        ("find A-B", 5, "no member A-B", ""),
        ("find reaction C", 14, "C has no support", "A, B"),
        ("find reaction B x", 5, "no such part", "reaction B"),
        ("find moment at C", 15, "no body passes through C", "a joint of a body"),
        ("find pin A x on dekc", 16, "no body «dekc»", "deck"),
        ("body arm: B, C\nfind pin C x on arm", 9, "nothing else is pinned", "share"),
        ("find all members", 5, "no members", "items that it has"),
        ("find reaction B\nmarks reaction A x 2", 6, "not looked for", "an item of find"),
        ("marks reaction A x 1.5", 19, "marks are whole", "1 to 1000"),
        ("marks reaction A 2", 6, "several items", "reaction A x or reaction A y"),
        ("load B 6 kN down", 9, "«kN» after a value", "units stand once"),
        ("joint D 0,5 1", 9, "a comma in a number", "a decimal point"),
        ("joint D 1", 9, "ends too early", "a value"),
        ("joint D 1 2 3", 12, "«3» does not fit", "the end of the line"),
        ("load B 6 dwon", 9, "«dwon» does not fit", "perhaps down"),
        ("couple B 4", 10, "ends too early", "clockwise or anticlockwise"),
        ("couple C 4 clockwise", 7, "nothing passes through C", "member or body"),
        ("member A-C\ncouple C 4 clockwise", 7, "no body passes through C", "two-force members"),
        ("body arm: B, C\ncouple B 4 clockwise", 7, "several bodies meet", "on deck or on arm"),
        ("body arm: B, C\ncouple A 4 clockwise on arm", 24, "arm does not reach A", "on deck"),
        ("member B-C\nfixed C", 6, "there is no body", "a body of its own"),
        ("pin B", 4, "B has a support already", "one support"),
        ("load B 5 toward B", 16, "no direction from B to itself", "another joint"),
        ("angle t = 5 to 6", 10, "no line between two joints", "A-B to A-C"),
        ("angle t = A-A to A-B", 10, "no length", "two places"),
        ("call W = load C", 14, "no load at C", ""),
        ("title Hoist\ntitle Rack", 6, "a second title", "one title in a sheet"),
        ("title \u202eHoist", 6, "hidden control character U+202E", "visible text"),
        ("joint D\x00 1 1", 7, "hidden control character U+0000", "visible text"),
    ],
)
def test_slip(line, column, problem, expected):
    found = slip(BASE + line)
    assert found.line == BASE.count("\n") + line.count("\n") + 1 or "circle" in problem
    assert (found.column, problem in found.problem) == (column, True), str(found)
    assert expected in found.expected, str(found)


def test_every_statement_has_a_like_example():
    for kind, example in EXAMPLES.items():
        assert slip(f"{BASE}{kind}").example == example


def test_the_whole_sentence():
    assert str(slip(BASE + "load b 5 down  # there")) == (
        "sheet, line 7, column 6: there is no joint «b» in «load b 5 down»; expected perhaps «B», "
        "as in «joint b 2.4 0»"
    )


@pytest.mark.parametrize("text", ["", "# nothing\n", "joint A 0 0\njoint B 1 0\nmember A-B"])
def test_no_support(text):
    assert "no support" in slip(text).problem


def test_letters_that_leave_the_figure_open():
    text = (
        "let a\nlet b\njoint A 0 0\njoint K a 0\njoint L b 0\njoint B a+b 0\n"
        "body one: A, K\nbody two: K, L\nbody three: L, B\npin A\nroller B\ndistributed A-B 2 down"
    )
    assert "while a, b stay letters" in slip(text).problem


@pytest.mark.parametrize(
    "value",
    [
        "9**9**9",
        "9^9^9^9^9",
        "(" * 1500 + "1" + ")" * 1500,
        "-" * 3000 + "1",
        "2^" * 1500 + "1",
        "1e99",
        "1" + "0" * 200,
        "+".join(["sqrt 2"] * 500),
        "sin " * 900 + "1",
    ],
)
def test_bounded_values(value):
    found = slip(f"{BASE}let x = {value}")
    assert found.expected


@pytest.mark.parametrize(
    "chain",
    [
        "let a0 = sqrt 2\n" + "".join(f"let a{n + 1} = a{n}+a{n}\n" for n in range(200)),
        "let a0 = 3\n" + "".join(f"let a{n + 1} = a{n}/7*a{n}\n" for n in range(200)),
        "let a0 = 9^9\n" + "".join(f"let a{n + 1} = a{n}^16\n" for n in range(200)),
        "".join(f"let a{n + 1} = a{n}\n" for n in range(1900)) + "let a0 = a1900",
        "joint A 0 0\n" * 3000,
        "x" * 200_000,
        "load A " + "5" * 5000,
    ],
)
def test_bounded_sheets(chain):
    slip(chain)


LETTERS = "abAB01 -+*/^(),:=.#'°θ₁\t" + "\u202e\x00\ud7ff"
WORDS = st.text(alphabet=LETTERS, max_size=25)
LINES = st.one_of(
    st.text(alphabet=LETTERS, max_size=30),
    st.tuples(st.sampled_from(sorted(EXAMPLES)), WORDS).map(" ".join),
    st.sampled_from(sorted(EXAMPLES.values())),
)


def refusal(text):
    try:
        read_sheet(text)
    except SheetError as error:
        return error
    return None


@settings(max_examples=300, deadline=None)
@given(st.lists(LINES, max_size=8))
def test_whatever_is_written_is_read_or_refused_in_one_line(lines):
    error = refusal(BASE + "\n".join(lines))
    if error:
        assert "\n" not in str(error)
        assert error.line >= 1
        assert error.column >= 0


@settings(max_examples=300, deadline=None)
@given(st.data())
def test_a_sheet_with_one_character_changed_is_read_or_refused(data):
    text = new_sheet()
    place = data.draw(st.integers(0, len(text) - 1))
    text = text[:place] + data.draw(st.sampled_from(LETTERS)) + text[place + 1 :]
    error = refusal(text)
    if error:
        assert text.split("\n")[error.line - 1].startswith(error.text[:20])

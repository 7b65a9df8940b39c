import io

from verifier.findings import Answer
from verifier.reporting.colours import console
from verifier.reporting.solved import report_solution, solution_json
from verifier.statics.solution import Step
from verifier.structure import read_sheet

STRUCTURE = read_sheet("title Mooring stay\nunits kN, m\njoint A 0 0\njoint B 3 0\n"
                       "member A-B\npin A\nroller B\nload B 2.5 right\nfind reactions, A-B\n",
                       "stay.given")  # fmt: skip
ANSWERS = (
    Answer("reaction A x", -2.5, "kN", "left", None, "missing"),
    Answer("A-B", 2.5, "kN", "tension", None, "missing"),
    Answer("reaction B", 0.0, "kN", "", None, "missing"),
)
STEPS = (
    Step("joint B", "ΣF_x", "2.5 − AB = 0", ("AB = 2.5 kN (T)",)),
    Step("joint A", "ΣF_x", "A_x + 2.5 = 0", ("A_x = −2.5 kN (left)",)),
    Step("joint A", "ΣF_y", "A_y = 0"),
)


def shown(**settings):
    out = io.StringIO()
    report_solution("stay.given", STRUCTURE, ANSWERS, STEPS, console(out, 80), **settings)
    return out.getvalue()


def test_the_solution_is_told_in_a_persons_order():
    assert (
        shown()
        == """\
Mooring stay
stay.given: solved by equilibrium alone.
Forces in kN, lengths in m; tension, right, up and anticlockwise positive.

Asked for
  reaction A x   2.5 kN left
  A-B            2.5 kN tension
  reaction B     0 kN

How to get there

  joint B
    ΣF_x: 2.5 − AB = 0
        so AB = 2.5 kN (T)

  joint A
    ΣF_x: A_x + 2.5 = 0
        so A_x = −2.5 kN (left)
    ΣF_y: A_y = 0
"""
    )


def test_the_solution_is_told_in_german():
    text = shown(language="de")
    assert "Auflagerkraft A x   2.5 kN nach links" in text
    assert "Knoten B" in text


def test_the_solution_as_json_has_answers_and_equations():
    told = solution_json("stay.given", STRUCTURE, ANSWERS, STEPS)
    assert told["answers"][0] == {
        "item": "reaction A x", "value": -2.5, "unit": "kN", "sense": "left",
    }  # fmt: skip
    assert told["equations"][0]["gives"] == ["AB = 2.5 kN (T)"]

"""Free bodies: what acts on the part, named as the working names it, the way it was assumed."""

import math
from pathlib import Path

import pytest

from verifier.reporting.figure import draw_svg, scene
from verifier.reporting.figure_free import usual_name
from verifier.reporting.figure_question import in_question
from verifier.reporting.figure_scene import Label, Stroke
from verifier.statics import FreeBodies
from verifier.structure import read_sheet

SAMPLES = Path(__file__).parents[2] / "samples"


def sample(name):
    return read_sheet((SAMPLES / name / f"{name}.given").read_text("utf-8"))


def texts(drawing, style):
    return [m.text for m in drawing.marks if isinstance(m, Label) and m.style == style]


def shafts(drawing, style="reaction"):
    found = []
    for mark in drawing.marks:
        if isinstance(mark, Stroke) and mark.style == style and len(mark.points) == 2:
            (x1, y1), (x2, y2) = mark.points
            size = math.dist(*mark.points)
            found.append((round((x2 - x1) / size, 2), round((y1 - y2) / size, 2)))
    return found


def test_a_joint():
    structure = sample("slip-hoist")
    drawing = scene(structure, FreeBodies(structure).joint("B"), {"B-C": "S_1"})
    assert sorted(texts(drawing, "reaction name")) == ["F_AB", "S_1"]
    assert texts(drawing, "load name") == ["7 kN"]
    assert sorted(shafts(drawing)) == [(-1, 0), (-0.6, 0.8)]
    assert texts(drawing, "dimension name") == ["53.13°"]
    assert texts(drawing, "title") == ["Free body: joint B"]


def test_a_name_with_a_minus_is_drawn_the_other_way():
    structure = sample("slip-hoist")
    whole = FreeBodies(structure).whole()
    plain = shafts(scene(structure, whole))
    turned = scene(structure, whole, {"reaction D": "−D_x"})
    assert plain.count((1, 0)) == 2
    assert shafts(turned).count((1, 0)) == 1
    assert "D_x" in texts(turned, "reaction name")


def test_both_parts_of_a_section():
    structure = sample("roof-section")
    left, right = FreeBodies(structure).cut(["E-F", "E-C", "B-C"])
    names = {"E-F": "F_EF", "E-C": "F_EC", "B-C": "F_BC"}
    assert set(names.values()) <= set(texts(scene(structure, left, names), "reaction name"))
    assert "R_G" in texts(scene(structure, right, names), "reaction name")
    assert texts(scene(structure, left, names), "name") == ["A", "B", "E"]


@pytest.mark.parametrize(("side", "extra"), [("left", {"A_x", "A_y"}), ("right", {"R_B"})])
def test_a_piece_of_a_body(side, extra):
    structure = sample("rack-shelf")
    drawing = scene(structure, FreeBodies(structure).through_body("shelf", "C", side))
    assert set(texts(drawing, "reaction name")) == {"N_C", "V_C", "M_C"} | extra
    assert "3 kN/m" in texts(drawing, "load name")
    assert "C" in texts(drawing, "name")


def test_pin_forces_are_opposite_on_the_two_bodies():
    structure = sample("boathouse-frame")
    free = FreeBodies(structure)
    right = shafts(scene(structure, free.body("right")))
    names = {"pin C x on left": "-C_x", "pin C y on left": "-C_y"}
    left = shafts(scene(structure, free.body("left"), names))
    assert right.count((1, 0)) == 2
    assert left.count((-1, 0)) == 1
    assert left.count((0, -1)) == 1


def test_letters_stay_letters():
    structure = sample("letters-boom")
    drawing = scene(structure, FreeBodies(structure).whole())
    assert sorted(texts(drawing, "load name")) == ["2P", "P"]
    assert texts(drawing, "dimension name") == ["a", "a", "a"]


def test_the_force_in_question_and_its_arm():
    structure = sample("gangway")
    whole = FreeBodies(structure).whole()
    item = next(a.item for a in whole.actions if a.at == (6.0, 0.0))
    drawing = scene(structure, whole, {}, [item], "A")
    assert len([m for m in drawing.marks if m.style == "marked"]) == 1
    assert texts(drawing, "arm name") == ["6 m"]
    through_a = scene(structure, whole, {}, ["reaction A y"], "A")
    assert texts(through_a, "arm name") == []


def test_hostile_names_are_text():
    structure = sample("gangway")
    svg = draw_svg(structure, FreeBodies(structure).whole(), {"reaction B": "<b>\x00\u202e&"})
    assert "&lt;b&gt;&amp;" in svg
    assert "\u202e" not in svg


@pytest.mark.parametrize(
    ("item", "expected"),
    [
        ("reaction A x", "A_x"),
        ("reaction B", "R_B"),
        ("reaction A moment", "M_A"),
        ("pin C y on deck", "C_y"),
        ("A-B", "F_AB"),
        ("A1-B2", "F_A1-B2"),
        ("shear at K", "V_K"),
    ],
)
def test_usual_names(item, expected):
    assert usual_name(item) == expected


@pytest.mark.parametrize(
    ("name", "text", "where", "items", "about"),
    [
        ("gangway", "10×4", "moments about A", ["the 10 kN load at D"], "A"),
        ("gangway", "V_B×7,5", "moments about A", ["reaction B"], "A"),
        ("gangway", "H_A", "sum along x", ["reaction A x"], None),
        ("gangway", "V_B − 18", "sum along y", ["reaction B"], None),
        ("gangway", "18×2 = 0", "moments about A", [], "A"),
        ("gangway", "3×4", "moments about Z", [], None),
    ],
)
def test_the_force_that_a_term_is_about(name, text, where, items, about):
    structure = sample(name)
    names = {"reaction A x": "H_A", "reaction A y": "-V_A", "reaction B": "V_B"}
    whole = FreeBodies(structure).whole()
    found = in_question(structure, whole, text, f"whole structure, {where}", names)
    assert found == (tuple(items), about)

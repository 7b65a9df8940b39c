"""The figure as given: everything is there, inside the page, over nothing else, and inert."""

import sys
from itertools import combinations
from pathlib import Path
from xml.etree import ElementTree

import pytest

from verifier.errors import UsageError
from verifier.reporting.figure import draw_png, draw_svg, scene
from verifier.reporting.figure_scene import Disc, Label, Stroke, label_box
from verifier.reporting.figure_values import shown
from verifier.structure import read_sheet
from verifier.structure.values import letter, value

SHEETS = sorted((Path(__file__).parents[2] / "samples").glob("*/*.given"))
SVG = "{http://www.w3.org/2000/svg}"
BEAM = "units kN, m\njoint A 0 0\njoint C 2 0\njoint B 6 0\nbody deck: A, C, B\npin A\nroller B\n"


def sample(path):
    return read_sheet(path.read_text("utf-8"), path.name)


def labels(drawing, style=None):
    return [
        mark for mark in drawing.marks
        if isinstance(mark, Label) and (style is None or mark.style == style)
    ]  # fmt: skip


def texts(drawing, style=None):
    return [label.text for label in labels(drawing, style)]


def strokes(drawing, style):
    return [mark for mark in drawing.marks if isinstance(mark, Stroke) and mark.style == style]


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_every_joint_and_load_is_named(path):
    structure = sample(path)
    drawing = scene(structure)
    assert sorted(texts(drawing, "name")) == sorted(structure.joints)
    assert len(texts(drawing, "load name")) >= len({load.source for load in structure.loads})
    assert structure.title in texts(drawing, "title")


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_all_of_it_lies_on_the_page(path):
    drawing = scene(sample(path))
    for mark in drawing.marks:
        match mark:
            case Label():
                places = [label_box(mark)[:2], label_box(mark)[2:]]
            case Disc():
                places = [mark.centre]
            case Stroke():
                places = mark.points
        assert all(0 <= x <= drawing.width and 0 <= y <= drawing.height for x, y in places)


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_no_two_labels_overlap(path):
    boxes = [label_box(label) for label in labels(scene(sample(path)))]
    for one, two in combinations(boxes, 2):
        across = min(one[2], two[2]) - max(one[0], two[0])
        down = min(one[3], two[3]) - max(one[1], two[1])
        assert min(across, down) < 2


@pytest.mark.parametrize(
    ("way", "across", "down"),
    [("down", 0, 1), ("up", 0, -1), ("left", -1, 0), ("right", 1, 0), ("at 60", 1, -1)],
)
def test_a_load_points_the_way_it_acts(way, across, down):
    (shaft,) = strokes(scene(read_sheet(BEAM + f"load C 4 {way}")), "load")
    (x1, y1), (x2, y2) = shaft.points
    assert (round(x2 - x1) > 0) - (round(x2 - x1) < 0) == across
    assert (round(y2 - y1) > 0) - (round(y2 - y1) < 0) == down


def test_a_load_below_a_truss_hangs_from_its_joint():
    sheet = (
        "joint A 0 0\njoint B 4 0\njoint C 2 0\njoint D 2 3\nmember A-C, C-B, A-D, D-B, C-D\n"
        "pin A\nroller B\nload C 5 down"
    )
    drawing = scene(read_sheet(sheet))
    (shaft,) = strokes(drawing, "load")
    ring = min(
        (mark for mark in drawing.marks if isinstance(mark, Disc)),
        key=lambda disc: (
            abs(disc.centre[0] - shaft.points[0][0]) + abs(disc.centre[1] - shaft.points[0][1])
        ),
    )
    assert shaft.points[1][1] > shaft.points[0][1] > ring.centre[1]


@pytest.mark.parametrize(("turn", "left"), [("clockwise", False), ("anticlockwise", True)])
def test_a_couple_turns_the_way_it_acts(turn, left):
    (arc,) = strokes(scene(read_sheet(BEAM + f"couple C 4 {turn}")), "load")
    top = arc.points.index(min(arc.points, key=lambda point: point[1]))
    moves_left = arc.points[min(top + 1, len(arc.points) - 1)][0] < arc.points[top - 1][0]
    assert moves_left is left


def test_dimensions_are_those_of_the_sheet():
    drawing = scene(read_sheet(BEAM))
    assert texts(drawing, "dimension name") == ["2 m", "4 m"]


def test_dimensions_in_letters():
    sheet = (
        "let a\nlet b\njoint A 0 0\njoint C a 0\njoint B a+2*b 0\nbody d: A, C, B\npin A\nroller B"
    )
    assert texts(scene(read_sheet(sheet)), "dimension name") == ["a", "2b"]


def test_equal_bays_are_told_once():
    joints = "".join(f"joint J{n} {1.5 * n} 0\n" for n in range(7))
    body = "body rail: " + ", ".join(f"J{n}" for n in range(7))
    drawing = scene(read_sheet(f"{joints}{body}\npin J0\nroller J6"))
    assert texts(drawing, "dimension name") == ["6 × 1.5 m = 9 m"]


def test_loads_on_one_line_are_stacked():
    text = BEAM + "distributed A-B 2 down\ndistributed A-B 1 down"
    areas = strokes(scene(read_sheet(text)), "spread area")
    (low, high) = sorted(max(y for _, y in area.points) for area in areas)
    assert high - low > 30


def test_names_of_members_angles_and_loads():
    text = (
        "joint P 0 0\njoint Q 3 0\njoint R 3 4\nmember P-Q, P-R, Q-R\npin P\nroller Q\n"
        "load R 5 right\nangle φ = P-Q to P-R\ncall T = force P-R\ncall W = load R"
    )
    drawing = scene(read_sheet(text))
    assert "T" in texts(drawing, "reaction name")
    assert "φ" in texts(drawing, "dimension name")
    assert texts(drawing, "load name") == ["W = 5 N"]


@pytest.mark.parametrize(
    ("amount", "expected"),
    [
        (value(6), "6"),
        (value(2) * letter("P"), "2P"),
        (letter("w") * letter("a") / value(2), "wa/2"),
        (-(letter("P") + letter("Q")), "−(P + Q)"),
        ((letter("a") - value(1)) * value(3), "(a − 1)·3"),
    ],
)
def test_values_as_a_figure_shows_them(amount, expected):
    assert shown(amount) == expected


HOSTILE = "</text><script>alert(1)</script> $\\frac{1}{0}$ &amp; \"'"


def test_markup_in_a_title_is_text():
    structure = read_sheet(f"title {HOSTILE}\n{BEAM}load C 3 down")
    root = ElementTree.fromstring(draw_svg(structure))
    assert {node.tag for node in root.iter()} <= {
        SVG + tag for tag in ("svg", "title", "desc", "rect", "path", "circle", "text", "tspan")
    }
    assert root.find(SVG + "title").text == HOSTILE
    assert draw_png(structure).startswith(b"\x89PNG")


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_svg_asks_for_nothing_from_outside(path):
    svg = draw_svg(sample(path))
    assert "href" not in svg
    assert svg.count("http") == 1  # the name of the SVG language itself
    assert ElementTree.fromstring(svg).get("role") == "img"


def test_png_is_the_drawing_at_its_size():
    drawing = scene(read_sheet(BEAM))
    png = draw_png(read_sheet(BEAM), scale=1.0)
    width, height = (int.from_bytes(png[place : place + 4], "big") for place in (16, 20))
    assert abs(width - drawing.width) <= 1
    assert abs(height - drawing.height) <= 1


def test_png_without_the_library_says_what_to_do(monkeypatch):
    monkeypatch.setitem(sys.modules, "matplotlib.figure", None)
    with pytest.raises(UsageError, match="matplotlib"):
        draw_png(read_sheet(BEAM))


def test_the_same_sheet_gives_the_same_bytes():
    structure = read_sheet(BEAM + "load C 3 down")
    assert draw_svg(structure) == draw_svg(structure)
    assert draw_png(structure) == draw_png(structure)


def test_badly_scaled_and_crowded_figures_are_drawn():
    near = "".join(f"joint J{n} {n / 1e2} {n * n / 1e2}\n" for n in range(1, 60))
    members = "".join(f"member A-J{n}, J{n}-B\n" for n in range(1, 60))
    structure = read_sheet(f"joint A 0 0\njoint B 1e6 3e5\n{near}{members}pin A\nroller B")
    assert len(texts(scene(structure), "name")) == 61

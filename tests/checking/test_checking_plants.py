"""What every fault kind plants in a right working is found, once, at its place, as that kind."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests_support import right_working

import verifier
from verifier.checking.faults import kinds
from verifier.checking.figure import Figure
from verifier.notation import read_working
from verifier.notation.tree import Relation, SumLabel
from verifier.pipeline import names_of, open_sheet

SAMPLES = Path(__file__).resolve().parents[2] / "samples"
PLANTED = [kind for kind in kinds() if kind.plant is not None]
SHEETS = ("slip-hoist", "rack-truss", "gangway", "boom-bracket", "landing-beam", "roof-section")


def plants(sheet: Path, working: Path, kind):
    """Yield (line, planted text of the whole working, columns) for every line that takes one."""
    opened = open_sheet(sheet)
    figure = Figure(opened.structure, opened.solution.values)
    text = working.read_text(encoding="utf-8")
    lines = text.splitlines()
    for line in read_working(text, names_of(opened.structure)):
        moment = any(isinstance(p, SumLabel) and p.axis == "moment" for p in line.parts)
        for part in line.parts:
            planted = (
                kind.plant(part, line.text, moment, figure) if isinstance(part, Relation) else None
            )
            if planted is not None and planted.text != line.text:
                changed = list(lines)
                changed[line.number - 1] = planted.text
                yield line.number, "\n".join(changed) + "\n", planted.columns
                break


@pytest.mark.parametrize("name", SHEETS)
@pytest.mark.parametrize("kind", PLANTED, ids=lambda kind: kind.kind)
def test_a_plant_is_found_on_its_line_under_its_kind(kind, name):
    folder = SAMPLES / name
    sheet = next(folder.glob("*.given"))
    found, right = 0, 0
    for line, text, columns in plants(sheet, folder / "right.txt", kind):
        result = verifier.check(sheet, text)
        first = result.first_fault
        if first is None:
            continue  # the plant left a true statement
        found += 1
        overlap = first.columns[0] < columns[1] and columns[0] < first.columns[1]
        right += first.line == line and (first.kind == kind.kind or overlap)
    assert right >= 0.8 * found


@settings(max_examples=40, deadline=None)
@given(st.data())
def test_a_right_working_of_a_random_structure_is_not_blamed(data):
    sheet, working = data.draw(right_working())
    result = verifier.check(sheet, working)
    assert not result.faults, (working, result.faults)
    assert result.verdict in ("agrees", "unfinished")


def test_every_kind_tells_itself():
    for kind in kinds():
        assert kind.summary
        assert kind.about
        assert kind.examples
        assert all(example.right != example.wrong for example in kind.examples)
    assert len({kind.kind for kind in kinds()}) == 14

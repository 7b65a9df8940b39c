"""The Python way in: paths or text, names without values, places on the page."""

from pathlib import Path

import pytest

import verifier
from verifier.errors import CounterpoiseError, FileError
from verifier.pipeline import check_against, names_of, open_sheet
from verifier.reading.lines import Reading, ReadLine
from verifier.structure import read_sheet

SHEET = """\
units kN, m
joint K 0 0
joint L 4 0
body beam: K, L
pin K
roller L
load K 2 right
let h = 1.5
angle φ = 30
call W = load K
find reactions
"""
RIGHT = "→+ ΣF_x = 0: K_x + 2 = 0\nK_x = −2 kN\nK_y = 0\nL_y = 0\n"


def test_text_and_paths_give_the_same_result(tmp_path):
    given, working = tmp_path / "beam.given", tmp_path / "work.txt"
    given.write_text(SHEET, encoding="utf-8")
    working.write_text(RIGHT, encoding="utf-8")
    texts = verifier.check(SHEET, RIGHT)
    paths = verifier.check(given, working)
    strings = verifier.check(str(given), str(working))
    assert texts.verdict == paths.verdict == strings.verdict == "agrees"
    assert texts.lines == paths.lines == strings.lines
    assert (paths.working, paths.given) == (str(working), str(given))
    assert (texts.working, texts.given) == ("working", "sheet")


def test_no_sheet_is_no_given():
    assert verifier.check(None, RIGHT).given is None


def test_solve_gives_values_and_a_falsy_reason():
    assert verifier.solve(SHEET).values["reaction K x"] == pytest.approx(-2)
    reason = verifier.solve(SHEET.replace("roller L", "roller L at 0"))
    assert not reason
    assert reason.reason in ("mechanism", "indeterminate")


def test_a_sheet_without_a_solution_holds_no_working():
    with pytest.raises(CounterpoiseError, match="equilibrium alone"):
        verifier.check(SHEET.replace("roller L", "roller L at 0"), RIGHT)


def test_names_hold_no_values():
    names = names_of(read_sheet(SHEET, "sheet"))
    assert names.joints == {"K", "L"}
    assert names.bodies == {"beam"}
    assert {"h", "φ", "W"} <= names.letters
    assert names.units == ("kN", "m")


def test_how_a_file_was_decoded_is_noted(tmp_path):
    working = tmp_path / "old.txt"
    working.write_bytes(
        RIGHT.replace("→+ Σ", "sum ").replace("−", "-").encode("cp1252") + b"\xb0\n"
    )
    assert any("cp1252" in note for note in verifier.check(SHEET, working).notes)


@pytest.mark.parametrize("name", ["missing.given", "missing.txt"])
def test_a_missing_file_is_not_taken_for_text(name):
    with pytest.raises(FileError, match="no such file"):
        verifier.check(*((name, RIGHT) if name.endswith("given") else (SHEET, name)))
    with pytest.raises(FileError, match="no such file"):
        verifier.read(Path("missing.jpg"))


def page(*texts):
    """A reading in which each character stands in a box of its own, ten pixels wide."""
    lines = []
    for row, (text, others) in enumerate(texts):
        y = 100 * row
        boxes = tuple(None if char == " " else (10 * i, y, 10, 20) for i, char in enumerate(text))
        sure = 1 - sum(chance for _, chance in others)
        box = (0, y, 10 * len(text), 20)
        lines.append(ReadLine(text, 1, box, sure, others, boxes))
    return Reading("page.jpg", tuple(lines), ("a note of the reader",))


def test_a_fault_on_a_page_stands_at_its_term():
    sheet = open_sheet(SHEET)
    result = check_against(sheet, page(("ΣF_x = 0: K_x + 3 = 0", ()), ("K_x = −3 kN", ())))
    fault = result.first_fault
    start, end = fault.columns
    assert fault.line == 1
    assert fault.box == (10 * start, 0, 10 * (end - start), 20)
    assert result.lines[0].box == (0, 0, 210, 20)
    assert "a note of the reader" in result.notes


def test_a_doubt_that_matters_is_undecided_until_a_person_confirms():
    sheet = open_sheet(SHEET)
    doubtful = ("ΣF_x = 0: K_x + 2 = 0", (("ΣF_x = 0: K_x − 2 = 0", 0.4),))
    texts = (doubtful, ("K_x = −2 kN", ()), ("K_y = 0", ()), ("L_y = 0", ()))
    assert check_against(sheet, page(*texts)).verdict == "undecided"
    assert check_against(sheet, page(*texts), confirmed={1}).verdict == "agrees"


@pytest.mark.parametrize(("chance", "verdict"), [(0.0, "agrees"), (0.4, "undecided")])
def test_what_looks_like_a_sum_and_was_taken_for_words_is_a_question(chance, verdict):
    others = (("q(x) = 3x + 9", chance),) if chance else ()
    texts = (("q(x) = 3x + 4", others), ("K_x = −2 kN", ()), ("K_y = 0", ()), ("L_y = 0", ()))
    assert check_against(open_sheet(SHEET), page(*texts)).verdict == verdict

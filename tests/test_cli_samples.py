"""Every sample through the command line: the right working is right, the faulty one is not."""

import io
import json
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path

import pytest

from verifier.cli import main

SAMPLES = sorted((Path(__file__).resolve().parent.parent / "samples").glob("*/*.given"))
FIELDS = {
    "working", "given", "verdict", "first_fault", "faults", "lines", "answers", "assumed",
    "cautions",
}  # fmt: skip


def run(*argv):
    out, err = io.StringIO(), io.StringIO()
    with redirect_stdout(out), redirect_stderr(err):
        status = main([str(word) for word in argv])
    return status, out.getvalue(), err.getvalue()


def test_there_are_samples():
    assert len(SAMPLES) >= 6


@pytest.mark.parametrize("given", SAMPLES, ids=lambda given: given.parent.name)
def test_the_right_working_is_right(given):
    status, out, err = run("check", given.parent / "right.txt")
    assert (status, err) == (0, "")
    assert out.startswith(f"{given.parent / 'right.txt'}: right.\n") or ": right." in out


@pytest.mark.parametrize("given", SAMPLES, ids=lambda given: given.parent.name)
def test_the_faulty_working_goes_wrong_somewhere(given):
    status, out, err = run("check", "--json", given.parent / "faulty.txt")
    assert (status, err) == (1, "")
    (line,) = out.splitlines()
    told = json.loads(line)
    assert set(told) == FIELDS
    assert told["verdict"] == "fault"
    assert told["first_fault"] == told["faults"][0]
    start, end = told["first_fault"]["columns"]
    written = {one["line"]: one["text"] for one in told["lines"]}
    assert 0 <= start < end <= len(written[told["first_fault"]["line"]])


@pytest.mark.parametrize("given", SAMPLES, ids=lambda given: given.parent.name)
def test_the_sheet_is_solved_and_drawn(given):
    status, out, err = run("solve", given)
    assert (status, err) == (0, "")
    assert "How to get there" in out
    status, out, err = run("draw", given)
    assert (status, err) == (0, "")


def test_solve_speaks_json():
    status, out, _ = run("solve", "--json", SAMPLES[0])
    assert status == 0
    told = json.loads(out)
    assert told["answers"]
    assert told["equations"]


def test_several_workings_give_one_object_a_line_and_the_worst_status():
    both = [SAMPLES[0].parent / "right.txt", SAMPLES[0].parent / "faulty.txt"]
    status, out, _ = run("check", "--json", *both)
    assert status == 1
    assert [json.loads(line)["verdict"] for line in out.splitlines()] == ["agrees", "fault"]


def test_a_missing_file_among_others_is_told_and_the_others_are_checked():
    status, out, err = run("check", "--json", "missing.txt", SAMPLES[0].parent / "right.txt")
    assert status == 2
    assert len(out.splitlines()) == 1
    assert "no such file" in err


def test_alone_checks_a_working_against_itself(tmp_path):
    working = tmp_path / "sum.txt"
    working.write_text("R_A = 3·2 = 6 kN\nR_B = 10 − R_A = 5 kN\n", encoding="utf-8")
    status, out, _ = run("check", "--alone", working)
    assert status == 1
    assert "first goes wrong at line 2" in out
    assert "the figure itself was not checked" in out


def test_a_page_a_record_and_a_free_body_are_written(tmp_path):
    working = SAMPLES[0].parent / "faulty.txt"
    page, record = tmp_path / "page.html", tmp_path / "record.html"
    status, out, err = run("check", working, "--page", page, "--record", record, "--hints")
    assert (status, err) == (1, "")
    assert f"{page} is written." in out
    assert "<mark" in page.read_text(encoding="utf-8")
    assert "NOT AGREED" in record.read_text(encoding="utf-8")
    svg = tmp_path / "whole.svg"
    assert run("draw", SAMPLES[0], "--body", "whole", "--svg", svg)[0] == 0
    assert svg.read_text(encoding="utf-8").lstrip().startswith("<")


def test_ink_wants_a_photo(tmp_path):
    working = SAMPLES[0].parent / "right.txt"
    status, _, err = run("check", working, "--ink", tmp_path / "ink.png")
    assert status == 2
    assert "no photo" in err


def test_every_sample_can_be_laid_out(tmp_path):
    _, names, _ = run("sample")
    assert "Slip hoist on the boathouse wall" in names
    for name in (row.split()[0] for row in names.splitlines()):
        status, out, _ = run("sample", name, tmp_path / name)
        assert status == 0
        assert "counterpoise check" in out
        assert list((tmp_path / name).glob("*.given"))
    status, _, err = run("sample", "slip-hoits", tmp_path / "x")
    assert status == 2
    assert "did you mean slip-hoist" in err
    assert run("sample", "slip-hoist", tmp_path / "slip-hoist")[0] == 2

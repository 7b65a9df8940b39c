"""Golden workings: right ones are never blamed, planted ones are found where they are."""

from pathlib import Path

import pytest

import verifier

TESTS = Path(__file__).resolve().parents[1]
RIGHT = sorted(
    path
    for path in (TESTS / "golden" / "right").iterdir()
    if path.suffix in (".txt", ".md", ".tex")
)
OPEN = (TESTS / "golden" / "right" / "OPEN").read_text(encoding="utf-8").splitlines()
FAULTY = sorted((TESTS / "golden" / "faulty").glob("*.expect"))
SAMPLES = TESTS.parent / "samples"


def sheet_of(working: Path) -> Path:
    name = working.stem.split("--")[0] + ".given"
    beside = working.with_name(name)
    return beside if beside.exists() else TESTS / "golden" / "right" / name


def expected(path: Path) -> dict[str, str]:
    pairs = (line.split(":", 1) for line in path.read_text(encoding="utf-8").splitlines() if line)
    return {key.strip(): value.strip() for key, value in pairs}


def told(result):
    return [(fault.line, fault.kind, fault.text, fault.message) for fault in result.faults]


@pytest.mark.parametrize("working", RIGHT, ids=lambda path: path.name)
def test_a_right_working_is_not_blamed(working):
    result = verifier.check(sheet_of(working), working)
    assert not result.faults, told(result)
    assert result.verdict != "undecided" or working.name in OPEN


@pytest.mark.parametrize("working", RIGHT, ids=lambda path: path.name)
def test_a_right_working_is_not_blamed_without_its_sheet(working):
    result = verifier.check(None, working)
    assert not result.faults, told(result)


@pytest.mark.parametrize("case", FAULTY, ids=lambda path: path.stem)
def test_a_planted_fault_is_found_at_its_place(case):
    want = expected(case)
    result = verifier.check(sheet_of(case), case.with_suffix(".txt"))
    first = result.first_fault
    assert first is not None
    assert (first.line, first.kind) == (int(want["line"]), want["kind"]), told(result)
    assert want["term"] in first.text or first.text in want["term"], told(result)
    assert want.get("says", "") in first.message
    assert len(result.faults) == int(want.get("faults", len(result.faults))), told(result)


SAMPLE_FAULTS = [
    row.split("\t")
    for row in (TESTS / "samples" / "expected.tsv").read_text(encoding="utf-8").splitlines()[1:]
]


@pytest.mark.parametrize("row", SAMPLE_FAULTS, ids=lambda row: row[0])
def test_a_sample_is_judged_as_it_says(row):
    name, kind, line, term = row[:4]
    folder = SAMPLES / name
    sheet = next(folder.glob("*.given"))
    right = verifier.check(sheet, folder / "right.txt")
    assert right.verdict == "agrees", told(right)
    first = verifier.check(sheet, folder / "faulty.txt").first_fault
    assert first is not None
    assert (first.line, first.kind) == (int(line), kind)
    assert term in first.text or first.text in term

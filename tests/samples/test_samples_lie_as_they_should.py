"""Every sample and golden working lies where it is looked for, and its planted term is there."""

from pathlib import Path

import pytest

from verifier.findings import KINDS
from verifier.structure import read_sheet

ROOT = Path(__file__).parents[2]
SAMPLES = sorted(folder for folder in (ROOT / "samples").iterdir() if folder.is_dir())
GOLDEN = ROOT / "tests" / "golden"
ROWS = [
    row.split("\t")
    for row in (Path(__file__).parent / "expected.tsv").read_text("utf-8").splitlines()[1:]
]


@pytest.mark.parametrize("folder", SAMPLES, ids=lambda folder: folder.name)
def test_sample(folder):
    (sheet,) = folder.glob("*.given")
    assert sheet.stem == folder.name
    assert read_sheet(sheet.read_text("utf-8"), sheet.name).title
    right = (folder / "right.txt").read_text("utf-8")
    assert right != (folder / "faulty.txt").read_text("utf-8")


def test_a_dozen_samples_and_each_with_its_expected_fault():
    assert len(SAMPLES) >= 12
    assert {row[0] for row in ROWS} == {folder.name for folder in SAMPLES}


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row[0])
def test_expected_fault_of_a_sample(row):
    name, kind, line, term = row
    lines = (ROOT / "samples" / name / "faulty.txt").read_text("utf-8").split("\n")
    assert kind in KINDS
    assert term in lines[int(line) - 1]


@pytest.mark.parametrize("sheet", sorted(GOLDEN.glob("*/*.given")), ids=lambda path: path.name)
def test_golden_sheet(sheet):
    read_sheet(sheet.read_text("utf-8"), sheet.name)
    assert any(workings(sheet, folder) for folder in GOLDEN.iterdir() if folder.is_dir())


def workings(sheet, folder):
    """Return the workings of a sheet that lie in a folder."""
    found = folder.glob(f"{sheet.stem}--*")
    return [path for path in found if path.suffix in (".txt", ".tex", ".md")]


def family(sheet):
    """What a sheet is built of: bodies (one or several), members, cables, letters, fixed ends."""
    words = [line.split()[0] for line in sheet.read_text("utf-8").splitlines() if line.strip()]
    built = {word for word in words if word in ("member", "cable", "let", "fixed", "distributed")}
    return frozenset({*built, f"bodies {min(words.count('body'), 2)}"})


FAMILIES: dict = {}
for _sheet in sorted(GOLDEN.glob("right/*.given")):
    FAMILIES.setdefault(family(_sheet), []).append(_sheet)


@pytest.mark.parametrize("sheets", FAMILIES.values(), ids=lambda sheets: sheets[0].stem)
def test_three_personal_styles_for_each_family(sheets):
    assert sum(len(workings(sheet, sheet.parent)) for sheet in sheets) >= 3


@pytest.mark.parametrize(
    "expect", sorted(GOLDEN.glob("faulty/*.expect")), ids=lambda path: path.name
)
def test_golden_fault(expect):
    fields = dict(line.split(": ", 1) for line in expect.read_text("utf-8").splitlines())
    lines = expect.with_suffix(".txt").read_text("utf-8").split("\n")
    assert fields["kind"] in KINDS
    assert fields["term"] in lines[int(fields["line"]) - 1]

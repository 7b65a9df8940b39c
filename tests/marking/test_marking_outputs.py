import csv
import zipfile
from dataclasses import replace
from xml.etree import ElementTree

import pytest
from marking_fakes import DOUBTFUL, FAULTY, RIGHT, judged, open_fake

from verifier.marking.awarding import award
from verifier.marking.book import Entry
from verifier.marking.deciding import decide
from verifier.marking.eyes import looks
from verifier.marking.scheme_file import scheme_of
from verifier.marking.summary import summarise
from verifier.reporting.marks_files import file_name
from verifier.reporting.marks_picture import picture
from verifier.reporting.marks_summary import summary_text
from verifier.reporting.marks_tables import safe

SCHEME = scheme_of(open_fake("sheet").structure)
NAMES = ("=cmd|'calc'!A1.txt", "+1.txt", "-2+3.txt", "@sum.txt", "＝1.txt", "Žofie 李雷.txt",
         "محمد.txt", "<b>bold.txt", "a;b,c.txt", "[red]x.txt")  # fmt: skip


def entry(text, name="anna.txt", overrides=()):
    result = judged(text, picture=True)
    final = decide(award(result, SCHEME), overrides, SCHEME)
    return Entry(name, name, result, final, out_of=5.0)


def failed(name="doc.docx"):
    return Entry(name, name, None, None, "a .docx file cannot be read", out_of=5.0)


@pytest.mark.parametrize(
    ("cell", "shown"),
    [
        ("=1+1", "'=1+1"),
        ("+1", "'+1"),
        ("-1", "'-1"),
        ("@x", "'@x"),
        ("\t=1", "'\t=1"),
        (" =1", "' =1"),
        ("＝1", "'＝1"),
        ("a\x00b\x1bc", "a�b�c"),
        ("x\u202ey", "x�y"),
        ("Ægir", "Ægir"),
        (-2.5, -2.5),
        (None, None),
        ("\ud800", "?"),
    ],
)
def test_no_cell_is_a_formula(cell, shown):
    assert safe(cell) == shown


def test_every_script_of_names_and_no_formula_in_csv_and_xlsx(pile):
    for name in NAMES:
        pile(name, RIGHT)
    pile.mark()
    raw = (pile.results / "marks.csv").read_text(encoding="utf-8-sig")
    for row in csv.reader(raw.splitlines()):
        assert not any(cell.startswith(("=", "+", "@", "＝")) for cell in row)
    shown = {row["script"].removeprefix("'") for row in pile.csv()}
    assert shown == set(NAMES)
    with zipfile.ZipFile(pile.results / "marks.xlsx") as book:
        sheets = [name for name in book.namelist() if "worksheets/sheet" in name]
        texts = [ElementTree.fromstring(book.read(name)) for name in sheets]
    space = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
    assert not [node for text in texts for node in text.iter(f"{space}f")]
    words = {node.text for text in texts for node in text.iter(f"{space}t")}
    assert set(NAMES) <= words
    assert len(list((pile.results / "feedback").iterdir())) == len(NAMES)


def test_the_marks_table_holds_marks_as_numbers(pile):
    pile("anna.txt", FAULTY)
    pile.mark()
    (row,) = pile.csv()
    assert row["total"] == "3"
    assert (row["P-R"], row["P-R method"], row["P-R answer"]) == ("3", "2", "1")
    assert (row["first fault"], row["at line"], row["verdict"]) == ("missing-force", "1", "fault")


def test_feedback_explains_every_mark_by_line(pile):
    pile("anna.txt", FAULTY)
    pile.mark()
    said = (pile.results / "feedback" / "anna.txt.txt").read_text()
    assert said == (
        "Slip hoist\n"
        "Script: anna.txt\n"
        "\n"
        "Marks: 3 out of 5\n"
        "\n"
        "P-R: 3 of 3 (method 2/2, answer 1/1)\n"
        "  - line 3: right\n"
        "R-S: 0 of 2 (method 0/1, answer 0/1)\n"
        "  - line 1: missing force: a missing-force of the fakes [-2]\n"
        "\n"
        "Where it first goes wrong\n"
        "  line 1: S_x(1.0) - 6(2.4) = 0\n"
        "          ^^^\n"
        "    missing force: a missing-force of the fakes\n"
        "\n"
        "A marker's decision stands over these marks.\n"
    )


def test_feedback_of_a_script_that_left_goes_with_it(pile):
    pile("anna.txt", RIGHT)
    pile("ben.txt", RIGHT)
    pile.mark()
    (pile.folder / "ben.txt").unlink()
    pile.mark()
    assert [path.name for path in (pile.results / "feedback").iterdir()] == ["anna.txt.txt"]


def test_file_names_are_apart_and_harmless():
    names = ["a/b", "a_b", "a\\b", "con", "CON.txt", "x" * 300, "x" * 301, "..", ".", "a.", "a"]
    made = [file_name(name) for name in names]
    assert len({name.casefold() for name in made}) == len(names)
    assert all("/" not in name and "\\" not in name and len(name) < 130 for name in made)


def test_doubtful_readings_that_decide_marks_come_first():
    late = DOUBTFUL.replace("PR = -75.6 kN?PR = -15.6 kN", "PR = -15.6 kN\nhm?ha")
    found = looks([failed(), entry(RIGHT), entry(late, "late"), entry(DOUBTFUL, "early")])
    assert [look.shown for look in found] == ["early", "doc.docx", "late"]
    assert found[0].decisive
    assert found[1].worth > found[2].worth
    assert found[0].lines == (3,)
    assert "line 3 may be misread" in found[0].why


def test_a_script_without_working_needs_an_eye_and_a_long_one_no_hour():
    bare, long = looks([entry("", "bare"), entry("x?y\n" * 300, "long")])
    assert {bare.shown, long.shown} == {"bare", "long"}
    both = {look.shown: look for look in (bare, long)}
    assert both["bare"].why == "there is no line of working in it"
    assert both["long"].minutes <= 3
    assert both["long"].pictured == 300


def test_a_decided_script_needs_no_eye():
    from verifier.marking.options import Override

    seen = Override("x", "", "", 4.0, "Jo", "looked at")
    assert looks([entry(DOUBTFUL, overrides=(seen,))]) == []


def test_the_summary_counts_what_is_there():
    summary = summarise([entry(RIGHT), entry(FAULTY), entry(FAULTY), failed()], SCHEME)
    assert summary.scripts == 4
    assert dict(summary.verdicts) == {
        "agrees": 1, "fault": 2, "unfinished": 0, "undecided": 0, "failed": 1,
    }  # fmt: skip
    assert (summary.median, summary.lowest, summary.highest) == (3, 3, 5)
    assert summary.mean == pytest.approx(11 / 3)
    assert summary.spread == pytest.approx(((4 / 3) ** 2 / 3 + 2 * (2 / 3) ** 2 / 3) ** 0.5)
    assert summary.hardest.item == "R-S"
    assert summary.hardest.share == pytest.approx(2 / 6)
    assert [(f.kind, f.where, f.scripts, f.first) for f in summary.faults] == [
        ("missing-force", "whole", 2, 2)
    ]
    assert sum(count for *_, count in summary.bins) == 3


def test_the_summary_reads_well_at_eighty_columns():
    text = summary_text(summarise([entry(RIGHT), entry(FAULTY), failed()], SCHEME))
    assert max(len(line) for line in text.splitlines()) <= 80
    assert "3 scripts: 1 right, 1 faulty, 1 failed" in text
    assert "Hardest item: R-S (50 % of its marks earned)" in text


def test_the_picture_is_well_formed_and_inert():
    scheme = replace(SCHEME, title='<script>alert("x")</script>\x00\ud800')
    root = ElementTree.fromstring(picture(summarise([entry(FAULTY)], scheme)))
    assert {node.tag.split("}")[1] for node in root.iter()} == {"svg", "rect", "text"}
    assert float(root.get("height")) > 200


def test_an_empty_class_has_a_summary_too():
    summary = summarise([failed()], SCHEME)
    assert summary.mean is None
    assert summary.hardest is None
    assert "1 failed" in summary_text(summary)
    ElementTree.fromstring(picture(summary))

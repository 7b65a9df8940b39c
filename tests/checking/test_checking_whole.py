"""What is said of a whole working: no sheet, another sheet, doubtful readings, rounding, luck."""

from pathlib import Path

import verifier
from verifier.checking import Written, judge
from verifier.notation import read_line
from verifier.pipeline import names_of, open_sheet

SAMPLES = Path(__file__).resolve().parents[2] / "samples"
BEAM = """units kN, m
joint A 0 0
joint C 2 0
joint B 6 0
body beam: A, C, B
pin A
roller B
load C 9 down
find reactions
"""

CRANE = """
units kN, m
joint A 0 0
joint B 2 0
joint C 4 0
joint D 0 -2
body jib: A, B, C
member D-B
pin A
pin D
load C 6 down
find D-B, reactions
"""


def judged(*lines):
    """Judge lines given as (text, confidence, ((other text, probability), …))."""
    sheet = open_sheet(BEAM)
    names = names_of(sheet.structure)
    written = [
        Written(
            read_line(text, number, names),
            tuple((read_line(other, number, names), share) for other, share in others),
            confidence,
        )
        for number, (text, confidence, others) in enumerate(lines, 1)
    ]
    return judge(sheet.structure, sheet.solution, written, working="page")


def test_without_a_sheet_a_slip_in_rearranging_is_found():
    result = verifier.check(None, "ΣF_y = 0: A_y + B_y − 9 = 0\nB_y = 3 kN\nA_y = 9 + 3 = 12 kN\n")
    assert result.given is None
    assert result.first_fault is not None
    assert (result.first_fault.kind, result.first_fault.line) == ("algebra", 3)
    assert "was not checked" in result.notes[0]


def test_without_a_sheet_a_sheet_is_drafted():
    result = verifier.check(None, "ΣM_A = 0: B_y(6) − 9(2) = 0\nB_y = 3 kN\n")
    assert result.verdict == "agrees"
    assert any("roller  B" in note for note in result.notes)


def test_a_working_about_another_figure_is_said_in_one_line():
    working = (SAMPLES / "slip-hoist" / "right.txt").read_text(encoding="utf-8")
    result = verifier.check(SAMPLES / "rack-truss" / "rack-truss.given", working)
    assert len(result.faults) == 1
    assert result.another_sheet
    assert "another sheet" in result.faults[0].message


def test_a_fault_that_hangs_on_the_reading_is_a_question():
    result = judged(
        ("ΣM_A = 0: 6 B_y − 9(7) = 0", 0.9, (("ΣM_A = 0: 6 B_y − 9(2) = 0", 0.015),)),
        ("B_y = 3 kN", 1.0, ()),
        ("A_y = 6 kN", 1.0, ()),
    )
    assert not result.faults
    assert result.lines[0].status == "doubtful"
    assert result.verdict == "undecided"


def test_a_sign_that_people_lose_is_a_question_where_a_figure_is_none():
    sign = judged(
        ("ΣM_A = 0: 6 B_y − 9(2) = 0", 1.0, ()),
        ("ΣF_y = 0: A_y + B_y + 9 = 0", 0.7, (("ΣF_y = 0: A_y + B_y − 9 = 0", 0.2),)),
        ("B_y = 3 kN", 1.0, ()),
        ("A_y = 6 kN", 1.0, ()),
    )
    assert sign.lines[1].status == "doubtful"
    figure = judged(
        ("ΣM_A = 0: 6 B_y − 9(7) = 0", 0.7, (("ΣM_A = 0: 6 B_y − 9(2) = 0", 0.2),)),
        ("B_y = 3 kN", 1.0, ()),
        ("A_y = 6 kN", 1.0, ()),
    )
    assert figure.verdict == "agrees"
    assert "9(2)" in figure.lines[0].note


def test_a_fault_from_which_other_lines_follow_is_none_of_reading():
    for result, verdict in (("10.5", "fault"), ("3", "undecided")):
        line = ("ΣM_A = 0: 6 B_y − 9(7) = 0", 0.7, ())
        assert judged(line, (f"B_y = {result} kN", 1.0, ())).verdict == verdict


def test_a_right_end_passes_over_what_was_read_badly_before_it():
    chain = "B_y = 181/6 = 3 kN"
    assert judged((chain, 0.6, ()), ("A_y = 6 kN", 1.0, ())).verdict == "agrees"
    assert judged((chain, 0.97, ()), ("A_y = 6 kN", 1.0, ())).verdict == "undecided"
    sign = "ΣF_y = 0: A_y = 9 + 3 ∴ A_y = 6 kN"
    assert judged(("B_y = 3 kN", 1.0, ()), (sign, 0.6, ())).verdict == "undecided"


def test_a_fault_that_every_reading_shares_is_a_fault():
    result = judged(
        ("ΣM_A = 0: 6 B_y − 9(7) = 0", 0.95, (("ΣM_A = 0: 6 B_y − 9(1) = 0", 0.045),)),
    )
    assert result.first_fault is not None
    assert result.first_fault.kind == "lever-arm"


def test_a_lone_unsure_reading_is_never_a_fault():
    result = judged(("ΣM_A = 0: 6 B_y − 9(7) = 0", 0.5, ()))
    assert not result.faults
    assert result.verdict == "undecided"


def test_doubt_elsewhere_in_the_line_leaves_a_fault_what_it_is():
    text = "Thc boom: ΣM_A = 0: 6 B_y − 9(7) = 0"
    sheet = open_sheet(BEAM)
    names = names_of(sheet.structure)
    sure = [0.5 if at < 3 else 0.99 for at in range(len(text))]
    for weak, verdict in ((-1, "fault"), (text.index("7"), "undecided")):
        told = tuple(0.6 if at == weak else one for at, one in enumerate(sure))
        line = Written(read_line(text, 1, names), (), 0.3, certainties=told)
        result = judge(sheet.structure, sheet.solution, [line], working="page")
        assert result.verdict == verdict


def test_what_reading_cannot_have_made_of_the_right_term_is_a_fault():
    result = judged(("ΣM_A = 0: 6 B_y − 9(7.25) = 0", 0.8, ()))
    assert result.first_fault is not None


def test_another_reading_that_agrees_and_is_as_likely_is_taken():
    result = judged(
        ("ΣM_A = 0: 6 B_y − 9(7) = 0", 0.5, (("ΣM_A = 0: 6 B_y − 9(2) = 0", 0.4),)),
        ("B_y = 3 kN", 1.0, ()),
        ("A_y = 6 kN", 1.0, ()),
    )
    assert result.verdict == "agrees"


def test_a_load_is_never_said_not_to_be_what_it_is():
    sheet = "let P\nlet a\njoint A 0 0\njoint B a 0\njoint C 2*a 0\nbody beam: A, B, C\n"
    sheet += "pin A\nroller C\nload B P down\nfind reactions\n"
    result = verifier.check(sheet, "ΣF_y = 0: A_y + C_y − P·2 = 0\n")
    assert [fault.message for fault in result.faults] == ["The load P at B is P, not 2."]


def test_a_result_after_a_line_that_was_not_read_well_is_a_question():
    unread = ("ΣM_A = 0: 6 B_y − 9(((2 = 0", 0.3, ())
    for line, verdict in ((unread, "undecided"), (("Reactions", 0.9, ()), "fault")):
        assert judged(line, ("B_y = 4 kN", 0.99, ())).verdict == verdict


def test_a_chain_read_from_a_picture_that_ends_right_is_a_question():
    sum_of_moments = ("ΣM_A = 0: 6 B_y − 9(2) = 0", 1.0, ())
    read = judged(sum_of_moments, ("B_y = 181/6 = 3 kN", 0.97, ()))
    assert not read.faults
    assert read.lines[1].status == "doubtful"
    typed = judged(sum_of_moments, ("B_y = 181/6 = 3 kN", None, ()))
    assert typed.faults
    ends_wrong = judged(sum_of_moments, ("B_y = 18/9 = 2 kN", 1.0, ()))
    assert ends_wrong.faults


def test_what_a_writer_says_of_his_letter_holds_beside_a_slip():
    working = "Let F be the thrust in DB\nΣM_A = 0: F sin 45°(2) − 6(3) = 0\n"
    result = verifier.check(CRANE, working)
    assert [(f.line, f.kind, f.text) for f in result.faults] == [(2, "lever-arm", "6(3)")]


def test_a_heading_before_a_tension_names_no_letter():
    working = "ΣM_A = 0: F_DB sin 45°(2) + 6(4) = 0\nJoint B: tension in DB = −16.97 kN\n"
    assert not verifier.check(CRANE, working).faults


def test_loose_rounding_is_a_remark_and_strictly_a_fault():
    working = "ΣM_A = 0: 7 B_y − 9(2) = 0\nB_y = 18/7 = 2.58 kN\n"
    sheet = BEAM.replace("joint B 6 0", "joint B 7 0")
    gentle = verifier.check(sheet, working)
    assert not gentle.faults
    assert [remark.kind for remark in gentle.remarks] == ["rounding"]
    strict = verifier.check(sheet, working, strict_rounding=True)
    assert [fault.kind for fault in strict.faults] == ["rounding"]


def test_the_right_answer_through_faults_is_told():
    working = (
        "ΣM_A = 0: 6 B_y − 9(3) = 0\nB_y = 4.5 kN\n"
        "ΣM_B = 0: 6 A_y − 9(4) = 0\nA_y = 6 kN\nB_y = 9 − 6 = 3 kN\n"
    )
    result = verifier.check(BEAM, working)
    assert result.first_fault is not None
    assert result.first_fault.line == 1
    assert any("right all the same" in note for note in result.notes)


def test_the_same_misreading_is_told_once_with_its_repeats():
    working = "ΣM_A = 0: 6 B_y − 6(2) = 0\nB_y = 2 kN\nΣF_y = 0: A_y + B_y − 6 = 0\nA_y = 4 kN\n"
    result = verifier.check(BEAM, working)
    assert [fault.kind for fault in result.faults] == ["magnitude"]
    assert result.faults[0].repeats == (3,)
    assert [line.status for line in result.lines] == ["fault", "carried", "carried", "carried"]


def test_what_the_writer_takes_back_is_not_judged():
    working = "ΣM_A = 0: 6 B_y − 9(2) = 0\nB_y = 5 kN\nwrong, should be B_y = 3 kN\nA_y = 6 kN\n"
    result = verifier.check(BEAM, working)
    assert result.verdict == "agrees"


def test_a_line_that_does_not_fit_is_asked_about_where_every_result_is_right():
    lines = [
        "As levers on the sketch, ΣM_A: 6 B_y − 9·2 + 4 = 0",
        "B_y = 3 kN",
        "A_y = 6 kN",
        "A_x = 0",
    ]
    result = judged(*[(line, None, ()) for line in lines])
    assert (result.verdict, result.faults) == ("undecided", ())
    assert result.lines[0].status == "undecided"
    assert "every result is right" in result.lines[0].note


def test_what_is_told_of_another_matter_under_the_same_name_is_asked_about():
    lines = ["ΣM_A: 6 B_y − 9·2 = 0", "B_y = 18/6 = 3 kN", "A_y = 9 − 3 = 6 kN", "A_x = 0"]
    result = judged(*[(line, None, ()) for line in (*lines, "Other crew: B_y = 9·4 = 36 kN")])
    assert (result.verdict, result.lines[-1].status) == ("undecided", "undecided")
    wrong = judged(*[(line, None, ()) for line in (*lines[2:], "Other crew: B_y = 9·4 = 36 kN")])
    assert wrong.verdict == "fault"


def test_a_line_that_does_not_fit_is_a_fault_where_a_result_is_wrong():
    lines = [
        "As levers on the sketch, ΣM_A: 6 B_y − 9·2 + 4 = 0",
        "B_y = 3 kN",
        "A_y = 5 kN",
        "A_x = 0",
    ]
    result = judged(*[(line, None, ()) for line in lines])
    assert result.first_fault is not None
    assert (result.first_fault.line, result.first_fault.kind) == (1, "extra-force")


def test_a_definite_mistake_is_told_though_every_result_is_right():
    lines = ["ΣM_A: 6 B_y + 9·2 = 0", "B_y = 3 kN", "ΣF_y: A_y + B_y − 9 = 0", "A_y = 6 kN"]
    result = judged(*[(line, None, ()) for line in lines])
    assert result.first_fault is not None
    assert (result.first_fault.line, result.first_fault.kind) == (1, "sign")


def test_a_line_of_a_picture_that_does_not_fit_is_asked_about_where_every_result_is_right():
    lines = ["ΣM_A: 6 B_y − 9·2 = 0", "B_y = 18/6 = 3 kN", "A_y = 9 − 3 = 3·7 = 6 kN", "A_x = 0"]
    assert judged(*[(line, 0.97, ()) for line in lines]).verdict == "undecided"
    assert judged(*[(line, None, ()) for line in lines]).verdict == "fault"


def test_a_picture_in_which_nothing_was_read_is_undecided():
    assert judged(("Beam at the quay", 0.4, ())).verdict == "undecided"
    assert judged(("Beam at the quay", None, ())).verdict == "unfinished"


def test_a_joint_twice_is_no_bar():
    for name in ("AA_x", "V_{AA}", "AA_h"):
        assert verifier.check(BEAM, f"{name} = 3\n").verdict in ("unfinished", "undecided")

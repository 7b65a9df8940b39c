from dataclasses import replace

import pytest
from marking_fakes import DOUBTFUL, FAULTY, RIGHT, judged, open_fake

from verifier.findings import Finding
from verifier.marking.awarding import award
from verifier.marking.scheme import Penalty
from verifier.marking.scheme_file import scheme_of
from verifier.marking.scored import ScriptMarks

USUAL = scheme_of(open_fake("sheet").structure)


def marks(text, scheme=USUAL):
    return award(judged(text), scheme)


def by_item(score):
    return {item.item: (item.method, item.answer) for item in score.items}


def charging(**penalties):
    named = {kind.replace("_", "-"): penalty for kind, penalty in penalties.items()}
    return replace(USUAL, penalties=dict(USUAL.penalties) | named)


def test_a_right_script_has_everything():
    score = marks(RIGHT)
    assert (score.total, score.out_of, score.provisional) == (5, 5, False)
    assert [why.text for item in score.items for why in item.reasons] == ["right", "right"]


def test_an_accuracy_slip_loses_its_answer_once_and_the_rest_follows_through():
    score = marks("S_x = 6(2.4) !arithmetic\nRS = 14.4 kN\nPR = -13.3 kN\n")
    assert by_item(score) == {"R-S": (1, 0), "P-R": (2, 1)}
    reasons = {item.item: item.reasons for item in score.items}
    assert (reasons["R-S"][0].line, reasons["R-S"][0].change) == (1, -1)
    assert reasons["P-R"][0].text == "follows correctly from an earlier fault"


def test_a_missing_force_loses_a_method_mark_and_its_answer():
    assert by_item(marks(FAULTY)) == {"P-R": (2, 1), "R-S": (0, 0)}


def test_a_misread_of_the_question_loses_accuracy_not_method():
    assert by_item(marks("S_x = 7(2.4) !magnitude\nRS = 14.4\nPR = -15.6\n"))["R-S"] == (1, 0)


def test_without_follow_through_carried_answers_lose_theirs():
    text = "S_x = 6(2.4) !arithmetic\nRS = 14.4 kN\nPR = -13.3 kN\n"
    score = marks(text, replace(USUAL, follow_through=False))
    assert by_item(score) == {"R-S": (1, 0), "P-R": (2, 0)}


def test_the_fault_goes_to_the_item_that_its_line_names():
    text = "4 = 4\nPR sin 22.6 = 9 !sign\nRS = 14.4 kN\nPR = -13.3 kN\n"
    assert by_item(marks(text)) == {"R-S": (1, 1), "P-R": (2, 0)}


def test_a_right_answer_through_a_fault_is_told_and_charged():
    score = marks("RS sin 1 = 3 !sign\nRS = 16.9 kN\nPR = -15.6 kN\n")
    (item,) = [item for item in score.items if item.item == "R-S"]
    assert (item.method, item.answer) == (1, 0)
    assert any("through a fault" in why.text for why in item.reasons)


def test_a_wrong_answer_loses_its_marks_only_where_its_line_is_at_fault():
    result = judged("RS = 12 kN\nPR = -15.6 kN\n")
    differing = tuple(replace(one, status="differs") for one in result.answers)
    quiet = replace(result, answers=differing, faults=())
    assert by_item(award(quiet, USUAL)) == {"R-S": (1, 0), "P-R": (2, 1)}
    agreeing = tuple(replace(line, status="agrees") for line in result.lines)
    score = award(replace(quiet, lines=agreeing), USUAL)
    assert (score.total, score.provisional) == (5, True)


def test_an_answer_that_rounding_moved_is_right():
    result = judged("RS = 17.0 kN\nPR = -15.6 kN\n")
    differing = tuple(replace(one, status="differs") for one in result.answers)
    later = Finding("sign", 99, (0, 1), "x", "", "y", "m")
    score = award(replace(result, answers=differing, faults=(later,)), USUAL)
    assert (score.total, score.provisional) == (5, False)
    assert score.items[1].reasons[0].text == "right but for rounding"


def test_a_missing_answer_keeps_method_marks_for_right_lines_towards_it():
    assert by_item(marks("PR sin 22.6 = 6\nRS = 16.9 kN\n"))["P-R"] == (1, 0)
    assert by_item(marks("RS = 16.9 kN\n"))["P-R"] == (0, 0)


def test_the_same_slip_is_charged_once():
    result = judged("RS = 14.4 kN\nPR = -13.3 kN\n")
    twice = tuple(
        Finding("angle", row, (0, 2), "sin 30", "joint", "sin 22.6", "m") for row in (1, 2)
    )
    carried = tuple(replace(one, status="carried") for one in result.answers)
    result = replace(result, faults=twice, answers=carried, verdict="fault")
    assert award(result, USUAL).total == 4
    assert award(result, replace(USUAL, once_per_fault=False)).total == 3


def test_once_a_kind_charges_the_first_only():
    text = "RS = 14.4 kN !unit\nPR = -13.3 kN !unit\n"
    assert marks(text).total == 4
    each = charging(unit=Penalty("answer"))
    assert marks(text, each).total == 3


def test_number_penalties_take_the_answer_first_and_stop_at_nothing():
    text = "RS = 14.4 kN !sign\nPR = -13.3 kN\n"
    assert by_item(marks(text, charging(sign=Penalty("marks", 0.5))))["R-S"] == (1, 0.5)
    assert by_item(marks(text, charging(sign=Penalty("marks", 1.5))))["R-S"] == (0.5, 0)
    assert by_item(marks(text, charging(sign=Penalty("marks", 99))))["R-S"] == (0, 0)


def test_caps_bound_kinds_faults_and_totals():
    text = "RS = 14.4 kN !sign\nPR = -13.3 kN !sign\n"
    assert marks(text, charging(sign=Penalty("answer", at_most=1))).total == 4
    assert marks(text, replace(USUAL, faults_cost_at_most=1)).total == 4
    capped = marks(RIGHT, replace(USUAL, cap=3))
    assert (capped.total, capped.out_of, capped.bounds[0].change) == (3, 3, -2)


def test_totals_round_to_the_candidates_favour():
    scheme = replace(charging(sign=Penalty("marks", 0.25)), round_to=0.5)
    assert marks("RS = 14.4 kN !sign\nPR = -13.3 kN\n", scheme).total == 5


def test_rounding_costs_only_where_the_scheme_says():
    result = judged(RIGHT)
    remark = Finding("rounding", 2, (0, 2), "16.9", "chain", "16.90", "rounded early")
    result = replace(result, remarks=(remark,))
    assert award(result, USUAL).total == 5
    assert award(result, charging(rounding=Penalty("marks", 0.5))).total == 4.5


@pytest.mark.parametrize(
    ("rule", "line", "lost"),
    [
        ("unit_missing", "RS = 16.9", 1),
        ("unit_missing", "RS = 16.9 kN", 0),
        ("unit_missing", r"RS = 16.9\,\mathrm{kN}", 0),
        ("sense_missing", "RS = 16.9 kN", 1),
        ("sense_missing", "RS = 16.9 kN (T)", 0),
        ("sense_missing", "RS = +16.9 kN", 0),
        ("figures", "RS = 17 kN", 1),
        ("figures", "RS = 16.9 kN", 0),
    ],
)
def test_how_an_answer_is_written_costs_only_where_the_scheme_says(rule, line, lost):
    result = judged(f"{line}\nPR = -15.6 kN (C)\n")
    right = tuple(replace(one, status="agrees") for one in result.answers)
    result = replace(result, answers=right, faults=())
    scheme = replace(charging(**{rule: Penalty("answer")}), figures=3)
    assert award(result, scheme).total == 5 - lost
    assert award(result, USUAL).total == 5


def test_answers_without_working_lose_their_method_where_it_is_needed():
    scheme = replace(USUAL, working_needed=True)
    assert by_item(marks("RS = 16.9 kN\nPR = -15.6 kN\n", scheme))["P-R"] == (0, 1)
    shown = "RS = 16.9 kN\nPR sin 22.6 = 6\nPR = -15.6 kN\n"
    assert by_item(marks(shown, scheme))["P-R"] == (2, 1)


def test_doubt_makes_marks_provisional():
    assert marks(DOUBTFUL).provisional


def test_the_changes_explain_the_total_line_by_line():
    for text in (RIGHT, FAULTY, "RS = 1 kN !sign\n", "PR sin 1 = 4\n", ""):
        score = marks(text)
        changes = sum(why.change for item in score.items for why in item.reasons)
        assert score.total == score.out_of + changes


def test_marks_survive_the_ledger():
    score = marks(FAULTY)
    assert ScriptMarks.from_json(score.to_json()) == score

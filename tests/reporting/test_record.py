import hashlib
from dataclasses import replace

import made_results as made
import pytest

from verifier.findings import Answer, LineVerdict
from verifier.reporting.record import Particulars, check_record, passes

PARTICULARS = Particulars(
    reference="BH-7", revision="B", calculated_by="R. Ower", checked_by="C. Ox",
    date="2031-05-02", inputs=(("hoist-right.txt", b"P_y = 6\n"),),
)  # fmt: skip


def record(result, **more):
    return check_record(result, "Slip hoist bracket", (), replace(PARTICULARS, **more))


def test_a_right_working_yields_a_record_to_sign():
    html = record(made.right())
    for text in ("The calculation agrees.", "BH-7", "R. Ower", "C. Ox", "2031-05-02", "Signature"):
        assert text in html
    assert hashlib.sha256(b"P_y = 6\n").hexdigest() in html
    assert "NOT AGREED" not in html


NOT_PASSES = {
    "a fault": made.faulty(),
    "doubtful": made.doubtful(),
    "unfinished": made.unfinished(),
    "no sheet": made.alone(),
    "a verdict at odds with its answers": replace(
        made.right(), answers=(Answer("P-R", 1.0, "kN", "tension", 2.0, "differs"),)
    ),
    "a verdict at odds with its lines": replace(made.right(), lines=made.doubtful().lines),
    "a verdict at odds with its faults": replace(made.right(), faults=(made.FAULT,)),
    "no answers at all": replace(made.right(), answers=()),
    "nothing claimed": replace(made.right(), lines=(LineVerdict(1, "Hello", "remark"),)),
    "no lines at all": replace(made.right(), lines=()),
}


@pytest.mark.parametrize("name", NOT_PASSES)
def test_nothing_else_yields_a_record_that_reads_as_a_pass(name):
    result = NOT_PASSES[name]
    assert not passes(result)
    html = record(result)
    assert "<title>NOT AGREED" in html
    assert "The calculation agrees." not in html
    assert "no evidence of agreement" in html
    assert "Approved by" not in html


def test_what_is_particular_to_the_structure_stands_at_the_top():
    html = record(replace(made.right(), cautions=("cable A-B would have to push",)))
    assert html.index("Cable A-B would have to push.") < html.index("R. Ower")


def test_confirmed_readings_are_listed():
    html = record(made.right(), confirmed=(3,))
    assert "Line 3, confirmed by a person: P_y = 6 kN" in html


def test_the_difference_of_each_result_is_shown():
    html = record(made.doubtful())
    assert "6.41 %" in html

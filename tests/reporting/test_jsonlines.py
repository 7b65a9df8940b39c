import io
import json
from dataclasses import replace

import made_results as made

from verifier.reporting.jsonlines import json_line, write_result


def test_a_result_is_one_line_with_the_fields_of_the_contract():
    out = io.StringIO()
    write_result(made.faulty(), out)
    (line,) = out.getvalue().splitlines()
    told = json.loads(line)
    assert list(told) == [
        "working", "given", "verdict", "first_fault", "faults", "lines", "answers", "assumed",
        "cautions",
    ]  # fmt: skip
    assert told["first_fault"]["columns"] == [24, 30]
    assert told["first_fault"]["box"] is None
    assert told["lines"][1]["status"] == "fault"
    assert "note" not in told["lines"][1]
    assert told["answers"][2] == {
        "item": "P-R", "value": -15.6, "unit": "kN", "sense": "compression", "written": None,
        "status": "missing",
    }  # fmt: skip
    assert told["assumed"][0] == {
        "name": "S_x", "means": "reaction at S, to the right", "declared": False,
    }  # fmt: skip


def test_no_character_breaks_the_line():
    result = replace(made.right(), working="a\u2028b\u2029c\x85d\x7fe\nf\x1b\u0000")
    line = json_line(result.to_json())
    assert len(line.splitlines()) == 1
    assert line.isprintable()
    assert json.loads(line)["working"] == result.working


def test_what_is_not_finite_becomes_null():
    assert json_line({"a": float("nan"), "b": [float("inf"), 1.5], "c": "x"}) == (
        '{"a": null, "b": [null, 1.5], "c": "x"}'
    )

import io

import pytest

from verifier.checking.faults import Example, FaultKind, kinds
from verifier.errors import UsageError
from verifier.findings import KINDS
from verifier.reporting.colours import console
from verifier.reporting.kinds import report_kind, report_kinds

SIGN = FaultKind(
    "sign",
    "a term carries the wrong sign",
    "A force that acts against the positive sense is added, or the other way round.",
    (Example("ΣF_y = 0: K_y − 5 = 0", "ΣF_y = 0: K_y + 5 = 0", "The 5 kN load acts down."),),
)


def shown(function, *settings):
    out = io.StringIO()
    function(*settings, console(out, 80))
    return out.getvalue()


def test_the_list_of_kinds():
    assert (
        shown(report_kinds, (SIGN,))
        == """\
The kinds of fault

  sign  a term carries the wrong sign

counterpoise faults KIND tells more about one of them, with worked examples.
"""
    )


def test_one_kind_with_its_example():
    assert (
        shown(report_kind, (SIGN,), "sign")
        == """\
sign
A term carries the wrong sign.

A force that acts against the positive sense is added, or the other way round.

  wrong  ΣF_y = 0: K_y + 5 = 0
  right  ΣF_y = 0: K_y − 5 = 0
  why    The 5 kN load acts down.
"""
    )


def test_a_misspelt_kind_gets_the_near_one():
    with pytest.raises(UsageError, match="did you mean sign"):
        shown(report_kind, (SIGN,), "sing")


@pytest.mark.parametrize("name", KINDS)
def test_every_kind_is_told_with_an_example(name):
    text = shown(report_kind, kinds(), name)
    assert name in text.splitlines()[0]
    assert "wrong  " in text

"""A kept state of a working stays as it was while the working goes on."""

from copy import deepcopy

from verifier.checking.ledger import Found, Ledger
from verifier.checking.quantity import Quantity


def test_what_is_learned_later_does_not_reach_a_copy():
    ledger = Ledger()
    ledger.learn({"A y": 1.0, "B y": 1.0}, Quantity(12.0), False, 1)
    kept, before = ledger.copied(), deepcopy(ledger)
    assert kept == before
    ledger.learn({"A y": 6.0, "B y": -2.0}, Quantity(8.0), False, 2)
    ledger.set_value("B y", Found(Quantity(8.0), False, 3))
    ledger.locals["d"] = Found(Quantity(2.0), False, 3)
    assert ledger != before
    assert kept == before

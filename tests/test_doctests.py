"""The examples in docstrings run and are true."""

import doctest
import importlib
from pathlib import Path

import pytest

import verifier

PACKAGE = Path(verifier.__file__).parent


def modules():
    for file in sorted(PACKAGE.rglob("*.py")):
        if ">>>" in file.read_text(encoding="utf-8") and "training" not in file.parts:
            inside = file.relative_to(PACKAGE).with_suffix("").parts
            yield ".".join(("verifier", *(part for part in inside if part != "__init__")))


@pytest.mark.parametrize("name", list(modules()))
def test_the_examples_of_a_module_are_true(name):
    found = doctest.testmod(importlib.import_module(name))
    assert found.attempted
    assert not found.failed

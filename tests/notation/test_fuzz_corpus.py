"""The kept inputs of the fuzzing of `check`, run once more."""

import sys
from pathlib import Path

import pytest

BENCHMARKS = Path(__file__).parents[1] / "benchmarks"
sys.path.insert(0, str(BENCHMARKS))

import fuzz_check  # noqa: E402  (a script beside the benchmarks)

KEPT = sorted((BENCHMARKS / "fuzz_corpus").iterdir())


@pytest.fixture(scope="module")
def subject() -> fuzz_check.Subject:
    return fuzz_check.Subject()


@pytest.mark.parametrize("path", KEPT, ids=lambda p: p.name)
def test_a_kept_input_still_holds(
    subject: fuzz_check.Subject, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(fuzz_check, "SLOW", float("inf"))  # no timed tests
    subject(path.read_bytes())


def test_the_corpus_is_there() -> None:
    assert len(KEPT) > 30

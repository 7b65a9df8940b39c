"""Follows the working and judges it against the independent solution."""

from verifier.checking.judge import judge
from verifier.checking.written import Written

__all__ = ["Written", "judge"]

"""Follows the working and judges it against the independent solution."""

from verifier.checking.alone import names_used
from verifier.checking.judge import judge
from verifier.checking.written import Written

__all__ = ["Written", "judge", "names_used"]

"""The independent solution as data; `solving.py` makes it."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Step:
    """One equation that leads to the solution, in the order in which a person would take it.

    `free_body` and `sum` name it ('joint Q', 'ΣF_y'); `text` is the equation as a person writes
    it; `gives` the results that it yields, as text.
    """

    free_body: str
    sum: str
    text: str
    gives: tuple[str, ...] = ()


@dataclass(frozen=True)
class Solution:
    """Every item's value: floats at once (`values`), exact sympy on demand (`exact(item)`).

    `values` also answers, on demand, `axial at K`, `shear at K` and `moment at K` for a joint K on
    a body; `notes` are sentences on what a reader should know (a cable that would have to push).
    """

    values: Mapping[str, float]
    exact: Callable[[str], Any]
    steps: Callable[[], tuple[Step, ...]]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class NoSolution:
    """Why equilibrium alone does not solve the structure; falsy.

    `reason` is 'mechanism' (`detail`: which part moves and how), 'indeterminate' (`degree`, and
    `redundant` supports or members), or 'not solved' with the limit named.
    """

    reason: str
    detail: str
    degree: int = 0
    redundant: tuple[str, ...] = ()

    def __bool__(self) -> bool:
        return False

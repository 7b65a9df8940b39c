"""A script's marks as data: for each item, with the reasons by line."""

from dataclasses import asdict, dataclass
from typing import Any


@dataclass(frozen=True)
class Reason:
    """Why marks were given or lost: at which line (None: at none), and by how much (≤ 0: lost)."""

    line: int | None
    text: str
    change: float = 0.0


@dataclass(frozen=True)
class ItemMarks:
    """One item's marks, with what it could have had and why it has what it has."""

    item: str
    method: float
    method_of: float
    answer: float
    answer_of: float
    reasons: tuple[Reason, ...] = ()

    @property
    def total(self) -> float:
        """Both together."""
        return self.method + self.answer


@dataclass(frozen=True)
class ScriptMarks:
    """A script's marks before any marker's decision.

    `reasons` are losses that hang on no item, `bounds` what caps and rounding did to the total.
    `provisional`: lines are in doubt, or answers differ and no line says why (`unexplained`).
    """

    total: float
    out_of: float
    items: tuple[ItemMarks, ...]
    reasons: tuple[Reason, ...] = ()
    bounds: tuple[Reason, ...] = ()
    provisional: bool = False
    unexplained: tuple[str, ...] = ()

    def to_json(self) -> dict[str, Any]:
        """Return plain JSON types."""
        return asdict(self)

    @staticmethod
    def from_json(data: dict[str, Any]) -> "ScriptMarks":
        """Return what `to_json` wrote."""
        items = tuple(
            ItemMarks(**(item | {"reasons": tuple(Reason(**why) for why in item["reasons"])}))
            for item in data["items"]
        )
        why = {key: tuple(Reason(**one) for one in data[key]) for key in ("reasons", "bounds")}
        strange = {"unexplained": tuple(data["unexplained"])}
        return ScriptMarks(**(data | {"items": items} | why | strange))

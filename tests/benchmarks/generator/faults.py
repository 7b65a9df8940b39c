"""Every kind of fault that can be planted."""

from collections.abc import Callable

from .plan import Step
from .plants import Dice, Plant
from .problem import Problem
from .style import Style
from .term_faults import (
    plant_angle,
    plant_arm,
    plant_component,
    plant_extra,
    plant_inconsistent,
    plant_magnitude,
    plant_missing,
    plant_sign,
)
from .working_faults import plant_algebra, plant_arithmetic, plant_geometry, plant_sense, plant_unit
from .write import Writer

PLANTS: dict[str, Callable[[Problem, list[Step], Style, Writer, Dice], Plant | None]] = {
    "sign": plant_sign,
    "lever-arm": plant_arm,
    "component": plant_component,
    "angle": plant_angle,
    "magnitude": plant_magnitude,
    "missing-force": plant_missing,
    "extra-force": plant_extra,
    "arithmetic": plant_arithmetic,
    "algebra": plant_algebra,
    "sense": plant_sense,
    "unit": plant_unit,
    "geometry": plant_geometry,
    "inconsistent": plant_inconsistent,
}

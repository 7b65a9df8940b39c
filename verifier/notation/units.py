"""The units that people write, alone and compound, with their factors to N, m, kg and degrees."""

import re
from functools import lru_cache

from verifier.notation.tree import Span, Unit

_LB = 4.4482216152605
_FORCE = {
    "N": 1.0, "kN": 1e3, "MN": 1e6, "GN": 1e9, "daN": 10.0, "KN": 1e3, "Kn": 1e3, "kn": 1e3,
    "newton": 1.0, "newtons": 1.0, "Newton": 1.0, "Newtons": 1.0, "kilonewton": 1e3,
    "kgf": 9.80665, "kp": 9.80665, "Kgf": 9.80665, "кгс": 9.80665,
    "lb": _LB, "lbs": _LB, "lbf": _LB, "#": _LB, "pound": _LB, "pounds": _LB, "Lb": _LB,
    "k": 1e3 * _LB, "kip": 1e3 * _LB, "kips": 1e3 * _LB, "Kip": 1e3 * _LB, "Kips": 1e3 * _LB,
    "tf": 9806.65, "tonf": 9806.65, "Ton": 9806.65, "Tonf": 9806.65, "ton": 9806.65, "тс": 9806.65,
    "Tn": 9806.65,
    "Н": 1.0, "кН": 1e3, "МН": 1e6,
}  # fmt: skip
_LENGTH = {
    "m": 1.0, "mm": 1e-3, "cm": 1e-2, "dm": 0.1, "km": 1e3, "metre": 1.0, "metres": 1.0,
    "meter": 1.0, "meters": 1.0, "mètres": 1.0,
    "'": 0.3048, '"': 0.0254, "''": 0.0254, "in": 0.0254, "inch": 0.0254,
    "inches": 0.0254, "ft": 0.3048, "foot": 0.3048, "feet": 0.3048,
    "yd": 0.9144, "м": 1.0, "мм": 1e-3, "см": 1e-2, "mtr": 1.0,
}  # fmt: skip
_MASS = {"kg": 1.0, "t": 1e3, "tonne": 1e3, "tonnes": 1e3, "кг": 1.0, "Kg": 1.0, "KG": 1.0}
_ANGLE = {
    "°": 1.0, "deg": 1.0, "degrees": 1.0, "degree": 1.0, "Grad": 1.0, "grados": 1.0, "gradi": 1.0,
    "rad": 57.29577951308232, "radians": 57.29577951308232, "Rad": 57.29577951308232,
    "gon": 0.9,
}  # fmt: skip
_WHOLE = {
    "plf": ("force-per-length", _LB / 0.3048, (1, -1)),
    "klf": ("force-per-length", 1e3 * _LB / 0.3048, (1, -1)),
    "pli": ("force-per-length", _LB / 0.0254, (1, -1)),
    "psf": ("other", _LB / 0.3048**2, (1, -2)),
    "Pa": ("other", 1.0, (1, -2)), "kPa": ("other", 1e3, (1, -2)), "MPa": ("other", 1e6, (1, -2)),
}  # fmt: skip
_MOMENT = {
    "Nm": 1.0, "kNm": 1e3, "MNm": 1e6, "daNm": 10.0, "KNm": 1e3, "knm": 1e3, "kgm": 9.80665,
    "Nmm": 1e-3, "kNmm": 1.0, "kNcm": 10.0, "Ncm": 0.01, "кНм": 1e3, "Нм": 1.0, "tm": 9806.65,
    "kft": 1e3 * _LB * 0.3048, "kipft": 1e3 * _LB * 0.3048, "lbft": _LB * 0.3048,
    "k'": 1e3 * _LB * 0.3048, "k-'": 1e3 * _LB * 0.3048, "'k": 1e3 * _LB * 0.3048,
    "#'": _LB * 0.3048, "lb'": _LB * 0.3048,
    "kip'": 1e3 * _LB * 0.3048, "kips'": 1e3 * _LB * 0.3048,
    "ftlb": _LB * 0.3048, "ftkip": 1e3 * _LB * 0.3048, "ftk": 1e3 * _LB * 0.3048,
}  # fmt: skip

SIMPLE = {**_FORCE, **_LENGTH, **_MASS, **_ANGLE, **_WHOLE, **_MOMENT}


def _any(table: dict[str, float]) -> str:
    return "|".join(sorted(map(re.escape, table), key=len, reverse=True))


_LETTER = r"[^\W\d_]"
_F, _L, _M = _any(_FORCE), _any(_LENGTH), _any(_MASS)
_JOIN = r"(?:\s?[·*.\-×⋅]\s?|\s)"
_POWER = r"(?:\^\{?-?\d\}?|⁻?[²³¹])"
_COMPOUND = rf"""
    (?: (?P<g>m\s?/\s?s(?:ec)?(?:\^?\{{?2\}}?|\^\(2\)|²)|m\s?s(?:\^\{{?-2\}}?|\^\(-2\)|⁻²)
          |N\s?/\s?kg)
      | (?P<f1>{_F}) {_JOIN} (?P<l1>{_L}) (?P<p1>{_POWER})?
      | (?P<l2>{_L}) (?:\s?[·*×⋅]\s? | (?:\s?[.\-]\s? | \s)(?!N(?!\w))) (?P<f2>{_F})
      | (?P<f3>{_F}|{_M}) \s?/\s?(?P<par>\()?(?P<l3>{_L})(?P<p3>{_POWER})?(?(par)\))
      | (?P<f4>{_F}) \s?[·*]?\s? (?P<l4>m|mm|cm|ft)(?:\^\{{?-1\}}?|⁻¹)
      | (?P<one>{_any({k: 0.0 for k in SIMPLE})}) (?P<p0>{_POWER})?
    ) (?! {_LETTER}|\d|_ )
"""
PATTERN = re.compile(_COMPOUND, re.VERBOSE)


def _power(text: str | None) -> int:
    if not text:
        return 1
    digits = {"²": 2, "³": 3, "¹": 1}
    value = next((v for k, v in digits.items() if k in text), 0)
    value = value or int(re.sub(r"\D", "", text) or 1)
    return -value if "-" in text or "⁻" in text else value


@lru_cache(maxsize=512)
def _known(text: str) -> tuple[str, float, tuple[int, int]] | None:
    match = PATTERN.fullmatch(text)
    if match is None:
        return None
    get = match.group
    if get("f1") or get("f2"):
        factor = _FORCE[get("f1") or get("f2")] * _LENGTH[get("l1") or get("l2")]
        return ("moment", factor, (1, 1))
    if get("f3"):
        power = _power(get("p3"))
        top = _FORCE.get(get("f3")) or _MASS[get("f3")]
        kind = "force-per-length" if power == 1 and get("f3") in _FORCE else "other"
        return (kind, top / _LENGTH[get("l3")] ** power, (1, -power))
    if get("g"):
        return ("gravity", 1.0, (1, 0))  # newtons, by each kilogram before it
    if get("f4"):
        return ("force-per-length", _FORCE[get("f4")] / _LENGTH[get("l4")], (1, -1))
    return _simple(get("one"), _power(get("p0")))


def _simple(text: str, power: int) -> tuple[str, float, tuple[int, int]]:
    if text in _FORCE:
        return ("force", _FORCE[text], (1, 0)) if power == 1 else ("other", 1.0, (power, 0))
    if text in _LENGTH:
        kind = "length" if power == 1 else "other"
        return (kind, _LENGTH[text] ** power, (0, power))
    if text in _MASS:
        return ("mass", _MASS[text], (0, 0))
    if text in _ANGLE:
        return ("angle", _ANGLE[text], (0, 0))
    if text in _MOMENT:
        return ("moment", _MOMENT[text], (1, 1))
    kind, factor, dims = _WHOLE[text]
    return (kind, factor, dims)


_SQUARED = re.compile(r"\^[{(]?2[)}]?")
_SPACED = re.compile(r"\s*([·*/.-])\s*")


def unit(text: str, span: Span) -> Unit | None:
    """Return the unit that `text` writes, at `span`, or None where it is none."""
    known = _known(text)
    if known is None:
        return None
    kind, factor, dims = known
    shown = _SQUARED.sub("²", _SPACED.sub(r"\1", text))
    return Unit(span, shown, kind, factor, dims)

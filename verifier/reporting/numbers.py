"""Numbers, units and senses as a report shows them."""

from verifier.findings import Answer


def figure(value: float | str | None) -> str:
    """Return a number to four figures without an exponent where that stays short.

    >>> figure(-7.6), figure(1730.0), figure(0.04567), figure("F/2"), figure(1e-15)
    ('−7.6', '1730', '0.04567', 'F/2', '0')
    """
    if value is None or isinstance(value, str):
        return value or ""
    if abs(value) < 1e-9:
        return "0"
    text = f"{value:.4g}"
    if "e" in text and 1e-4 <= abs(value) < 1e9:
        text = f"{round(value):d}" if abs(value) >= 1 else f"{value:.6f}".rstrip("0")
    return text.replace("-", "−")


def with_unit(value: float | str | None, unit: str) -> str:
    """Return a value and its unit; a value that is not there stays empty."""
    shown = figure(value)
    return f"{shown} {unit}".strip() if shown else ""


def statics_says(answer: Answer) -> str:
    """Return the solution's value of an answer: as a size with its sense where it has one."""
    if isinstance(answer.value, str):
        return f"{with_unit(answer.value, answer.unit)} {answer.sense}".rstrip()
    if not answer.sense or figure(answer.value) == "0":
        return with_unit(answer.value, answer.unit)
    return f"{with_unit(abs(answer.value), answer.unit)} {answer.sense}"


def working_says(answer: Answer) -> str:
    """Return the working's value of an answer, with a sense where its sign tells one."""
    written = answer.written
    if written is None or isinstance(written, str):
        return with_unit(written, answer.unit)
    sense = _sense_of(answer, written)
    return (
        f"{with_unit(abs(written), answer.unit)} {sense}"
        if sense
        else with_unit(written, answer.unit)
    )


_OTHER_WAY = {
    "tension": "compression",
    "right": "left",
    "up": "down",
    "anticlockwise": "clockwise",
    "along its direction": "against its direction",
    "to the right": "to the left",
}
_OPPOSITE = _OTHER_WAY | {there: here for here, there in _OTHER_WAY.items()}


def _sense_of(answer: Answer, written: float) -> str:
    if isinstance(answer.value, str) or not written or not answer.value:
        return ""
    if (written > 0) == (answer.value > 0):
        return answer.sense
    return _OPPOSITE.get(answer.sense, "")

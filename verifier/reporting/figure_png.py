"""A scene as PNG, drawn by matplotlib: it brings its own fonts, Greek included, on any machine."""

import io
from typing import Any

from verifier.errors import UsageError
from verifier.reporting.figure_scene import (
    PAPER,
    STYLES,
    Disc,
    Label,
    Mark,
    Scene,
    Stroke,
    Style,
    clean,
    pieces,
)

_FONT = "DejaVu Sans"
_LARGEST = 4000


def to_png(scene: Scene, scale: float = 2.0) -> bytes:
    """Return the drawing as a PNG of `scale` pixels a point, at most 4000 pixels a side.

    Raises `UsageError` where matplotlib is not installed.
    """
    try:
        from matplotlib.backends.backend_agg import FigureCanvasAgg
        from matplotlib.figure import Figure
    except ImportError:
        reason = "drawing a PNG needs matplotlib"
        raise UsageError(reason, "pip install 'counterpoise[draw]', or take --svg") from None
    scale = min(scale, _LARGEST / max(scene.width, scene.height))
    figure = Figure(figsize=(scene.width / 72, scene.height / 72), dpi=72 * scale, facecolor=PAPER)
    canvas = FigureCanvasAgg(figure)
    axes = figure.add_axes((0, 0, 1, 1))
    axes.set_axis_off()
    axes.set_xlim(0, scene.width)
    axes.set_ylim(scene.height, 0)
    for order, mark in enumerate(scene.marks, start=1):
        _add(axes, mark, order)
    written = io.BytesIO()
    write: Any = canvas.print_png
    write(written, metadata={"Title": clean(scene.title), "Software": None})
    return written.getvalue()


def _add(axes: Any, mark: Mark, order: int) -> None:
    from matplotlib.patches import Circle, PathPatch
    from matplotlib.path import Path

    style = STYLES[mark.style]
    match mark:
        case Stroke():
            points = [*mark.points, mark.points[0]] if mark.closed else list(mark.points)
            axes.add_patch(PathPatch(Path(points), zorder=order, **_drawn(style)))
        case Disc():
            axes.add_patch(Circle(mark.centre, mark.radius, zorder=order, **_drawn(style)))
        case Label():
            _add_label(axes, mark, style, order)


def _add_label(axes: Any, label: Label, style: Style, order: int) -> None:
    from matplotlib.patheffects import withStroke

    parts = pieces(label.text)
    sizes = [style.size * (0.75 if low else 1.0) for _, low in parts]
    widths = [_width(part, size, style) for (part, _), size in zip(parts, sizes, strict=True)]
    x = label.at[0] - {"start": 0.0, "middle": sum(widths) / 2, "end": sum(widths)}[label.anchor]
    for (part, low), size, width in zip(parts, sizes, widths, strict=True):
        y = label.at[1] + (0.28 * style.size if low else 0.0)
        axes.text(
            x, y, part, size=size, color=style.ink, family=_FONT, ha="left", va="baseline",
            weight="bold" if style.bold else "normal", zorder=order, parse_math=False,
            path_effects=[withStroke(linewidth=3, foreground=PAPER)],
        )  # fmt: skip
        x += width


def _width(text: str, size: float, style: Style) -> float:
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import TextToPath

    weight = "bold" if style.bold else "normal"
    font = FontProperties(family=_FONT, size=size, weight=weight)
    width, _, _ = TextToPath().get_text_width_height_descent(text, font, ismath=False)
    return float(width)


def _drawn(style: Style) -> dict[str, Any]:
    return {
        "facecolor": style.fill or "none",
        "edgecolor": style.ink or "none",
        "linewidth": style.width if style.ink else 0.0,
        "linestyle": (0, (5, 4)) if style.dash else "solid",
        "capstyle": "round",
        "joinstyle": "round",
    }

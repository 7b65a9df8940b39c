"""A scene as SVG: text stays text, everything that a user wrote goes through the XML writer."""

from xml.etree import ElementTree

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

_FONT = "DejaVu Sans, Verdana, Segoe UI, Helvetica, sans-serif"


def to_svg(scene: Scene) -> str:
    """Return a self-contained SVG document with a title and a description to be read aloud."""
    root = ElementTree.Element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "width": _n(scene.width),
            "height": _n(scene.height),
            "viewBox": f"0 0 {_n(scene.width)} {_n(scene.height)}",
            "role": "img",
            "aria-label": clean(scene.title),
            "font-family": _FONT,
            "stroke-linecap": "round",
            "stroke-linejoin": "round",
        },
    )
    ElementTree.SubElement(root, "title").text = clean(scene.title)
    ElementTree.SubElement(root, "desc").text = clean(scene.tells)
    page = {"width": _n(scene.width), "height": _n(scene.height), "fill": PAPER}
    ElementTree.SubElement(root, "rect", page)
    for mark in scene.marks:
        _add(root, mark)
    return ElementTree.tostring(root, encoding="unicode") + "\n"


def _add(root: ElementTree.Element, mark: Mark) -> None:
    style = STYLES[mark.style]
    match mark:
        case Stroke():
            joined = " L".join(f"{_n(x)} {_n(y)}" for x, y in mark.points)
            path = f"M{joined}" + ("Z" if mark.closed else "")
            ElementTree.SubElement(root, "path", {"d": path} | _drawn(style))
        case Disc():
            (x, y), radius = mark.centre, mark.radius
            circle = {"cx": _n(x), "cy": _n(y), "r": _n(radius)}
            ElementTree.SubElement(root, "circle", circle | _drawn(style))
        case Label():
            _add_label(root, mark, style)


def _add_label(root: ElementTree.Element, label: Label, style: Style) -> None:
    fields = {
        "x": _n(label.at[0]),
        "y": _n(label.at[1]),
        "fill": style.ink,
        "font-size": _n(style.size),
        "text-anchor": label.anchor,
        "paint-order": "stroke",
        "stroke": PAPER,
        "stroke-width": "3",
    }
    if style.bold:
        fields["font-weight"] = "bold"
    text = ElementTree.SubElement(root, "text", fields)
    low = 0.0
    for part, is_low in pieces(label.text):
        wanted = 0.28 * style.size if is_low else 0.0
        span = {"font-size": _n(0.75 * style.size)} if is_low else {}
        if wanted != low:
            span["dy"] = _n(wanted - low)
        ElementTree.SubElement(text, "tspan", span).text = part
        low = wanted


def _drawn(style: Style) -> dict[str, str]:
    fields = {"fill": style.fill or "none"}
    if style.ink and style.width:
        fields |= {"stroke": style.ink, "stroke-width": _n(style.width)}
    if style.dash:
        fields["stroke-dasharray"] = "5 4"
    return fields


def _n(number: float) -> str:
    text = f"{number:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text

"""From Matplotlib's SVG to one that stands inside a page under a policy without inline style.

Style attributes become presentation attributes, which the page's style sheet outranks and can therefore re-ink;
the style element, the metadata, the fixed size and the names of fonts go; ids become unique on the page.
"""

import re
from dataclasses import dataclass
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

from builds.charts.lean import leaned

# What the letters are set in is the page's business, and the rest repeats what holds anyway.
_LEFT_OUT = {"font-family", "font", "stroke-dashoffset"}
_LENGTH = re.compile(r"(-?\d+\.\d{2,})")
_TURN = re.compile(r"rotate\(-?0(\.0)? [^)]*\)")
_POINTER = re.compile(r"url\(#([^)]+)\)")
_FONT = re.compile(r"(?:(?P<weight>bold|\d00) )?(?P<size>[\d.]+)px ")


@dataclass(frozen=True)
class Points:
    """Where the first rows of a chart's table are drawn: "x,y x,y ...", in the drawing's own pixels.

    by: the nearest row is looked for along "x", along "y", or both ways ("").
    """

    places: str
    by: str


def for_a_page(text: str, name: str, layout: str, points: Points | None = None) -> str:
    """The drawing in `text` as one inline svg element, named and described by its chart's title and words.

    name: the chart's id, unique on the page; `components/chart.html` gives its title and words ids from it. layout:
    goes into the class, so that the style sheet can choose. points: where the rows of the chart's table are drawn.
    """
    root = ElementTree.fromstring(text.encode())  # noqa: S314 - our own drawing, not a stranger's file
    for element in root.iter():
        _without_namespaces(element)
        _styles_as_attributes(element)
        _tidied(element)
    _marks_in_place(root)
    _pruned(root)
    box = root.attrib["viewBox"]
    root.attrib.clear()
    leaned(root)
    _renamed(root, f"{name}-{layout}")
    root.attrib |= {
        "xmlns": "http://www.w3.org/2000/svg",
        "class": f"chart__svg chart__svg--{layout}",
        "viewBox": box,
        "role": "img",
        "aria-labelledby": f"{name}-title",
        "aria-describedby": f"{name}-words",
        "stroke-linejoin": "round",
    }
    if points:
        root.attrib |= {"data-at": points.places, "data-by": points.by}
        root.append(Element("circle", {"class": "chart__point", "r": "8"}))
    return ElementTree.tostring(root, encoding="unicode", short_empty_elements=True).replace(" />", "/>")


def _without_namespaces(element: Element) -> None:
    element.tag = _bare(element.tag)
    for name in [name for name in element.attrib if name.startswith("{")]:
        element.attrib[_bare(name)] = element.attrib.pop(name)


def _bare(name: str) -> str:
    return name.rpartition("}")[2]


def _styles_as_attributes(element: Element) -> None:
    for statement in element.attrib.pop("style", "").split(";"):
        name, _, value = (part.strip() for part in statement.partition(":"))
        if name == "font" and (font := _FONT.search(value)):
            element.set("font-size", font["size"])
            if font["weight"]:
                element.set("font-weight", font["weight"])
        if name and name not in _LEFT_OUT:
            element.set(name, value.removesuffix("px"))


def _tidied(element: Element) -> None:
    """Fewer bytes for the same lines: two decimals, no line breaks, no turn by nothing."""
    for name, value in element.attrib.items():
        if name in {"d", "x", "y", "transform", "width", "height", "points", "stroke-dasharray"}:
            element.set(name, " ".join(_LENGTH.sub(lambda found: f"{float(found[1]):.2f}", value).split()))
    if _TURN.fullmatch(element.get("transform", "")):
        del element.attrib["transform"]
    element.tail = None
    if element.tag != "text" and element.tag != "tspan":
        element.text = None


def _marks_in_place(root: Element) -> None:
    """Every mark drawn where it stands: what a use element borrows is not re-inked by the page's style sheet."""
    shapes = {element.get("id"): element for element in root.iter("path") if element.get("id")}
    for element in root.iter("use"):
        shape = shapes[element.attrib.pop("href").removeprefix("#")]
        place = f"translate({element.attrib.pop('x', '0')} {element.attrib.pop('y', '0')})"
        element.tag = "path"
        element.attrib = {**shape.attrib, **element.attrib, "transform": place}
        element.attrib.pop("id", None)
    for holder in root.iter("defs"):
        holder[:] = [child for child in holder if child.tag != "path"]


def _pruned(parent: Element) -> None:
    """Without metadata, the style element, empty groups, and groups that say nothing."""
    children = []
    for child in list(parent):
        _pruned(child)
        if child.tag in {"metadata", "style"} or (child.tag in {"g", "defs"} and not len(child)):
            continue
        plain = child.tag == "g" and not set(child.attrib) - {"id"}
        children.extend(list(child) if plain else [child])
    parent[:] = children


def _renamed(root: Element, prefix: str) -> None:
    """Ids that something points to get the chart's own; the others go."""
    pointed: dict[str, str] = {}
    for element in root.iter():
        for name, value in element.attrib.items():
            found = [value[1:]] if name == "href" and value.startswith("#") else _POINTER.findall(value)
            for old in found:
                pointed.setdefault(old, f"{prefix}-{len(pointed) + 1}")
    for element in root.iter():
        old = element.attrib.pop("id", None)
        if old in pointed:
            element.set("id", pointed[old])
        for name, value in element.attrib.items():
            if name == "href":
                element.set(name, f"#{pointed[value[1:]]}")
            elif "url(#" in value:
                element.set(name, _POINTER.sub(lambda found: f"url(#{pointed[found[1]]})", value))

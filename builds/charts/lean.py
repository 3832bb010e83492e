"""The same drawing in a fraction of the bytes: what is drawn alike is drawn as one, in short relative steps.

A tenth of a CSS pixel is as fine as any screen shows. Letters come last, over the lines.
"""

from __future__ import annotations

import re
from itertools import groupby
from xml.etree.ElementTree import Element

Point = tuple[float, float]
Step = tuple[str, tuple[Point, ...]]

_TOKEN = re.compile(r"[MLCQz]|-?\d+(?:\.\d+)?(?:e-?\d+)?")
_PLACE = re.compile(r"translate\((\S+) (\S+)\)")
_POINTS_OF = {"M": 1, "L": 1, "Q": 2, "C": 3, "z": 0}
_LETTERS = ("fill", "font-size", "font-weight", "text-anchor")


def leaned(root: Element) -> None:
    """Rewrite the children of an svg element, as `for_a_page` leaves them."""
    shapes, letters = [], []
    for element, clip in _flat(root, ""):
        (letters if element.tag == "text" else shapes).append(element)
        if clip:
            element.set("clip-path", clip)
    fields = _fields(shapes)
    drawn = [_shape(element, fields) for element in shapes]
    root[:] = [*_runs(_merged([one for one in drawn if one is not None])), *_letter_groups(letters)]
    root.set("fill", "none")
    _without_unused(root)


def _flat(parent: Element, clip: str) -> list[tuple[Element, str]]:
    """What is drawn, without the groups that do nothing but clip; a group that turns or fades would say so."""
    found: list[tuple[Element, str]] = []
    for child in parent:
        if child.tag == "g" and not set(child.attrib) - {"id", "clip-path"}:
            found += _flat(child, child.get("clip-path", clip))
        else:
            found.append((child, clip))
    return found


def _fields(shapes: list[Element]) -> dict[str, tuple[float, ...]]:
    """What each clip path leaves to be seen: left, top, right, bottom."""
    fields = {}
    for path in (path for shape in shapes for path in shape.iter("clipPath")):
        x, y, wide, high = (float(path[0].attrib[name]) for name in ("x", "y", "width", "height"))
        fields[f"url(#{path.attrib['id']})"] = (x, y, x + wide, y + high)
    return fields


def _shape(element: Element, fields: dict[str, tuple[float, ...]]) -> Element | None:
    """One shape where it stands; None for what is not seen."""
    for path in element.iter("path"):
        if path is not element:
            path.set("d", _written(_steps(path.attrib["d"])))
    if element.tag != "path":
        return element
    if element.get("fill") == "none":
        del element.attrib["fill"]
        if "stroke" not in element.attrib:
            return None
    if element.get("stroke-linecap") == "square":
        del element.attrib["stroke-linecap"]
    steps = _moved(_steps(element.attrib["d"]), element.attrib.pop("transform", ""))
    if _inside(steps, fields.get(element.get("clip-path", ""))):
        element.attrib.pop("clip-path", None)
    circle = _circle(element, steps)
    element.set("d", _written(steps))
    return element if circle is None else circle


def _steps(path: str) -> list[Step]:
    tokens, steps = _TOKEN.findall(path), []
    place = 0
    while place < len(tokens):
        letter, count = tokens[place], _POINTS_OF[tokens[place]]
        numbers = [float(token) for token in tokens[place + 1 : place + 1 + 2 * count]]
        steps.append((letter, tuple(zip(numbers[::2], numbers[1::2], strict=True))))
        place += 1 + 2 * count
    return steps


def _moved(steps: list[Step], transform: str) -> list[Step]:
    found = _PLACE.fullmatch(transform)
    if found is None:
        return steps
    right, down = float(found[1]), float(found[2])
    return [(letter, tuple((x + right, y + down) for x, y in points)) for letter, points in steps]


def _inside(steps: list[Step], field: tuple[float, ...] | None) -> bool:
    """Whether nothing would be clipped but the half of a line that runs along the border."""
    if field is None:
        return False
    left, top, right, bottom = field
    points = [point for _letter, points in steps for point in points]
    return all(left - 1 <= x <= right + 1 and top - 1 <= y <= bottom + 1 for x, y in points)


def _circle(element: Element, steps: list[Step]) -> Element | None:
    """Matplotlib draws a round mark as eight curves."""
    curves = [points for letter, points in steps if letter == "C"]
    if len(curves) != 8 or len(steps) > 10:
        return None
    (x, bottom), (_x, top) = curves[7][2], curves[3][2]
    figures = {"cx": _number(x), "cy": _number((bottom + top) / 2), "r": _number(abs(bottom - top) / 2)}
    kept = {name: value for name, value in element.attrib.items() if name != "d"}
    return Element("circle", {**kept, **figures})


def _written(steps: list[Step]) -> str:
    """Each step from where the last one ended, without those that lead nowhere."""
    here = start = (0.0, 0.0)
    written, before = "", ""
    for place, (letter, exact) in enumerate(steps):
        points = tuple((round(x, 1), round(y, 1)) for x, y in exact)
        closing = place + 1 < len(steps) and steps[place + 1][0] == "z" and points and points[-1] == start
        if letter == "L" and (points[-1] == here or closing):
            continue
        text = _step(letter, points, here)
        again = text[0] == before and text[0] in "lcq"
        written += text if not again else text[1:] if text[1] == "-" else f" {text[1:]}"
        before = text[0]
        here = points[-1] if points else start
        start = here if letter == "M" else start
    return written


def _step(letter: str, points: tuple[Point, ...], here: Point) -> str:
    if letter == "z":
        return "z"
    if letter == "M":
        return f"M{_numbers([*points[0]])}"
    by = [round(end - begin, 1) for point in points for end, begin in zip(point, here, strict=True)]
    if letter == "L" and 0 in by:
        return f"h{_number(by[0])}" if by[1] == 0 else f"v{_number(by[1])}"
    return letter.lower() + _numbers(by)


def _numbers(figures: list[float]) -> str:
    """Figures side by side; a minus sign parts two of them as well as a space."""
    return " ".join(map(_number, figures)).replace(" -", "-")


def _number(figure: float) -> str:
    text = f"{figure:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text.replace("0.", ".", 1) if text.lstrip("-").startswith("0.") else text


def _merged(shapes: list[Element]) -> list[Element]:
    """Paths that follow one another and look alike become one path."""
    kept: list[Element] = []
    for shape in shapes:
        last = kept[-1] if kept else None
        if last is not None and shape.tag == last.tag == "path" and _look(shape) == _look(last):
            last.set("d", last.attrib["d"] + shape.attrib["d"])
        else:
            kept.append(shape)
    return kept


def _look(shape: Element) -> dict[str, str]:
    return {name: value for name, value in shape.attrib.items() if name not in {"d", "cx", "cy"}}


def _runs(shapes: list[Element]) -> list[Element]:
    """Round marks that look alike share a group, which says once how they look."""
    found: list[Element] = []
    for (tag, look), run in groupby(shapes, key=lambda shape: (shape.tag, _look(shape))):
        alike = list(run)
        if tag != "circle" or len(alike) < 3:
            found += alike
            continue
        group = Element("g", {name: value for name, value in look.items() if name != "r"})
        group.extend(Element("circle", {name: one.attrib[name] for name in ("cx", "cy", "r")}) for one in alike)
        found.append(group)
    return found


def _letter_groups(letters: list[Element]) -> list[Element]:
    groups: dict[tuple[tuple[str, str], ...], Element] = {}
    for text in letters:
        look = {name: text.attrib.pop(name) for name in _LETTERS if name in text.attrib}
        if look.get("text-anchor") == "start":
            del look["text-anchor"]
        for name in ("x", "y"):
            text.set(name, _number(float(text.attrib[name])))
        groups.setdefault(tuple(look.items()), Element("g", look)).append(text)
    return list(groups.values())


def _without_unused(root: Element) -> None:
    used = " ".join(value for element in root.iter() for value in element.attrib.values() if "url(#" in value)
    for holder in [child for child in root if child.tag == "defs"]:
        holder[:] = [child for child in holder if f"url(#{child.get('id')})" in used]
    root[:] = [child for child in root if child.tag != "defs" or len(child)]

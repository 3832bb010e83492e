"""Drawings read back as XML."""

from xml.etree import ElementTree


def parsed(svg: str) -> ElementTree.Element:
    """The root of a drawing that the program made; refused where it is not XML."""
    return ElementTree.fromstring(svg)  # noqa: S314 - our own drawing


def strokes(svg: str, **look: str) -> int:
    """How many lines or shapes of such a look a drawing has; those of one path are told apart where each begins."""
    wanted = {name.replace("_", "-"): value for name, value in look.items()}
    paths = (element for element in parsed(svg).iter() if element.tag.endswith("}path"))
    return sum(path.attrib["d"].count("M") for path in paths if wanted.items() <= path.attrib.items())


def rows_drawn(svg: str) -> list[tuple[int, int]]:
    """Where the rows of the table behind a drawing are drawn, in its pixels from the left and from above."""
    return [(int(x), int(y)) for x, y in (place.split(",") for place in parsed(svg).attrib["data-at"].split())]

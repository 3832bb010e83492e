"""What the scenes are drawn with: paper, ink, tints of metal, and shading in lines as an engraver lays them.

Everything gives a piece of SVG. Sizes are CSS pixels on a sheet of `WIDE` by `HIGH`; y grows downwards.
"""

from collections.abc import Callable, Iterable, Sequence
from math import cos, pi, radians, sin

WIDE, HIGH = 1200, 900
BENCH = 720
PAPER, INK, QUIET, BLUE, LEAD = "#f4efe3", "#1b2026", "#51555a", "#1f459c", "#a5331a"
METALS = {
    "steel": "#dde2e4",
    "iron": "#c3c8cc",
    "bronze": "#e3b778",
    "gunmetal": "#e0bd84",
    "brass": "#ecd188",
    "copper": "#dd9c74",
    "aluminium": "#e9ecee",
    "stainless": "#e6eaea",
    "resin": "#b9b3a4",
    "wood": "#d8bd92",
    "tin": "#d5d8d6",
    "paper": "#fcf9f1",
}


def line(x1: float, y1: float, x2: float, y2: float, width: float = 1.2, ink: str = INK, dash: str = "") -> str:
    """A straight line."""
    how = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" stroke="{ink}" '
        f'stroke-width="{width:.2f}"{how}/>'
    )


def outline(points: Iterable[tuple[float, float]], fill: str = "none", width: float = 2.2, dash: str = "") -> str:
    """A closed outline."""
    told = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
    how = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<polygon points="{told}" fill="{fill}" stroke="{INK}" stroke-width="{width}" stroke-linejoin="round"{how}/>'
    )


def box(x: float, y: float, wide: float, high: float, fill: str = "none", width: float = 2.2, dash: str = "") -> str:
    """An upright rectangle."""
    return outline([(x, y), (x + wide, y), (x + wide, y + high), (x, y + high)], fill, width, dash)


def circle(x: float, y: float, radius: float, fill: str = "none", width: float = 2.2, ink: str = INK) -> str:
    """A circle."""
    return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{radius:.1f}" fill="{fill}" stroke="{ink}" stroke-width="{width}"/>'


def words(x: float, y: float, text: str, size: float = 26, ink: str = INK, anchor: str = "start") -> str:
    """A line of letters as a drawing office sets them."""
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-family="Liberation Sans Narrow" font-size="{size}" fill="{ink}" '
        f'text-anchor="{anchor}" letter-spacing="1">{text}</text>'
    )


def turned(x: float, y: float, steps: Sequence[tuple[float, float]], metal: str, upright: bool = False) -> str:
    """A turned piece by its lengths and diameters, its axis from (x, y) to the right, or upwards.

    Shaded with lines along its axis, close together and heavy towards the side that lies in the shade.
    """
    drawn, at = [], 0.0
    for length, diameter in steps:
        drawn.append(_barrel(at, length, diameter / 2, METALS[metal]))
        at += length
    turn = "rotate(-90)" if upright else ""
    return f'<g transform="translate({x:.1f} {y:.1f}) {turn}">{"".join(drawn)}</g>'


def _barrel(at: float, length: float, radius: float, fill: str) -> str:
    drawn = [box(at, -radius, length, 2 * radius, fill)]
    lines = max(5, int(radius / 3.2))
    for number in range(1, lines):
        angle = pi * number / lines
        height = -radius * cos(angle)
        shade = abs(number / lines - 0.36)
        if shade > 0.13:
            drawn.append(line(at, height, at + length, height, 0.35 + 1.5 * max(0.0, shade - 0.1)))
    return "".join(drawn)


def block(x: float, y: float, wide: float, high: float, deep: float, metal: str) -> str:
    """A block seen from the front and a little from above and the right; (x, y) is its lower left front corner."""
    over, up = deep * 0.6, deep * 0.42
    fill = METALS[metal]
    front = [(x, y), (x + wide, y), (x + wide, y - high), (x, y - high)]
    top = [(x, y - high), (x + wide, y - high), (x + wide + over, y - high - up), (x + over, y - high - up)]
    side = [(x + wide, y), (x + wide + over, y - up), (x + wide + over, y - high - up), (x + wide, y - high)]
    shade = [
        line(x + wide + over * share, y - up * share, x + wide + over * share, y - high - up * share, 0.9)
        for share in (number / 9 for number in range(1, 9))
    ]
    return outline(side, fill) + "".join(shade) + outline(front, fill) + outline(top, METALS["paper"])


def disc(x: float, y: float, radius: float, metal: str, bore: float = 0) -> str:
    """A turned face, looked at along its axis, with the shine that turning leaves."""
    drawn = [circle(x, y, radius, METALS[metal])]
    for number in range(2, max(4, int(radius / 7))):
        at = radius * number / max(4, int(radius / 7))
        if at > bore + 3:
            drawn += [_arc(x, y, at, start, start + 62, 0.7) for start in (20, 200)]
    if bore:
        drawn.append(circle(x, y, bore, PAPER))
    return "".join(drawn)


def _arc(x: float, y: float, radius: float, start: float, end: float, width: float, ink: str = INK) -> str:
    x1, y1 = x + radius * cos(radians(start)), y - radius * sin(radians(start))
    x2, y2 = x + radius * cos(radians(end)), y - radius * sin(radians(end))
    large = int(end - start > 180)
    path = f"M{x1:.1f} {y1:.1f}A{radius:.1f} {radius:.1f} 0 {large} 0 {x2:.1f} {y2:.1f}"
    return f'<path d="{path}" fill="none" stroke="{ink}" stroke-width="{width}"/>'


def ring(x: float, y: float, radius: float, thick: float, *, gap: float = 6, at: float = 90, oval: float = 1) -> str:
    """A split ring face on. gap: degrees that are missing, at an angle. oval: how much narrower it is than high."""
    edges = [
        (radius, at + gap / 2),
        (radius - thick, at + gap / 2),
        (radius, at - gap / 2),
        (radius - thick, at - gap / 2),
    ]
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = [(r * cos(radians(a)), -r * sin(radians(a))) for r, a in edges]
    inside = radius - thick
    path = (
        f"M{ax:.1f} {ay:.1f}A{radius} {radius} 0 1 0 {cx:.1f} {cy:.1f}L{dx:.1f} {dy:.1f}"
        f"A{inside} {inside} 0 1 1 {bx:.1f} {by:.1f}Z"
    )
    body = f'<path d="{path}" fill="{METALS["iron"]}" stroke="{INK}" stroke-width="2"/>'
    shade = "".join(_arc(0, 0, radius - thick * part, 200, 330, 0.8) for part in (0.3, 0.5, 0.7) if gap < 90)
    return f'<g transform="translate({x} {y}) scale({oval} 1)">{body}{shade}</g>'


def broken_ring(x: float, y: float, radius: float, thick: float) -> str:
    """Two pieces of a ring, a little apart."""
    return (
        f'<g transform="rotate(-12 {x} {y})">{ring(x - 5, y, radius, thick, gap=190, at=0)}</g>'
        f'<g transform="rotate(9 {x} {y})">{ring(x + 9, y + 6, radius, thick, gap=200, at=180)}</g>'
    )


def hatched(points: Sequence[tuple[float, float]], name: str, fill: str = "none", step: float = 11) -> str:
    """A cut face: an outline filled with lines at 45 degrees. name: unique in its scene."""
    told = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
    low, high = min(y for _x, y in points), max(y for _x, y in points)
    left, right = min(x for x, _y in points), max(x for x, _y in points)
    depth = high - low
    starts = [left - depth + step * number for number in range(int((right - left + depth) / step) + 1)]
    lines = "".join(line(start, high, start + depth, low, 0.9) for start in starts)
    clip = f'<clipPath id="{name}"><polygon points="{told}"/></clipPath>'
    return f'{clip}{outline(points, fill)}<g clip-path="url(#{name})">{lines}</g>{outline(points)}'


def cross(x: float, y: float, size: float) -> str:
    """The mark of a piece that is scrap."""
    return line(x - size, y - size, x + size, y + size, 4, LEAD) + line(x - size, y + size, x + size, y - size, 4, LEAD)


def bench() -> str:
    """The bench top: a board with its grain."""
    grain = []
    for number in range(1, 9):
        y = BENCH + 6 + number * number * 2.6
        grain.append(line(0, y, WIDE, y, 0.8, QUIET, f"{90 + 37 * number} {14 + 5 * number} {40 + 11 * number} {9}"))
    return box(-5, BENCH, WIDE + 10, HIGH - BENCH + 5, "#e6d6b8", 0) + "".join(grain) + line(0, BENCH, WIDE, BENCH, 3)


def standing(draw: Callable[[float], str], count: int, left: float, right: float) -> str:
    """The same thing so many times, its middle spread evenly between two places. draw: takes that middle."""
    step = (right - left) / max(1, count - 1)
    return "".join(draw(left + step * number) for number in range(count))


def scene(title: str, drawn: str, on_bench: bool = True) -> str:
    """A whole picture, its name in a strip at the foot."""
    ground = box(-5, -5, WIDE + 10, HIGH + 10, PAPER, 0) + (bench() if on_bench else "")
    foot = box(WIDE - 560, HIGH - 62, 540, 42, METALS["paper"], 1.6) + line(
        WIDE - 130, HIGH - 62, WIDE - 130, HIGH - 20, 1.2
    )
    named = words(WIDE - 544, HIGH - 33, title.upper(), 22) + words(WIDE - 75, HIGH - 33, "DRAWN", 20, QUIET, "middle")
    size = f'width="{WIDE}" height="{HIGH}" viewBox="0 0 {WIDE} {HIGH}"'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size}>{ground}{drawn}{foot}{named}</svg>'

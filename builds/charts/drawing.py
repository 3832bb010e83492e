"""What all charts share: the inks, the lines, two widths, and the way from a figure to an SVG that the policy allows.

Lines mean what they mean on a drawing (ISO 128): continuous thick is done, dashed is still to make, long-dashed
dotted is forecast, 45 degree hatching is a range of doubt. Matplotlib is imported inside functions only.
"""

from __future__ import annotations

import hashlib
import io
import re
import threading
import warnings
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Literal
from weakref import WeakKeyDictionary

from django.core.cache import cache
from django.utils.safestring import SafeString
from django.utils.translation import get_language

from builds.charts.svg import Points, for_a_page
from builds.templatetags.figures import roughly
from calcs.messages import _

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

# Raised when a drawing changes, so that none kept from before it is shown.
DRAWINGS = 5

# The day colours of static/css/tokens.css. chart.css re-inks each of them, so the evening look and paper follow.
INK, QUIET, RULE, SHEET = "#1b2026", "#51555a", "#cdc3ae", "#fcf9f1"
BLUE, BRASS, LEAD = "#1f459c", "#c79a3a", "#a5331a"

THIN, THICK = 1.0, 2.8
DASHED = (0, (7, 4.5))
LONG_DASHED_DOTTED = (0, (15, 4, 2, 4))

# Dots to an inch of a drawing's own width, which paper shows at half of it: 300 on paper (a judgement).
DOTS_ON_PAPER = 160

# Matplotlib's settings belong to the whole process: one drawing at a time.
_one_at_a_time = threading.Lock()
# Where the rows of its table are drawn on a figure, for as long as there is the figure.
_POINTS: WeakKeyDictionary[Figure, Points] = WeakKeyDictionary()
_NOT_IN_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


@dataclass(frozen=True)
class Layout:
    """One width of a drawing, in units that are CSS pixels when nothing is scaled."""

    name: str
    width: int
    letters: float
    hatch: str
    # Room left of a field for the figures of its upright scale, and below it for a calendar: pixels.
    left: float
    calendar: float

    @property
    def narrow(self) -> bool:
        return self.name == "narrow"


# At the least width each is shown at (736 and 310 pixels, see chart.css) the letters are still over 12 pixels.
WIDE = Layout("wide", 960, 16, "/", left=66, calendar=52)
NARROW = Layout("narrow", 344, 13.5, "//", left=58, calendar=46)


@dataclass(frozen=True)
class Chart:
    """A drawing with its title, what is seen on it in words, and the table it was drawn from."""

    id: str
    title: str
    description: str
    drawings: tuple[SafeString, ...]
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    drawn: Callable[[], Figure] = field(compare=False, repr=False)

    def for_print(self) -> bytes:
        """The first drawing once more as a PNG on white, fine enough for paper, with all that stands over its edge."""
        file = io.BytesIO()
        how: dict[str, Any] = {"dpi": DOTS_ON_PAPER, "bbox_inches": "tight", "facecolor": "white"}
        with _settings():
            figure = self.drawn()
            _clear_round_letters(figure)
            figure.savefig(file, format="png", metadata={"Software": None}, **how)
        return file.getvalue()

    @property
    def svg(self) -> SafeString:
        """All widths; the style sheet shows the one that fits."""
        return SafeString("".join(self.drawings))


Drawer = Callable[[Layout, Any], "Figure"]
Along = Literal["x", "y"]


def make_chart(
    *,
    name: str,
    title: str,
    description: str,
    heads: tuple[str, ...],
    rows: tuple[tuple[str, ...], ...],
    data: Any,
    draw: Drawer,
    layouts: tuple[Layout, ...] = (WIDE, NARROW),
) -> Chart:
    """Draw, or fetch what was drawn of the same things before in the same language.

    name: unique on its page. data: whatever `draw` needs, a frozen dataclass of plain values with a repr that tells
    all of them. draw: takes a layout and the data, and returns a figure made with `new_figure`. layouts: the widths to
    draw; one alone is shown at any width, the first is the one for paper.
    """
    # The words on a drawing are in the language that was spoken when it was drawn.
    drawn_of = f"{draw.__module__}.{draw.__qualname__}|{get_language()}|{name}|{data!r}"
    key = f"chart:{DRAWINGS}:{hashlib.sha256(drawn_of.encode('utf-8', 'backslashreplace')).hexdigest()}"
    kept = cache.get(key)
    if kept is None:
        kept = tuple(_draw(layout, data, draw, name) for layout in layouts)
        cache.set(key, kept)
    drawings = tuple(SafeString(text) for text in kept)
    return Chart(name, title, description, drawings, heads, rows, lambda: draw(layouts[0], data))


def _draw(layout: Layout, data: Any, draw: Drawer, name: str) -> str:
    file = io.StringIO()
    with _settings():
        figure = draw(layout, data)
        figure.savefig(file, format="svg", metadata={"Date": None})
    return for_a_page(file.getvalue(), name, layout.name, _POINTS.get(figure))


@contextmanager
def _settings() -> Iterator[None]:
    """Matplotlib's settings of ours, for one drawing."""
    import matplotlib

    settings: Any = {
        "svg.hashsalt": "swarfbook",
        "svg.fonttype": "none",
        "hatch.linewidth": 1.1,
        "text.parse_math": False,
    }
    with _one_at_a_time, matplotlib.rc_context(settings), warnings.catch_warnings():
        # The browser has fonts for letters that Matplotlib's own lacks.
        warnings.filterwarnings("ignore", message="Glyph .* missing")
        yield


def new_figure(
    layout: Layout, height: float, *, left: float, right: float, top: float, bottom: float
) -> tuple[Figure, Axes]:
    """A figure with one field to draw on, its margins in pixels; no frame, a thick base line, no ticks yet."""
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure

    width = layout.width
    figure = Figure(figsize=(width / 72, height / 72), dpi=72, facecolor="none")
    FigureCanvasSVG(figure)
    box = (left / width, bottom / height, (width - left - right) / width, (height - top - bottom) / height)
    axes = figure.add_axes(box, facecolor="none")
    for side in ("left", "right", "top"):
        axes.spines[side].set_visible(False)
    axes.spines["bottom"].set(color=INK, linewidth=1.6)
    axes.tick_params(bottom=False, left=False, labelsize=layout.letters, labelcolor=QUIET, pad=6)
    axes.set_axisbelow(True)
    return figure, axes


def write(axes: Axes, layout: Layout, x: float, y: float, words: str, **how: Any) -> None:
    """Put words on a drawing as plain text, whatever signs are in them."""
    given: dict[str, Any] = {"color": QUIET, "fontsize": layout.letters, "clip_on": False, **how}
    axes.text(x, y, legible(words), parse_math=False, **given)


def _clear_round_letters(figure: Figure) -> None:
    """White round the letters, as chart.css has it on a page: they may stand on lines and hatching."""
    from matplotlib.patheffects import withStroke
    from matplotlib.text import Text

    for text in figure.findobj(Text):
        text.set_path_effects([withStroke(linewidth=4, foreground="white")])


def rows_at(axes: Axes, places: Iterable[tuple[float, float]], *, by: Literal["x", "y", ""] = "x") -> None:
    """Say where the first rows of the chart's table are drawn, so that each can be pointed at (`Points`)."""
    figure = axes.get_figure(root=True)
    assert figure is not None  # noqa: S101 - `new_figure` made it
    down = figure.bbox.height
    pixels = axes.transData.transform(list(places))
    _POINTS[figure] = Points(" ".join(f"{x:.0f},{down - y:.0f}" for x, y in pixels), by)


def name_below(axes: Axes, layout: Layout, words: str, *, pixels: float = 38) -> None:
    """Say below the field, in its middle, what its base line counts."""
    (left, right), (low, high) = axes.get_xlim(), axes.get_ylim()
    down = pixels / axes.get_window_extent().height * (high - low)
    write(axes, layout, (left + right) / 2, low - down, words, ha="center", va="center")


def hours_axis(axes: Axes, layout: Layout, highest: float, *, along: Along = "y") -> None:
    """Hairlines at round hours from nothing up to `highest`, with their figures."""
    places = round_places(highest, 4 if layout.narrow else 6)
    if along == "x" and layout.narrow:
        places = places[::2] if len(places) > 4 else places
    figures_axis(axes, places, "h", along=along)


def percent_axis(axes: Axes, layout: Layout, *, along: Along = "y") -> None:
    """Hairlines at round shares of one, named in per cent."""
    places = (0.0, 0.5, 1.0) if layout.narrow else (0.0, 0.2, 0.4, 0.6, 0.8, 1.0)
    _rules_at(axes, places, [f"{place * 100:.0f} %" for place in places], along)


def figures_axis(axes: Axes, places: Sequence[float], unit: str, *, along: Along = "y") -> None:
    """Hairlines with their figures; the last says the unit."""
    labels = [f"{place:,.10g}" for place in places]
    if labels and unit:
        labels[-1] += f" {unit}"
    _rules_at(axes, places, labels, along)


def _rules_at(axes: Axes, places: Sequence[float], labels: list[str], along: Along) -> None:
    getattr(axes, f"set_{along}ticks")(places, labels, parse_math=False)
    axes.grid(axis=along, color=RULE, linewidth=THIN)


def round_places(highest: float, most: int) -> list[float]:
    """At most so many round figures from nothing up to `highest`."""
    from matplotlib.ticker import MaxNLocator

    return [p for p in MaxNLocator(most, steps=[1, 2, 5, 10]).tick_values(0, highest) if 0 <= p <= highest * 1.001]


def hatched(layout: Layout, *, close: bool = False) -> dict[str, Any]:
    """How a range of doubt is filled; `close` lines for a small field."""
    return {"facecolor": SHEET, "edgecolor": BLUE, "hatch": "//" if close else layout.hatch, "linewidth": 1.3}


def about(hours: float) -> str:
    """Foreseen hours in a sentence: "about 640 h", and "0 h" for none."""
    text = roughly(max(0.0, hours))
    return text if hours < 0.05 else _("about {hours}", hours=text)


def legible(words: str) -> str:
    """One line without what an XML file may not hold."""
    return " ".join(_NOT_IN_XML.sub("\ufffd", words).split())


def shortened(words: str, most: int) -> str:
    """At most so many letters, the loss shown."""
    words = legible(words)
    return words if len(words) <= most else words[: most - 1].rstrip() + "…"

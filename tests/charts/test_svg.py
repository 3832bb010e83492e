"""Drawings stand inside a page under a policy without inline style, and their words stay words."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from html import unescape
from typing import Any
from xml.etree import ElementTree

import pytest
from django.core.cache import cache
from django.template.loader import render_to_string

from builds.charts.drawing import (
    BLUE,
    INK,
    LONG_DASHED_DOTTED,
    NARROW,
    WIDE,
    Chart,
    Layout,
    hatched,
    make_chart,
    new_figure,
    shortened,
    write,
)
from tests.charts.parsing import parsed

HOSTILE = [
    "<script>alert(1)</script>",
    "$x$ and $\\frac{",
    "a \"quoted\" & 'single' name",
    "]]>",
    "&lt;b&gt;",
    "ring Ø½ ⌀ 輪",
]


@dataclass(frozen=True)
class Sample:
    words: str


def draw_sample(layout: Layout, sample: Sample) -> Any:
    figure, axes = new_figure(layout, 200, left=40, right=20, top=20, bottom=30)
    axes.plot([0, 1, 2], [0, 1, 1], color=INK, linestyle=LONG_DASHED_DOTTED)
    axes.plot([1], [1], "o", color=BLUE)
    axes.fill([0, 1, 2], [0, 1, 0], **hatched(layout))
    axes.set_xticks([0, 1], ["a", "b"])
    write(axes, layout, 1, 1, sample.words)
    return figure


def drawn(words: str = "Piston ring", name: str = "sample", title: str = "A title") -> Chart:
    return make_chart(
        name=name, title=title, description=f"What {words} is.", heads=(), rows=(), data=Sample(words), draw=draw_sample
    )


def every_element(chart: Chart) -> Iterator[ElementTree.Element]:
    for svg in chart.drawings:
        yield from parsed(svg).iter()


def bare(tag: str) -> str:
    return tag.rpartition("}")[2]


def test_a_drawing_has_no_style_of_its_own() -> None:
    chart = drawn()
    tags = {bare(element.tag) for element in every_element(chart)}
    assert "path" in tags
    assert not tags & {"style", "metadata", "script", "use", "foreignObject"}
    assert all("style" not in element.attrib for element in every_element(chart))


def test_inks_are_attributes_that_the_page_can_outrank() -> None:
    strokes = {element.get("stroke") for element in every_element(drawn())}
    assert {INK, BLUE} <= strokes


def test_a_drawing_is_named_and_described() -> None:
    chart = drawn(title="Hours & <minutes>")
    page = render_to_string("components/chart.html", {"chart": chart})
    told = {key: unescape(words) for key, words in re.findall(r'id="([\w-]+)">([^<]*)</(?:figcaption|p)>', page)}
    for root in map(parsed, chart.drawings):
        assert root.get("role") == "img"
        assert told[root.attrib["aria-labelledby"]] == "Hours & <minutes>"
        assert told[root.attrib["aria-describedby"]] == "What Piston ring is."


def test_a_drawing_takes_the_width_it_is_given() -> None:
    root = parsed(drawn().drawings[0])
    assert "width" not in root.attrib
    assert "height" not in root.attrib
    assert root.get("viewBox") == f"0 0 {WIDE.width} 200"


@pytest.mark.parametrize("words", HOSTILE)
def test_hostile_names_stay_text(words: str) -> None:
    chart = drawn(words)
    texts = ["".join(element.itertext()) for element in every_element(chart) if bare(element.tag) == "text"]
    assert texts.count(words) == 2  # at two widths
    assert "<script" not in chart.svg


def test_signs_that_no_xml_may_hold_are_replaced() -> None:
    chart = drawn("bell\x07 null\x00 line\nbreak")
    texts = {"".join(element.itertext()) for element in every_element(chart) if bare(element.tag) == "text"}
    assert "bell\ufffd null\ufffd line break" in texts


def test_the_same_drawing_has_the_same_bytes_every_time() -> None:
    first = drawn()
    cache.clear()
    second = drawn()
    assert first == second


def test_hatching_survives() -> None:
    root = parsed(drawn().drawings[0])
    patterns = [element for element in root.iter() if bare(element.tag) == "pattern"]
    filled = [element for element in root.iter() if element.get("fill") == f"url(#{patterns[0].get('id')})"]
    lines = [element for element in patterns[0] if element.get("stroke") == BLUE]
    assert len(patterns) == len(filled) == len(lines) == 1


def test_ids_are_unique_on_a_page_and_point_somewhere() -> None:
    charts = [drawn(name="one"), drawn(name="two")]
    ids = [element.get("id") for chart in charts for element in every_element(chart) if element.get("id")]
    # The hatching of each drawing; what is clipped nowhere has no field to be clipped to.
    assert len(ids) == len(set(ids)) == 4
    pointed = {
        value.partition("url(#")[2].rstrip(")")
        for chart in charts
        for element in every_element(chart)
        for value in element.attrib.values()
        if "url(#" in value
    }
    assert pointed
    assert pointed <= set(ids)


def test_letters_stay_above_twelve_pixels_at_the_least_width() -> None:
    # The widths at which chart.css shows each drawing: 46rem of 16 px, and a phone of 360 px less the page's margins.
    for layout, least in ((WIDE, 46 * 16), (NARROW, 360 - 2 * 16 - 2 * 8 - 2)):
        assert layout.letters * least / layout.width >= 12


def test_a_kept_drawing_is_not_drawn_again() -> None:
    calls = []

    def draw(layout: Layout, sample: Sample) -> Any:
        calls.append(layout.name)
        return draw_sample(layout, sample)

    for _ in range(3):
        make_chart(name="kept", title="t", description="d", heads=(), rows=(), data=Sample("a"), draw=draw)
    assert calls == ["wide", "narrow"]
    make_chart(name="kept", title="t", description="d", heads=(), rows=(), data=Sample("b"), draw=draw)
    assert len(calls) == 4


def test_a_long_name_shows_that_it_was_cut() -> None:
    assert shortened("connecting rod", 14) == "connecting rod"
    assert shortened("connecting rod bolt", 14) == "connecting ro…"

"""Shop arithmetic: the right number for good input, a sentence for any other, and an address that holds it all."""

import re
from html.parser import HTMLParser
from typing import Any
from urllib.parse import urlencode

import pytest
from django.http import QueryDict
from django.test import Client
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builds.arithmetic.sheets import SHEETS
from builds.arithmetic.views import worked_out

EVERY_SUM = [(sheet.name, what) for sheet in SHEETS.values() for what in sheet.form.kinds]


class Page(HTMLParser):
    """What a form would send, and the text inside one element."""

    def __init__(self, html: str, inside: str = "answer") -> None:
        super().__init__()
        self.sent: dict[str, str] = {}
        self.text: list[str] = []
        self._select = ""
        self._inside, self._depth = inside, 0
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        at = dict(attrs)
        if self._depth and tag not in ("br", "input", "path", "circle", "line", "img"):
            self._depth += 1
        if at.get("id") == self._inside:
            self._depth = 1
        name = at.get("name") or ""
        if tag == "input" and name not in ("next", "csrfmiddlewaretoken"):
            chosen = at.get("type") not in ("radio", "checkbox") or "checked" in at
            if name and chosen:
                self.sent[name] = at.get("value") or ""
        if tag == "select":
            self._select = name
        if tag == "option" and ("selected" in at or self._select not in self.sent):
            self.sent[self._select] = at.get("value") or ""

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        pass

    def handle_endtag(self, tag: str) -> None:
        if self._depth:
            self._depth -= 1

    def handle_data(self, data: str) -> None:
        if self._depth:
            self.text.append(data)

    @property
    def answer(self) -> str:
        return " ".join(" ".join(self.text).split())


def ask(client: Client, name: str, **asked: str) -> str:
    response = client.get(f"/arithmetic/{name}/", asked)
    assert response.status_code == 200
    return str(response.content.decode())


def answered(client: Client, name: str, **asked: str) -> str:
    return Page(ask(client, name, **asked)).answer


# Each with the published figure it is held against; the arithmetic itself is tested in tests/outside.
PUBLISHED = [
    # Drilling, D 15, depth 30, 50 m/min, 0.15: 1061 rev/min, 11.3 s without the point (from memory).
    (
        "speeds",
        {"what": "drilling", "diameter": "15", "depth": "30", "speed": "50", "feed": "0.15", "point_angle": "180"},
        ["11 s", "1061 rev/min"],
    ),
    # Turning one pass, D 50, L 500, 30 m/min, 0.7: 3.74 min (from memory: a tutorial sheet, question 2).
    (
        "speeds",
        {"what": "turning", "diameter": "50 mm", "length": "500 mm", "speed": "30 m/min", "feed": "0.7 mm/rev",
         "total_depth": "", "depth_per_pass": ""},
        ["3 min 44 s"],
    ),
    # Feed 0.2 mm with a nose of 0.8 mm leaves ridges of 6.25 µm (from memory: f² ÷ 8r).
    ("speeds", {"what": "turning", "feed": "0.2 mm", "nose": "0.8 mm"}, ["Finish by geometry 6.25 µm"]),
    # Plate of 55 drilled through, D 12, 20 m/min, 0.05: 2 min 4 s, point ignored (the same sheet, answer 8).
    (
        "speeds",
        {"what": "drilling", "diameter": "12", "depth": "55", "speed": "20", "feed": "0.05", "point_angle": "180"},
        ["2 min 4 s"],
    ),
    # 60 ft/min at 5 in: 46 rev/min (Franklin D. Jones, Turning and Boring, p. 40).
    (
        "speeds",
        {"unit": "in", "what": "turning", "diameter": "5", "length": "1", "speed": "60", "feed": "4 thou"},
        ["45.8 rev/min", "60 ft/min"],
    ),
    # Slab milling 400 × 50, D 70, 5 teeth, 60 m/min, 0.25, d 6.5: 1.232 min, 110,840 mm³/min (Groover's formulas).
    (
        "speeds",
        {"what": "edge-milling", "cutter": "70", "teeth": "5", "speed": "60", "feed_per_tooth": "0.25", "length": "400",
         "width": "50", "total_depth": "6.5", "depth_per_pass": ""},
        ["1 min 14 s", "273 rev/min", "111 cm³/min"],
    ),
    # Face milling a 12 × 2 in block, D 3, 5 teeth, 250 ft/min, 0.006, d 0.150: 1.30 min, 2.865 in³/min (the same).
    (
        "speeds",
        {"unit": "in", "what": "face-milling", "cutter": "3", "teeth": "5", "speed": "250", "feed_per_tooth": ".006",
         "length": "12", "width": "2", "total_depth": ".15", "depth_per_pass": ""},
        ["1 min 18 s", "2.86 in³/min"],
    ),
    # Shaping 250 × 120, 0.5, 15 m/min, m 2/3: 6.667 min (from memory).
    (
        "speeds",
        {"what": "shaping", "stroke": "250", "width": "120", "feed": "0.5", "speed": "15", "total_depth": "",
         "depth_per_pass": "", "return_ratio": "0.666666667"},
        ["6 min 40 s"],
    ),
    # Steel bar of 20 mm: 2.466 kg a metre (common practice: bar tables).
    ("stock", {"what": "round", "diameter": "20", "length": "1 m", "finished_mass": ""}, ["2.466 kg"]),
    # Steel bar of 6 mm: 0.222 kg a metre (the same).
    ("stock", {"what": "round", "diameter": "6", "length": "1 m", "finished_mass": ""}, ["222 g"]),
    # Half size has an eighth of the volume and mass (common practice: the square-cube law).
    ("scale", {"what": "volume", "scale": "1:2", "volume": "800 cm³"}, ["100 cm³", "1/8"]),
    ("scale", {"unit": "in", "what": "mass", "scale": "1/2", "mass": "80 lb"}, ["10 lb"]),
    # M6: D2 5.350, D1 4.917, d3 4.773, tapping drill 5.0 (ISO 724; common practice for the drill).
    ("threads", {"what": "thread", "thread": "M6"}, ["5 mm drill", "5.35 mm", "4.917 mm", "4.773 mm"]),
    # 1/4-20 with drill #7: 75.4 % as charts count (from memory).
    ("threads", {"what": "left", "thread": "1/4-20", "hole": "#7"}, ["75 %", "75.4 %"]),
    # 2-56 with drill #50: 69 % (Machinery's Handbook, 31st ed., p. 2155).
    ("threads", {"what": "left", "thread": "2-56", "hole": "#50"}, ["69 %"]),
    # 50 mm H7/p6: interference of 1 to 42 µm (ISO 286).
    ("threads", {"what": "fit", "nominal": "50", "symbols": "H7/p6"}, ["An interference of 1 to 42 µm"]),
    # Six holes: the chord is the radius; four from 12 o'clock lie on the axes (geometry).
    ("bolt-circle", {"diameter": "60", "holes": "6"}, ["30 mm (1.1811 in)", "25.981"]),
    ("bolt-circle", {"diameter": "2 in", "holes": "4", "first": "90"}, ["0.000 25.400 0.0000 1.0000"]),
    # 40:1 worm, 42 divisions: 20/21 of a turn (common practice).
    ("dividing", {"divisions": "42", "circles": "21 49"}, ["20 holes on the 21-hole circle", "20/21"]),
    # 3, 4, 5 (Euclid); the angle opposite 3 is 36.87°.
    ("triangles", {"unit": "in", "what": "triangle", "a": "3 in", "b": "4 in"}, ["5 in (127 mm)", "36.87°"]),
    # Half an inch to the foot, 9 in between centres: set over 0.1875 in (½·taper·length).
    ("triangles", {"unit": "in", "what": "foot", "per_foot": "0.5 in", "centres": "9 in"}, ["0.1875 in"]),
]  # fmt: skip


@pytest.mark.parametrize(("name", "asked", "figures"), PUBLISHED)
def test_the_answer_is_the_published_figure(
    signed_in: Client, name: str, asked: dict[str, str], figures: list[str]
) -> None:
    answer = answered(signed_in, name, **asked)
    for figure in figures:
        assert figure in answer, (figure, answer[:400])


# Sums that can be done by hand, to see that each field goes where it belongs.
BY_HAND = [
    # 12 in at 1:6 is 2 in, and 2 in of model is 12 in at full size.
    (
        "scale",
        {"unit": "in", "what": "length", "length": "12", "scale": "1:6"},
        ["2 in (50.8 mm)", "= 12 × 1/6 = 2 in"],
    ),
    (
        "scale",
        {"unit": "in", "what": "length", "length": "2", "scale": "2 in to the foot", "way": "model to full size"},
        ["At full size 12 in (304.8 mm)", "= 2 × 6 = 12 in"],
    ),
    # A cylinder of 100 by 100 sweeps 785.4 cm³; at half size an eighth of it.
    (
        "scale",
        {"what": "swept", "bore": "100", "stroke": "100", "scale": "1:2"},
        ["98.17 cm³", "785.4 cm³ at full size"],
    ),
    # Of 10 × 10 × 100 mm of a material of 8 g/cm³, 80 g, a part of 20 g leaves 60 g or 7.5 cm³: 75 %.
    (
        "stock",
        {"what": "square", "across": "10", "length": "100", "density": "8 g/cm³", "finished_mass": "20", "pieces": "5"},
        ["Mass of the blank 80 g", "5 of them 400 g", "Cut away 75 %", "Chips 60 g", "7.5 cm³"],
    ),
    (
        "stock",
        {
            "what": "flat",
            "width": "2 in",
            "thickness": "1 in",
            "length": "3 in",
            "unit": "in",
            "density": "0.3 lb/in³",
            "finished_mass": "",
            "finished_volume": "4.5 in³",
        },
        ["Mass of the blank 1.8 lb", "Volume 6 in³", "Cut away 25 %", "Chips 7.2 oz"],
    ),
    # 10 × (20 + 3) + 40 = 270.
    ("stock", {"what": "bar-for-blanks", "blanks": "10", "each": "20", "parting": "3", "grip": "40"}, ["270 mm"]),
    # (22.75 − 1.5) ÷ 2.125 = 10.
    (
        "stock",
        {"unit": "in", "what": "blanks-from-bar", "bar": "22.75", "each": "2", "parting": "1/8", "grip": "1-1/2"},
        ["10 blanks", "1.5 in is left over"],
    ),
    # 6 in² at 1.5 in² a minute, twice: 8 min.
    ("speeds", {"unit": "in", "what": "sawing", "section": "6", "rate": "1.5", "cuts": "2"}, ["8 min"]),
    # 40 mm at 1 mm a turn and 100 turns a minute, ten passes: 4 min; 20 s for winding back each time more.
    (
        "speeds",
        {
            "what": "threading",
            "diameter": "20",
            "pitch": "1",
            "length": "40",
            "passes": "10",
            "depth_per_pass": "",
            "speed": "6.283185307",
            "return_time": "20 s",
        },
        ["7 min 20 s", "100 rev/min"],
    ),
    # Clockwise from 12 o'clock the second of four holes lies at 3 o'clock; the datum is 10 to the left and 5 above.
    (
        "bolt-circle",
        {"diameter": "60", "holes": "4", "first": "90", "direction": "clockwise", "centre_x": "10", "centre_y": "-5"},
        ["2 0.000° 40.000 −5.000"],
    ),
    (
        "dividing",
        {"what": "angle", "angle": "9°", "worm": "90", "circles": "20"},
        ["2 1/4", "2 whole turns and 5 holes"],
    ),
    ("triangles", {"what": "ratio", "one_in": "20"}, ["1.432°", "5 mm of diameter"]),
    (
        "threads",
        {"what": "nearest", "hole": "5.12 mm", "sets": "metric"},
        ["Nearest drill 5.1 mm", "next above 5.2 mm"],
    ),
]


@pytest.mark.parametrize(("name", "asked", "figures"), BY_HAND)
def test_every_field_goes_where_it_belongs(
    signed_in: Client, name: str, asked: dict[str, str], figures: list[str]
) -> None:
    answer = answered(signed_in, name, **asked)
    for figure in figures:
        assert figure in answer, (figure, answer[:600])


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize(("name", "what"), EVERY_SUM)
def test_every_sum_has_an_answer_with_its_working_at_the_first_visit(
    signed_in: Client, name: str, what: str, unit: str
) -> None:
    html = ask(signed_in, name, what=what, unit=unit)
    assert "answer__number" in html
    assert "The figures are an example" in html
    if what != "drills":
        assert '<details class="working">\n' in html
        assert '<details class="working" open>' in ask(signed_in, name, what=what, unit=unit, working="open")
    assert not re.search(r"\b(inf|nan)\b", Page(html).answer)


def test_whoever_asked_for_every_working_is_shown_it_at_the_next_sum_too(signed_in: Client) -> None:
    plain = ask(signed_in, "bolt-circle", holes="8")
    assert '?holes=8&amp;working=open#answer"' in plain
    assert 'name="working"' not in plain
    asked = ask(signed_in, "bolt-circle", holes="8", working="open")
    assert '<input type="hidden" name="working" value="open">' in asked
    assert "Show all the working" not in asked


@pytest.mark.parametrize(("name", "title"), [("threads", "Clearance holes"), ("hot-air-engine", "Over one turn")])
def test_a_table_that_was_not_asked_for_lies_under_its_title(signed_in: Client, name: str, title: str) -> None:
    html = ask(signed_in, name)
    assert re.search(rf'<details class="working">\s*<summary>{title}[^<]*</summary>\s*<div class="tablescroller"', html)
    assert "<caption>" not in html


@pytest.mark.parametrize(
    ("what", "words"),
    [
        ("edge-milling", ["Peripheral milling", "Total depth, square to the axis"]),
        ("face-milling", ["Face milling", "Total depth"]),
        ("threading", ["Spring passes"]),
        ("surface-grinding", ["Spark-out passes"]),
    ],
)
def test_an_address_of_old_leads_to_its_process_by_the_trades_own_words(
    signed_in: Client, what: str, words: list[str]
) -> None:
    html = ask(signed_in, "speeds", what=what)
    assert f'<option value="{what}" selected>' in html
    assert all(one in html for one in words)


def test_the_index_leads_to_every_page(signed_in: Client) -> None:
    html = signed_in.get("/arithmetic/").content.decode()
    for sheet in SHEETS.values():
        assert f'href="/arithmetic/{sheet.name}/"' in html
        assert sheet.words.split(",")[0] in html
    assert re.search(r'aria-current="page">\s*<span class="masthead__long">Shop arithmetic', html)


def test_a_page_that_is_not_there_says_so(signed_in: Client) -> None:
    assert signed_in.get("/arithmetic/astrology/").status_code == 404


@pytest.mark.parametrize("path", ["", "speeds/", "bolt-circle/?holes=3"])
def test_signed_out_the_way_leads_to_the_sign_in_page(client: Client, db: None, path: str) -> None:
    response = client.get(f"/arithmetic/{path}")
    assert response.status_code == 302
    assert response.headers["Location"].startswith("/sign-in/?next=/arithmetic/")


@pytest.mark.parametrize(("name", "what"), EVERY_SUM)
def test_the_address_holds_every_input(signed_in: Client, name: str, what: str) -> None:
    """What the form sends makes the same page again, and sends the same again."""
    first = Page(ask(signed_in, name, what=what, unit="in"))
    again = Page(ask(signed_in, name, **first.sent))
    assert again.sent == first.sent
    assert again.answer == first.answer
    assert set(first.sent) >= set(SHEETS[name].form.kinds[what].fields) - {"closed"}


def test_a_bare_figure_takes_the_unit_of_the_address(signed_in: Client) -> None:
    assert "2 in (50.8 mm)" in answered(signed_in, "scale", unit="in", what="length", length="12", scale="1:6")
    assert "2 mm (0.0787 in)" in answered(signed_in, "scale", unit="mm", what="length", length="12", scale="1:6")


def test_how_a_size_was_read_stands_beneath_it(signed_in: Client) -> None:
    html = ask(signed_in, "speeds", unit="in", diameter="2-1/2", feed="4 thou a rev", speed="25 m/min")
    assert "2-1/2 → 2.5 in = 63.5 mm" in html
    assert "4 thou a rev → 0.004 in = 0.1016 mm" in html
    assert "25 m/min → 25 m/min = about 82.02 ft/min" in html


def test_the_tables_fill_in_a_cutting_speed_with_its_range_and_source(signed_in: Client) -> None:
    html = ask(signed_in, "speeds", material="brass", tool="carbide")
    answer = Page(html).answer
    assert "from the tables, which give" in html
    assert "machine tool fundamentals quick reference U8M1-MAT-001" in answer
    assert "your own figure" not in answer
    own = answered(signed_in, "speeds", material="brass", tool="carbide", speed="40 m/min")
    assert "your own figure" in own
    assert "40 m/min" in own


def test_a_spindle_with_steps_runs_at_the_next_lower_one(signed_in: Client) -> None:
    asked = {"diameter": "25", "speed": "25 m/min", "spindle": "60, 110, 200, 350"}
    held = answered(signed_in, "speeds", **asked)
    assert "200 rev/min" in held
    assert "15.7 m/min at that spindle speed" in held
    slow = answered(signed_in, "speeds", **{**asked, "diameter": "300"})
    assert "is too fast by" in slow


def test_too_much_power_is_pointed_out(signed_in: Client) -> None:
    asked = {"diameter": "80", "total_depth": "4", "depth_per_pass": "4", "feed": "0.4", "power": "1/2 hp"}
    assert "take less depth, feed or speed" in answered(signed_in, "speeds", **asked)


def test_handling_stands_apart_from_cutting(signed_in: Client) -> None:
    answer = answered(signed_in, "speeds", handling="2", speed="25")
    assert "Time with handling" in answer
    assert "is cutting" in answer


@pytest.mark.parametrize(("name", "asked"), [("speeds", {"what": "drilling"}), ("stock", {})])
def test_the_usual_cautions_stand_below_and_are_no_risk_assessment(
    signed_in: Client, name: str, asked: dict[str, str]
) -> None:
    answer = answered(signed_in, name, **asked)
    assert "not a risk assessment" in answer
    assert "people who are qualified" in answer


def test_magnesium_brings_its_own_caution(signed_in: Client) -> None:
    assert "magnesium" in answered(signed_in, "stock", material="magnesium alloy").lower()


@pytest.mark.parametrize(
    ("name", "asked", "sentence"),
    [
        ("speeds", {"diameter": "0"}, "more than zero"),
        ("speeds", {"diameter": ""}, "needed for the sum"),
        ("speeds", {"diameter": "banana"}, "not understood as a length"),
        ("speeds", {"diameter": "20-30 mm"}, "is a range"),
        ("speeds", {"speed": "25 mm"}, "That is a length, and a speed is wanted"),
        ("speeds", {"speed": "200 rpm"}, "spindle speed"),
        ("speeds", {"feed": "120 mm/min"}, "feed rate"),
        ("speeds", {"feed": "1e400"}, "not understood"),
        ("speeds", {"material": "something else"}, "Write the cutting speed"),
        ("speeds", {"material": "cheese"}, "not one of these"),
        ("speeds", {"what": "knitting"}, "not one of these"),
        ("speeds", {"unit": "cubits"}, "not one of these"),
        ("speeds", {"spindle": "fast"}, "is not one of those numbers"),
        ("speeds", {"spindle": "500 to 100"}, "A range rises"),
        ("speeds", {"total_depth": "20 mm"}, "more than the radius"),
        ("speeds", {"what": "threading", "pitch": "1 mm", "depth_per_pass": "2 mm"}, "more than the pitch"),
        ("speeds", {"what": "tapping", "diameter": "3", "pitch": "3"}, "too coarse"),
        ("speeds", {"what": "facing", "inner": "60 mm"}, "nothing to cut"),
        ("speeds", {"what": "drilling", "peck": "0.0001"}, "pecks"),
        ("speeds", {"what": "drilling", "peck": "5", "peck_time": "3"}, "3 of what?"),
        ("speeds", {"what": "face-milling", "width": "90"}, "stepover"),
        ("speeds", {"what": "turning", "nose": "0.05 mm"}, "larger than the tool's nose radius"),
        ("stock", {"what": "tube", "inner": "50 mm"}, "smaller than its outside"),
        ("stock", {"finished_mass": "9 kg"}, "larger than its blank"),
        ("stock", {"finished_volume": "1 cm³"}, "one of the two"),
        ("stock", {"material": "something else"}, "Write the density"),
        ("scale", {"scale": "6"}, "may be 1:6"),
        ("scale", {"scale": "1:0"}, "divided by zero"),
        ("threads", {"thread": "M7.3"}, "is not in the tables"),
        ("threads", {"what": "left", "hole": "7 mm"}, "no thread would be left"),
        ("threads", {"what": "fit", "symbols": "H7/zz9"}, "not in the tables"),
        ("threads", {"what": "fit", "nominal": "500"}, "not in the tables"),
        ("bolt-circle", {"holes": "0"}, "whole number from 1"),
        ("bolt-circle", {"holes": "2.5"}, "whole number from 1"),
        ("bolt-circle", {"first": "north"}, "not understood as an angle"),
        ("dividing", {"divisions": "0"}, "whole number from 1"),
        ("dividing", {"circles": "15, many"}, "is not one of those numbers"),
        ("triangles", {"c": "50 mm"}, "Give two parts"),
        ("triangles", {"a": "", "b": "", "alpha": "30", "beta": "60"}, "Two angles fix no size"),
        ("triangles", {"a": "50", "b": "", "c": "40"}, "shorter than its hypotenuse"),
        ("triangles", {"what": "taper", "small": "30"}, "no taper"),
    ],
)
def test_what_makes_no_sense_is_refused_with_a_sentence(
    signed_in: Client, name: str, asked: dict[str, str], sentence: str
) -> None:
    html = ask(signed_in, name, **asked)
    assert sentence in Page(html).answer, Page(html).answer
    assert "answer__number" not in html


def test_a_division_that_no_plate_gives_says_how_far_off_the_nearest_is(signed_in: Client) -> None:
    answer = answered(signed_in, "dividing", divisions="53", circles="20, 21")
    assert "None of these plates gives it exactly" in answer


def test_nothing_at_all_never_shows_as_noise(signed_in: Client) -> None:
    answer = answered(signed_in, "scale", unit="in", what="length", length="12", scale="1:6")
    assert "inch bar nearest 2 in (50.8 mm) none the same" in answer
    assert "0.00000" not in answered(signed_in, "threads", unit="in", what="nearest", hole="#80", sets="number")


def test_a_very_small_scale_is_told_without_powers_of_ten(signed_in: Client) -> None:
    answer = answered(signed_in, "scale", what="volume", volume="500 cm³", scale="1:10000")
    assert "1/1,000,000,000,000" in answer
    assert not re.search(r"\de[+-]\d", answer)


# Sizes, names and rubbish, any of which may stand in any field.
TYPED = """0|-1|1e999|1/0|0.000001 mm|49 m|#80|∞|NaN|inf|3-4 mm|1 mm|2-1/2 in|5|½|1 kg|20 m/min|9999999999|1:6|M6|H7/g6
|30|99|-0|about 3 mm|\x00"""
_SIZES = st.one_of(st.text(max_size=20), st.sampled_from(TYPED.split("|")))


@pytest.mark.parametrize("typed", ["0", "1000", "7 kW"])
def test_no_field_of_any_sum_breaks_on_a_figure(typed: str) -> None:
    for name, what in EVERY_SUM:
        form = SHEETS[name].form
        for field in (*form.kinds[what].fields, *form.kinds[what].more):
            for unit in ("mm", "in"):
                asked = QueryDict(urlencode({"what": what, "unit": unit, field: typed}))
                answer = worked_out(form(asked))
                assert answer is None or answer.answer.words, (name, what, field, unit)


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_no_address_breaks_a_page(signed_in: Client, data: Any) -> None:
    name, what = data.draw(st.sampled_from(EVERY_SUM))
    kind = SHEETS[name].form.kinds[what]
    fields = (*kind.fields, *kind.more)
    asked = {field: data.draw(_SIZES) for field in data.draw(st.lists(st.sampled_from(fields), max_size=4))}
    unit = data.draw(st.sampled_from(["mm", "in", "", "furlong"]))
    html = ask(signed_in, name, what=what, unit=unit, **asked)
    answer = Page(html).answer
    assert answer
    assert not re.search(r"(?<![“\w])(?:inf|nan|infinity)\b", re.sub("“[^”]*”", "", answer)), answer


@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.dictionaries(st.text(max_size=12), st.text(max_size=30), max_size=5))
def test_unknown_names_in_the_address_are_left_aside(signed_in: Client, asked: dict[str, str]) -> None:
    query = urlencode(
        {key.encode("utf-8", "replace"): value.encode("utf-8", "replace") for key, value in asked.items()}
    )
    assert signed_in.get(f"/arithmetic/triangles/?{query}").status_code == 200


def test_htmx_gets_the_question_with_its_answer_and_takes_the_answer_alone(signed_in: Client) -> None:
    headers = {"HX-Request": "true", "HX-Target": "answer", "HX-Trigger": "id_diameter_field"}
    response = signed_in.get("/arithmetic/bolt-circle/", {"diameter": "3 in", "holes": "6"}, headers=headers)
    html = response.content.decode()
    assert "<html" not in html
    assert "1.5 in" in html or "38.1 mm" in html
    assert 'hx-select="#answer"' in html
    assert html.count('id="answer"') == 1
    assert "hx-swap-oob" not in html


def test_htmx_gets_the_question_again_when_a_choice_changes_it(signed_in: Client) -> None:
    headers = {"HX-Request": "true", "HX-Target": "sum", "HX-Trigger": "id_what_field"}
    html = signed_in.get("/arithmetic/speeds/", {"what": "tapping"}, headers=headers).content.decode()
    assert "<html" not in html
    assert 'name="pitch"' in html
    assert 'name="length"' not in html


@pytest.mark.parametrize(("name", "what"), EVERY_SUM)
def test_no_page_has_a_script_or_a_style_of_its_own(signed_in: Client, name: str, what: str) -> None:
    html = ask(signed_in, name, what=what)
    assert not re.search(r"<style|\sstyle=|\son[a-z]+=|hx-on|javascript:|js:", html)
    assert all("src=" in tag for tag in re.findall(r"<script[^>]*>", html))


def test_the_largest_pages_stay_light(signed_in: Client) -> None:
    """Of the 150 kB that a page may weigh, sheets and scripts take about 60 as they are served."""
    for name, asked in (("bolt-circle", {"holes": "120"}), ("threads", {"what": "drills"})):
        assert len(ask(signed_in, name, **asked).encode()) < 80_000


@pytest.mark.parametrize(
    "asked", [{"what": "thread", "thread": "M10", "per_cent": "77"}, {"what": "left", "thread": "M10", "hole": "8.5"}]
)
def test_a_drill_leaves_the_same_per_cent_of_thread_wherever_it_is_named(
    signed_in: Client, asked: dict[str, str]
) -> None:
    """An 8.5 mm drill leaves 77 % of an M10 as drill charts count; 92 % of another depth is named nowhere."""
    text = answered(signed_in, "threads", unit="mm", **asked)
    assert "77 %" in text
    assert "92 %" not in text
    assert "92.4 %" not in text

"""Threads, fits and materials on their pages: written as they are at a bench, with what goes beside them."""

import pytest
from django.test import Client

from tests.pages.test_arithmetic import answered

ASKED = [
    # From the tables behind the page, which tests/outside holds to their standards.
    ("threads", {"thread": "M6x0.75"}, ["5.188 mm", "0.75 mm", "Clearance holes: ISO 273", "6.60", "Over three wires"]),
    ("threads", {"thread": "#4-40"}, ["#43 drill", "ASME B18.2.8", "0.1280"]),
    ("threads", {"thread": "1/4 x 40 ME"}, ["7/32 drill", "40 to the inch", "Thread left"]),
    ("threads", {"thread": "2BA"}, ["#24 drill", "the next drill over the diameter"]),
    ("threads", {"thread": "1/4 BSP"}, ["19 to the inch", "11.445 mm"]),
    ("threads", {"thread": "1/4-20"}, ["1/4 BSW has the same diameter and pitch, but flanks at 55°"]),
    ("threads", {"what": "wires", "thread": "M6"}, ["6.217 mm", "0.577 mm"]),
    ("threads", {"what": "wires", "thread": "M6", "wire": "0.6 mm"}, ["6.284 mm"]),
    (
        "threads",
        {"what": "fit", "nominal": "20", "symbols": "H7-g6"},
        ["A clearance of 7 to 41 µm", "a close sliding fit, which slides", "0.28 to 1.61 thou of clearance"],
    ),
    (
        "threads",
        {"what": "fit", "nominal": "20", "symbols": "JS7/h6"},
        ["19.9895 mm", "push fit", "23.5 µm of clearance to 10.5 µm"],
    ),
    ("threads", {"what": "fit", "nominal": "20", "symbols": "js6"}, ["19.9935 mm to 20.0065 mm"]),
    ("threads", {"what": "fit", "nominal": "200", "symbols": "k6"}, ["+4 to +33 µm"]),
    ("speeds", {"material": "silver steel", "speed": ""}, ["15 to 20 m/min", "common practice"]),
    ("speeds", {"material": "graphite", "speed": ""}, ["draw it off at the cutter"]),
    ("stock", {"what": "round", "diameter": "20", "length": "1 m", "material": "gunmetal"}, ["8800 kg/m³"]),
    ("flats", {"what": "corners", "shape": "6", "flats": "10"}, ["11.547 mm", "0.774 mm"]),
    ("flats", {"what": "corners", "shape": "6", "flats": "10", "bar": "11"}, ["they will be rounded", "0.5 mm"]),
    ("flats", {"what": "largest", "shape": "4", "bar": "20"}, ["14.142 mm", "2.929 mm"]),
    ("flats", {"unit": "in", "what": "sine", "angle": "30"}, ["2.5 in (63.5 mm)"]),
    ("flats", {"what": "blocks", "height": "50"}, ["30° (30° 00')"]),
    ("dividing", {"what": "dividers", "diameter": "100", "steps": "5"}, ["58.779 mm", "95.106 mm", "4 times"]),
    ("gears", {"tooth": "1", "teeth": "40"}, ["42 mm", "2.25 mm", "number 3"]),
    ("gears", {"unit": "in", "tooth": "20", "teeth": "40", "depth": "2.157"}, ["2.1 in", "0.1079 in"]),
    ("gears", {"tooth": "DP 32", "teeth": "14"}, ["number 7", "cut under"]),
    ("gears", {"what": "distance", "tooth": "mod 0.8", "teeth": "37", "others": "22"}, ["23.6 mm"]),
    ("gears", {"what": "thread", "pitch": "1 mm"}, ["40/127", "exact"]),
    (
        "gears",
        {"what": "thread", "pitch": "1 mm", "wheels": "20 25 30 35 38 40 45 50 55 60 65"},
        ["off by 0.08741 mm too short", "+0.263", "0.9991"],
    ),
    (
        "shrinking",
        {"bore": "50", "shaft": "50.05", "clearance": "0.05"},
        ["187 °C (368", "Hot metal looks like cold metal", "167 °C (300", "hot work"],
    ),
    (
        "shrinking",
        {"bore": "50", "shaft": "50.1", "clearance": "0.1", "metal": "aluminium alloy"},
        ["194 °C", "Above about 150 °C"],
    ),
    (
        "tool-life",
        {"speed": "160", "life": "5 min", "other": "100", "n": "0.223"},
        ["41 min", "8.23 times", "0.223", "Transactions of the ASME 28"],
    ),
    ("tool-life", {"what": "speed", "speed": "100", "life": "40 min", "wanted": "10 min", "n": "0.5"}, ["200 m/min"]),
    ("tool-life", {"speed": "20", "life": "1 h", "other": "50"}, ["farther than the rule can be trusted"]),
    (
        "three-guesses",
        {"shortest": "1 h", "likeliest": "2 h", "longest": "9 h"},
        ["3 h", "1 h 20 min", "1 h 40"],
    ),
    (
        "three-guesses",
        {"shortest": "1 h", "likeliest": "2 h", "longest": "9 h", "works": "4"},
        ["12 h", "2 h 40 min", "does not make the next go badly", "Operations Research 7"],
    ),
    (
        "wall-under-pressure",
        {"inside": "100", "wall": "2.5", "pressure": "6 bar"},
        ["12.3 MPa", "12 MPa", "Boiler Test Code 2018", "decides nothing"],
    ),
    ("wall-under-pressure", {"unit": "in", "inside": "48", "wall": "1/2", "pressure": "416.67 psi"}, ["20 ksi"]),
    ("springs", {"wire": "2", "outer": "22", "coils": "10", "travel": "20"}, ["2 N/mm", "40 N", "up to 900 MPa"]),
]


@pytest.mark.parametrize(("name", "asked", "figures"), ASKED)
def test_a_page_shows_what_the_tables_know(
    signed_in: Client, name: str, asked: dict[str, str], figures: list[str]
) -> None:
    answer = answered(signed_in, name, **asked)
    for figure in figures:
        assert figure in answer, (figure, answer)


@pytest.mark.parametrize(
    ("name", "asked", "sentence"),
    [
        ("gears", {"tooth": "mod 20 DP"}, "Write a module like 1"),
        ("gears", {"tooth": "1 DP"}, "a diametral pitch between 2 and 400"),
        ("gears", {"tooth": "banana"}, "Write a module like 1"),
        ("gears", {"what": "thread", "wheels": "20"}, "from 2 to 20 wheels"),
        ("springs", {"outer": "2.5 mm"}, "tighter than twice its wire"),
        ("dividing", {"what": "dividers", "steps": "2"}, "a whole number from 3"),
        ("shrinking", {"shaft": "20 mm"}, "not larger than the bore"),
        ("shrinking", {"shaft": "22 mm"}, "more than 1000 °C"),
        ("tool-life", {"speed": "20", "life": "1 h", "other": "1"}, "too far from the known speed"),
        ("tool-life", {"life": "60"}, "60 of what?"),
        ("three-guesses", {"shortest": "4 h"}, "The three times rise"),
        ("wall-under-pressure", {"pressure": "2 m/s"}, "as a pressure"),
        ("springs", {"coils": "many"}, "Write a number from 0.5"),
        ("flats", {"what": "corners", "bar": "9 mm"}, "nothing to cut"),
        ("flats", {"what": "sine", "angle": "80"}, "between"),
        ("threads", {"thread": "#4"}, "can be 4-40, 4-48"),
        ("threads", {"thread": "3/8-32 UNEF"}, "is not in the tables"),
        ("threads", {"what": "wires", "thread": "M6", "wire": "3 mm"}, "rests on the crests"),
        ("threads", {"what": "wires", "thread": "M6", "wire": "0.1 mm"}, "lies below the crests"),
        ("threads", {"what": "fit", "symbols": "g6/H7"}, "hole and shaft"),
    ],
)
def test_what_the_tables_do_not_know_is_refused(
    signed_in: Client, name: str, asked: dict[str, str], sentence: str
) -> None:
    assert sentence in answered(signed_in, name, **asked)


def test_the_caution_stands_above_the_stress_of_a_wall_and_nothing_calls_it_safe(signed_in: Client) -> None:
    page = signed_in.get("/arithmetic/wall-under-pressure/").content.decode()
    assert 0 < page.index("ask the boiler inspector") < page.index("Stress round the wall")
    assert page.index("decides nothing") < page.index("MPa")
    assert "safe" not in page.lower()


def test_the_caution_about_hot_work_stands_above_the_heat_of_a_ring(signed_in: Client) -> None:
    page = signed_in.get("/arithmetic/shrinking/").content.decode()
    assert 0 < page.index("hot work") < page.index("Make the ring as hot as")

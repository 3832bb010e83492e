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
    ("threads", {"thread": "1/4-20"}, ["1/4 BSW (BSW) has the same diameter and pitch, but flanks at 55°"]),
    ("threads", {"what": "wires", "thread": "M6"}, ["6.217 mm", "0.5774 mm"]),
    ("threads", {"what": "wires", "thread": "M6", "wire": "0.6 mm"}, ["6.284 mm"]),
    (
        "threads",
        {"what": "fit", "nominal": "20", "symbols": "H7-g6"},
        ["A clearance of 7 to 41 µm", "a close sliding fit, which slides", "0.28 to 1.61 thou of clearance"],
    ),
    ("threads", {"what": "fit", "nominal": "20", "symbols": "JS7/h6"}, ["push fit", "23.5 µm of clearance to 10.5 µm"]),
    ("threads", {"what": "fit", "nominal": "200", "symbols": "k6"}, ["+4 to +33 µm"]),
    ("speeds", {"material": "silver steel", "speed": ""}, ["15 to 20 m/min", "common practice"]),
    ("speeds", {"material": "graphite", "speed": ""}, ["draw it off at the cutter"]),
    ("stock", {"what": "round", "diameter": "20", "length": "1 m", "material": "gunmetal"}, ["8800 kg/m³"]),
]


@pytest.mark.parametrize(("name", "asked", "figures"), ASKED)
def test_a_page_shows_what_the_tables_know(
    signed_in: Client, name: str, asked: dict[str, str], figures: list[str]
) -> None:
    answer = answered(signed_in, name, **asked)
    for figure in figures:
        assert figure in answer, (figure, answer)


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        ({"thread": "#4"}, "can be 4-40, 4-48"),
        ({"thread": "3/8-32 UNEF"}, "is not in the tables"),
        ({"what": "wires", "thread": "M6", "wire": "3 mm"}, "rests on the crests"),
        ({"what": "wires", "thread": "M6", "wire": "0.1 mm"}, "lies below the crests"),
        ({"what": "fit", "symbols": "g6/H7"}, "hole and shaft"),
    ],
)
def test_what_the_tables_do_not_know_is_refused(signed_in: Client, asked: dict[str, str], sentence: str) -> None:
    assert sentence in answered(signed_in, "threads", **asked)

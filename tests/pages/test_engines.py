"""Sums of engines on their pages: each field goes where it belongs, and drawings say where the piston stands."""

import re

import pytest
from django.test import Client

from tests.pages.test_arithmetic import answered, ask

CRANK, VALVES, STAR, AIR, WHEEL = (
    "cylinder-and-crank",
    "valves-and-firing",
    "star-engine",
    "hot-air-engine",
    "flywheel",
)
ASKED = [
    # Geometry, by hand: at 90° a rod of two cranks has taken the piston 1 + 2 − √3 cranks down.
    (CRANK, {"stroke": "40", "rod": "40", "angle": "90"}, ["25.359 mm", "25 mm (0.984 in)", "30°"]),
    (CRANK, {"unit": "in", "stroke": "2", "rod": "4", "angle": "180"}, ["2 in (50.8 mm)", "at the bottom"]),
    (CRANK, {"stroke": "40", "rod": "80", "angle": "-90"}, ["22.54 mm", "270°", "towards the top"]),
    # Merlin, from memory: 5.4 × 6 in, twelve cylinders, 1,649 in³; six to one leaves 27.5 in³ above each piston.
    (
        CRANK,
        {"unit": "in", "what": "volumes", "bore": "5.4", "stroke": "6", "cylinders": "12", "clearance": "",
         "compression": "6"},
        ["1649 in³", "137 in³", "6 to 1", "27.5 in³"],
    ),
    (CRANK, {"unit": "in", "what": "speed", "stroke": "6", "turns": "3000"}, ["15.2 m/s (3000 ft/min)"]),
    (CRANK, {"what": "scale", "scale": "1:6", "power": "36 kW"}, ["900 rev/min", "1000 W", "1/216", "167 W"]),
    (CRANK, {"unit": "in", "what": "scale", "scale": "1:4", "power": "40 hp"}, ["= 40 × (1/4)² = 2.5 hp"]),
    (
        VALVES,
        {"inlet_opens": "31", "inlet_closes": "52", "exhaust_opens": "72", "exhaust_closes": "12"},
        ["Both valves stand open for 43°", "263°", "264°", "132°"],
    ),
    (VALVES, {"inlet_opens": "-5", "exhaust_closes": "-5"}, ["Neither valve stands open for 10°"]),
    # Half the travel 5, lap and lead 2.5: sin δ = ½, 30°; the eccentric 120° ahead.
    (VALVES, {"what": "slide", "travel": "10", "lap": "2", "lead": "0.5", "rods": ""}, ["30°", "120°", "126.42°"]),
    (VALVES, {"what": "lap", "travel": "10", "share": "75", "lead": ""}, ["2.5 mm", "30°", "at 75 % of the stroke"]),
    (VALVES, {"what": "line", "throws": "0 180 180 0"}, ["1-2-4-3", "1-3-4-2", "every 180°"]),
    (VALVES, {"what": "line", "throws": "0, 180"}, ["not even: 180°, 540°", "cannot fire evenly"]),
    (VALVES, {"what": "vee", "pairs": "0", "bank": "45"}, ["not even", "315°", "405°"]),
    (STAR, {"what": "order", "cylinders": "9"}, ["1-3-5-7-9-2-4-6-8", "every 80°", "40°"]),
    (STAR, {"what": "order", "cylinders": "6"}, ["none with 6", "1-3-5, and then comes 1 again"]),
    (STAR, {"what": "order", "cylinders": "6", "strokes": "2"}, ["1-2-3-4-5-6", "every 60°"]),
    (STAR, {"what": "cam", "cylinders": "9", "duration": "240"}, ["4 lobes", "1/8", "against the crank", "30°"]),
    (STAR, {"stroke": "40", "master": "80", "pins": "16", "angle": "0"}, ["64 mm", "1.90°", "40.000"]),
    (AIR, {"dead": "", "angle": "0"}, ["1.31 to 1", "50 % of what the displacer sweeps"]),
    # A disc of 4.932 kg and 200 mm at 600 rev/min: ½ × 0.02466 × 62.83² = 48.7 J, a tenth of it in a swing of 5 %.
    (
        WHEEL,
        {"outside": "200", "inside": "", "width": "20", "turns": "600", "swing": "5", "material": "",
         "density": "7850", "power": "48.7 W"},
        ["48.7 J", "4.87 J", "Turns that this drives at that power 1 "],
    ),
    (WHEEL, {"what": "rim", "outside": "1 m", "turns": "600", "density": "7200"}, ["7.11 MPa", "31.4 m/s"]),
]  # fmt: skip


@pytest.mark.parametrize(("name", "asked", "figures"), ASKED)
def test_the_answer_is_the_one_worked_out_by_hand(
    signed_in: Client, name: str, asked: dict[str, str], figures: list[str]
) -> None:
    answer = answered(signed_in, name, **asked)
    for figure in figures:
        assert figure in answer, (figure, answer[:600])


@pytest.mark.parametrize(
    ("name", "asked", "sentence"),
    [
        (CRANK, {"rod": "20 mm"}, "The rod must be longer than the crank"),
        (CRANK, {"what": "volumes", "compression": "6"}, "not both"),
        (VALVES, {"what": "slide", "lap": "6 mm"}, "less than half the travel"),
        (VALVES, {"what": "lap", "share": "99", "lead": "3 mm"}, "With so much lead"),
        (VALVES, {"what": "line", "throws": "0 north"}, "Write degrees from 0 to 360"),
        (VALVES, {"what": "vee", "pairs": "0 1 2 3 4 5 6"}, "from 1 to 6 throws"),
        (STAR, {"what": "cam", "cylinders": "6"}, "of an even number half never fire"),
        (STAR, {"cylinders": "2"}, "whole number from 3"),
        (STAR, {"link": "10 mm"}, "The link rods are too short"),
        (AIR, {"lead": "270"}, "lie between 0 and 180"),
        (WHEEL, {"inside": "160 mm"}, "must be smaller than its outside"),
        (WHEEL, {"what": "rim", "material": "something else, of a density of my own"}, "not one of these"),
    ],
)
def test_what_cannot_be_is_refused_with_a_sentence(
    signed_in: Client, name: str, asked: dict[str, str], sentence: str
) -> None:
    html = ask(signed_in, name, **asked)
    assert sentence in html.replace("&#x27;", "'")
    assert "answer__number" not in html


@pytest.mark.parametrize("name", [CRANK, STAR, AIR])
def test_a_drawing_stands_at_its_angle_and_at_the_quarters_and_says_so(signed_in: Client, name: str) -> None:
    html = ask(signed_in, name, angle="200")
    said = re.findall(r'<svg[^>]*aria-label="([^"]+)"', html)
    angles = [re.search(r"[Cc]rank at (\d+)°", one) for one in said]
    assert [found and found[1] for found in angles] == ["200", "0", "90", "180", "270"]
    assert len(set(said)) == 5
    links = re.findall(r'class="turn__quarter" href="([^"]+)"', html)
    assert links == [f"?angle={angle}" for angle in (0, 90, 180, 270)]
    shapes = re.findall(r'<path d="([^"]+)" fill="#fcf9f1"', html)
    assert len(set(shapes)) == 5
    assert re.search(r'type="range"[^>]*value="200"', " ".join(html.split()))


def test_the_way_to_a_quarter_keeps_what_was_typed(signed_in: Client) -> None:
    html = ask(signed_in, CRANK, stroke="1-1/2 in", unit="in", angle="33")
    assert 'href="?stroke=1-1%2F2+in&amp;unit=in&amp;angle=90"' in html


def test_what_does_not_turn_has_no_slider(signed_in: Client) -> None:
    assert 'type="range"' not in ask(signed_in, CRANK, what="volumes")
    assert 'type="range"' not in ask(signed_in, "gears")


def test_a_rim_stands_under_its_caution(signed_in: Client) -> None:
    answer = answered(signed_in, WHEEL, what="rim")
    assert answer.index("A flywheel that bursts") < answer.index("Pull in the rim")
    assert "the rules where you are" in answer


def test_the_largest_star_stays_light(signed_in: Client) -> None:
    assert len(ask(signed_in, STAR, cylinders="29", pins="12 mm").encode()) < 80_000

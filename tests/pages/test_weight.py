"""What the bench weighs on a phone's line, as it is served: 60 kB with nothing kept, 6 kB when only the page is new."""

import gzip
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from django.contrib.staticfiles import finders
from django.test import Client

from builds.models import Build
from builds.static_files import SCRIPT, SHEET
from tests import factories

COLD, WARM = 60_000, 6_000
# As builders write them: each its own words, which is what does not press together.
ROUTES = {
    "Tube plate": (
        "Turn both to 2-1/8, clamped together",
        "Drill 37 tube holes through the pair",
        "Ream 37 holes 3/16 plus 2 thou",
        "Drill eight flange holes",
        "Countersink each hole a hair",
    ),
    "Cover nut, M3 small hexagon": (
        "Drill 2.5 and chamfer, bar in the collet",
        "Tap from the tailstock",
        "Part off 2.4 thick",
        "Face both sides on a screwed stub",
        "Oil-black in the furnace tray",
    ),
    "Air-pump valve disc, 3/8 x 0.020": (
        "Punch blanks from hard sheet",
        "Turn the stack on an arbor and drill 1/16",
        "Lap flat on plate glass, one face",
        "Test for light on the seat",
    ),
    "Expansion link": (
        "Saw blanks, two stuck together",
        "Mill the curved slot on the radius arm, 3-3/4 radius",
        "Drill and ream four pin holes",
        "File the outside curves to the template",
        "Harden from 800 C and temper to dark straw",
        "Lap the slot after hardening",
    ),
    "Erection and trial running": (
        "Bottom end: bed, columns, bearings, shaft and rods",
        "Valve gear, lead and cut-off both ways",
        "Cylinders on columns, line up piston rods and guides",
        "First turn on air, run in 10 hours",
        "Condenser and pumps on",
        "Strip, clean, mark and re-gasket",
        "First steam and adjustments",
        "Log of trial runs, readings every 15 minutes",
    ),
    "Air-pump barrel": (
        "Turn the outside and bottom flange",
        "Bore 7/8 and face",
        "Mill the valve-deck face and hot-well branch",
        "Drill flange studs and passages",
        "Hone the barrel",
        "Fit the foot-valve plate and head",
    ),
    "Stay": tuple(f"Turn stay {n}" for n in range(30)),
}


@pytest.fixture
def large(make_build: Any, make_part: Any) -> Build:
    """A build whose operations are too many to be listed whole, with evenings on six of its parts."""
    build: Build = make_build("Twin launch engine")
    for place, (name, titles) in enumerate(ROUTES.items()):
        operations = [{"kind": "turning", "title": title} for title in titles]
        part = make_part(build, f"50{place}", name, quantity=6, operations=operations)
        if name != "Stay":
            factories.make_batch(part)
            last = part.operations.last()
            factories.make_entry(build, date(2026, 3, 2 + place), part=part, operation=last, scrap=1, scrap_reason=name)
    return build


def weight(answer: Any) -> int:
    """Bytes of an answer on the wire, its headers and cookies included."""
    headers = [*(f"{name}: {value}" for name, value in answer.items()), answer.cookies.output()]
    return len(answer.content) + sum(len(f"{header}\r\n") for header in headers)


def test_the_bench_is_light_on_the_line(signed_in: Client, large: Build) -> None:
    address = f"/builds/{large.slug}/bench/"
    signed_in.get(address)
    answer = signed_in.get(address, headers={"Accept-Encoding": "gzip"})
    assert answer["Content-Encoding"] == "gzip"
    assert b"Expansion link" in gzip.decompress(answer.content)
    page = weight(answer)
    linked = sum(len(gzip.compress(Path(str(finders.find(name))).read_bytes())) for name in (SHEET, SCRIPT))
    assert page < WARM, page
    assert page + linked < COLD

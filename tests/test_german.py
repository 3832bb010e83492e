"""What visitors read is there in German, whole: no sentence of theirs falls back to English."""

import gettext
import re
from itertools import product
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.test import Client
from django.utils.translation import trans_real

from builds.arithmetic.sheets import SHEETS
from builds.management.demonstration import RECORD
from builds.models import Build, Exhibit
from builds.queries.plan import worksheet
from builds.transfer.record.reader import import_record, load_record
from tests import factories
from tests.factories import TODAY, make_build
from tests.test_translation import Bracketed

pytestmark = pytest.mark.django_db

FOLDER = Path(settings.LOCALE_PATHS[0]) / "de" / "LC_MESSAGES"


EVERY_BASIS = [
    {"kind": "turning", "minutes_per_unit": 20.0, "setup_minutes": 30.0},
    {"kind": "printing", "minutes_per_unit": 90.0, "setup_minutes": 5.0, "unattended_share": 0.5},
    {"kind": "drilling", "basis": "hole", "amount": 6.0, "minutes_per_unit": 2.5},
    {"kind": "milling", "basis": "tooth", "amount": 20.0, "minutes_per_unit": 1.5, "setup_minutes": 10.0},
    {"kind": "milling", "basis": "cubic centimetre", "amount": 4.0, "minutes_per_unit": 3.0, "setup_minutes": 10.0},
    {"kind": "sawing", "basis": "centimetre of cut", "amount": 8.0, "minutes_per_unit": 1.0, "setup_minutes": 10.0},
]


@pytest.fixture(autouse=True)
def missing_in_brackets(monkeypatch: pytest.MonkeyPatch) -> None:
    """A sentence that the catalogue lacks comes as the English one in brackets."""
    catalogue: Any = trans_real.translation("de")
    monkeypatch.setattr(catalogue, "_fallback", Bracketed())


def missing(html: str) -> list[str]:
    return sorted(set(re.findall(r"⟦([^⟦⟧]*)", html)))


def asked(client: Client, address: str, **query: str) -> str:
    answer = client.get(address, {**query, "language": "de"})
    assert answer.status_code in (200, 422), address
    html = answer.content.decode()
    assert '<html lang="de"' in html
    return html


KINDS = [(sheet.name, kind) for sheet in SHEETS.values() for kind in sheet.form.kinds]


@pytest.mark.parametrize(("sheet", "kind"), KINDS)
def test_every_sum_of_the_bench_is_asked_and_answered_in_german(signed_in: Client, sheet: str, kind: str) -> None:
    for unit in ("mm", "in"):
        assert missing(asked(signed_in, f"/arithmetic/{sheet}/", what=kind, unit=unit)) == []


def test_the_list_of_the_sheets_is_german(signed_in: Client) -> None:
    assert missing(asked(signed_in, "/arithmetic/")) == []


@pytest.mark.parametrize("typed", ["nonsense", "1/0", "5 kg"])
def test_what_is_refused_is_refused_in_german(signed_in: Client, typed: str) -> None:
    for sheet in SHEETS.values():
        fields = dict.fromkeys(sheet.form.base_fields, typed) | {"what": next(iter(sheet.form.kinds)), "unit": "mm"}
        assert missing(asked(signed_in, f"/arithmetic/{sheet.name}/", **fields)) == [], sheet.name


def test_the_sums_for_beginners_are_german_at_every_level(signed_in: Client) -> None:
    """Of a part that says all there is to ask about, in a build of either unit."""
    steel = factories.make_material("Stahl", density=7850.0, cutting_speed=28.0)
    lathe = factories.make_machine("Drehbank", speeds=[60, 130, 200], power_watts=550)
    for units, blank in product(("mm", "in"), ("20 dia x 60", "1 in sq x 2 in", "8 mm A/F hex x 40", "40 x 12 x 100")):
        build = factories.make_build(f"Maschine {units} {blank}", units=units, scale="1:8", currency="€")
        part = factories.make_part(
            build, "1", "Bolzen", operations=[step | {"machine": lathe} for step in EVERY_BASIS], material=steel,
            blank=blank, quantity=6, spares=2, finished_mass_grams=12.0, blank_cost="2.50",
        )  # fmt: skip
        factories.make_entry(build, minutes=95, part=part, operation=part.operations.first(), good=5, scrap=2)
        factories.make_batch(part, 4), factories.make_batch(part, 5, 2)
        for level in worksheet.LEVELS:
            page = asked(signed_in, f"/builds/{build.slug}/parts/{part.pk}/worksheet/", level=str(level))
            assert missing(page) == [], (units, blank, level)
            assert "Antwort:" in page


def test_every_sum_for_beginners_has_its_german(signed_in: Client) -> None:
    """Also those that no part of the test above is asked."""
    catalogue = texts_of((FOLDER / "django.po").read_text(encoding="utf-8"))
    folder = Path(worksheet.__file__).parent
    said = [text for file in folder.glob("*.py") for text in re.findall(r'\b_\(\s*"([^"]*)"', file.read_text())]
    assert len(said) > 200
    assert [text for text in said if not catalogue.get(text)] == []


def test_the_compiled_catalogue_is_that_of_the_text() -> None:
    """What is translated in the text file is found in the compiled one, and nothing else."""
    written = texts_of((FOLDER / "django.po").read_text(encoding="utf-8"))
    with (FOLDER / "django.mo").open("rb") as file:
        compiled: Any = gettext.GNUTranslations(file)._catalog  # type: ignore[attr-defined]
    plain = {key: text for key, text in compiled.items() if key and isinstance(key, str)}
    assert len(written) > 1000
    assert plain == {key: text for key, text in written.items() if text}


def texts_of(po: str) -> dict[str, str]:
    """A catalogue's sentences without a plural, with what stands for each; those marked as unsure left out."""
    found = {}
    for entry in po.split("\n\n")[1:]:
        lines = [line for line in entry.splitlines() if not line.startswith("#~")]
        if any(line.startswith("#,") and "fuzzy" in line for line in lines) or "msgid_plural" in entry:
            continue
        text = "\n".join(line for line in lines if not line.startswith("#"))
        parts = re.fullmatch(r'msgid ((?:".*"\n?)+)msgstr ((?:".*"\n?)+)', text)
        if parts:
            key, value = ("".join(re.findall(r'^"(.*)"$', part, re.MULTILINE)) for part in parts.groups())
            found[_unescaped(key)] = _unescaped(value)
    return found


def _unescaped(text: str) -> str:
    return re.sub(r"\\(.)", lambda sign: {"n": "\n", "t": "\t"}.get(sign[1], sign[1]), text)


@pytest.fixture
def demonstration() -> Build:
    import_record(load_record(RECORD), today=TODAY)
    return Build.objects.get()


def test_what_hangs_from_the_board_is_german(client: Client, signed_in: Client, demonstration: Build) -> None:
    slug = demonstration.slug
    for address in (f"/board/{slug}/", f"/board/{slug}/facts/", "/board/"):
        assert missing(asked(client, address)) == [], address
    for address in (f"/builds/{slug}/placard/", f"/builds/{slug}/talk/"):
        assert missing(asked(signed_in, address)) == [], address


@pytest.mark.parametrize("state", ["empty", "resting", "finished", "hidden"])
def test_a_board_in_any_state_is_german(client: Client, demonstration: Build, state: str) -> None:
    build = demonstration
    if state == "empty":
        build = make_build("Beam", on_board=True)
    elif state == "hidden":
        Exhibit.objects.update(hours_shown=False, scrap_shown=False, photos_shown=False)
        Build.objects.update(date_on_board=False)
    else:
        Build.objects.update(state=state)
    for address in (f"/board/{build.slug}/", f"/board/{build.slug}/facts/"):
        assert missing(asked(client, address)) == [], address

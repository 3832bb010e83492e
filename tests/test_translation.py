"""Every word that a person reads can be put into another language.

The pages are asked for in a language that does not exist, whose every message is the English one in brackets. What
stands outside the brackets is then either data (a name, a note, a figure with its unit) or was forgotten.
"""

import csv
import re
from collections.abc import Callable, Iterator
from html.parser import HTMLParser
from pathlib import Path

import pytest
from django.conf import settings
from django.db import models
from django.test import Client, override_settings
from django.utils import timezone
from django.utils.translation import trans_real

from builds.management.demonstration import RECORD
from builds.models import Build, Part
from builds.queries.forecast.replay_work import replay_of
from builds.transfer.record.reader import import_record, load_record
from tests.factories import TODAY, make_batch, make_build, make_instrument, make_measurements, make_part, make_size

pytestmark = pytest.mark.django_db

# One whose figures are written as ours are.
NOWHERE = "ga"

# Units, signs and what stands for itself in every language.
SAME_EVERYWHERE = re.compile(
    r"\b(?:Swarfbook|mm|cm|m|in|ft|kg|g|lb|oz|thou|rev|min|h|s|rpm|hp|kW|W|N|lbf|µm|mg|MPa|ksi|tpi|BA|BSF|BSW|ME|UNC|UNF|ISO"
    r"|HSS|CSV|XLSX|JSON|PNG|PDF|English|sin|cos|tan|arctan|arcsin|arccos|alpha|beta)\b"
)


class Bracketed:
    """A catalogue whose every message is the English one in brackets."""

    def gettext(self, message: str) -> str:
        return f"⟦{message}⟧" if message.strip() else message

    def ngettext(self, one: str, many: str, number: int) -> str:
        return self.gettext(one if number == 1 else many)

    def pgettext(self, context: str, message: str) -> str:
        return self.gettext(message)

    def npgettext(self, context: str, one: str, many: str, number: int) -> str:
        return self.ngettext(one, many, number)

    def to_language(self) -> str:
        return NOWHERE

    language = to_language


@pytest.fixture
def nowhere(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    with override_settings(LANGUAGES=[("en-gb", "English"), (NOWHERE, "Nowhere")]):
        # Inside, since a change of the languages forgets every catalogue.
        monkeypatch.setitem(trans_real._translations, NOWHERE, Bracketed())
        yield


class Words(HTMLParser):
    """What of a page stands outside the brackets, of all that is read, also by those who listen to it."""

    UNREAD = {"script", "style"}
    READ_OUT = {"title", "aria-label", "alt", "placeholder", "data-label", "summary"}

    def __init__(self) -> None:
        super().__init__()
        self.outside: list[str] = []
        self.depth = 0
        self.unread = 0

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        self.unread += tag in self.UNREAD
        for name, value in attributes:
            if name in self.READ_OUT:
                self.outside.append(bracketless(value or "", 0)[0])

    def handle_endtag(self, tag: str) -> None:
        self.unread -= tag in self.UNREAD

    def handle_data(self, data: str) -> None:
        # A message may hold a link or an emphasis, so its brackets may open in one place and close in another.
        text, self.depth = bracketless(data, self.depth)
        if not self.unread:
            self.outside.append(text)


def bracketless(text: str, depth: int) -> tuple[str, int]:
    """The text without what stands in brackets, and how many of them are still open."""
    kept = []
    for sign in text:
        depth += (sign == "⟦") - (sign == "⟧")
        kept.append(" " if depth or sign == "⟧" else sign)
    return "".join(kept), depth


def texts_of_the_records() -> list[str]:
    """Every text that somebody typed into a record, the longest first."""
    from django.apps import apps

    from builds import models as models_of

    texts: set[str] = set()
    for model in apps.get_app_config("builds").get_models():
        names = [field.name for field in model._meta.fields if isinstance(field, models.CharField | models.TextField)]
        names = [name for name in names if not model._meta.get_field(name).choices]
        for row in model.objects.values_list(*names) if names else ():
            texts.update(line.strip() for text in row if text for line in (text, *text.splitlines()))
            # Visitors read a material without its form: "Mild steel, bright drawn" is mild steel to them.
            texts.update(text.partition(",")[0].strip() for text in row if text and model is models_of.Material)
    # Languages are offered by their own names.
    return sorted(texts | cited_sources() | {"Nowhere", "Deutsch", "English"}, key=len, reverse=True)


def cited_sources() -> set[str]:
    """What the tables cite, which is cited in its own words in every language."""
    tables = (Path(settings.BASE_DIR) / "calcs" / "shop" / "tables").glob("*.csv")
    rows = (row for table in tables for row in csv.DictReader(table.read_text(encoding="utf-8").splitlines()))
    return {row["source"] for row in rows if row.get("source")}


def forgotten(html: str, typed: list[str]) -> list[str]:
    words = Words()
    words.feed(html)
    left = []
    for text in words.outside:
        for one in typed:
            text = text.replace(one, " ")
        # A chart shortens a long name, and a source is cited in its own language.
        text = " ".join(SAME_EVERYWHERE.sub(" ", text).split())
        if re.search(r"[A-Za-z]{3}", text) and "…" not in text:
            left.append(text)
    return left


@pytest.fixture
def pages(nowhere: None, signed_in_owner: Client) -> Callable[[str], str]:
    import_record(load_record(RECORD), today=TODAY)
    make_measurements(make_size(repeated_part()), {1: "12.01", 2: "12.03", 3: "no go"}, instrument=make_instrument())

    def page(address: str, **query: str) -> str:
        response = signed_in_owner.get(address, query, headers={"Accept-Language": NOWHERE})
        assert response.status_code == 200, address
        return response.content.decode()

    return page


def repeated_part() -> Part:
    ring = Part.objects.filter(batches__isnull=False).order_by("pk").first()
    assert ring is not None
    return ring


def addresses() -> list[str]:
    build = Build.objects.get()
    here = f"/builds/{build.slug}"
    ring = repeated_part()
    turned = ring.operations.order_by("number").first()
    entry, batch = build.entries.order_by("-pk").first(), ring.batches.first()
    assert turned is not None
    assert entry is not None
    assert batch is not None
    of_the_build = (
        "", "edit/", "bench/", "log/", "forecast/", "forecast/working/", "forecast/ratios/", "forecast/pace/",
        "forecast/trust/", "rates/", "rates/operations/", "holds/", "ready/", "replay/",
        "repeats/", "events/", "photos/", "counter/",
        "parts/take-in/", "log/take-in/", "to-buy/", "visitors/", "placard/", "talk/",
        "book/", "parts/new/", "assemblies/", "sheets/", "closures/", "milestones/", f"log/{entry.pk}/amend/",
        f"parts/{ring.pk}/", f"parts/{ring.pk}/edit/", f"parts/{ring.pk}/yield/",
        f"parts/{ring.pk}/blanks/", f"parts/{ring.pk}/measure/", f"parts/{ring.pk}/worksheet/",
        f"parts/{ring.pk}/batches/new/",
        f"batches/{batch.pk}/grid/", f"operations/{turned.pk}/edit/", f"operations/{turned.pk}/work-out/",
    )  # fmt: skip
    sheets = (
        "", "speeds/", "stock/", "scale/", "threads/", "bolt-circle/", "dividing/", "triangles/", "cylinder-and-crank/",
        "core-in-its-frame/",
        "valves-and-firing/", "star-engine/", "star-engine/?what=order&cylinders=6", "hot-air-engine/", "flywheel/",
        *(f"cylinder-and-crank/?what={what}" for what in ("volumes", "speed", "scale")),
        *(f"valves-and-firing/?what={what}" for what in ("slide", "lap", "line", "vee")),
        "star-engine/?what=order", "star-engine/?what=cam", "flywheel/?what=rim",
    )  # fmt: skip
    return [
        "/", "/builds/new/", f"/board/{build.slug}/", f"/board/{build.slug}/facts/",
        "/shop/people/", "/shop/backups/", "/shop/machines/", "/shop/materials/", "/shop/rack/",
        "/shop/on-sale/", "/shop/instruments/", "/password/",
        *(f"{here}/{page}" for page in of_the_build), *(f"/arithmetic/{sheet}" for sheet in sheets),
    ]  # fmt: skip


def test_a_preview_has_no_word_that_cannot_be_translated(nowhere: None, signed_in_owner: Client) -> None:
    build = make_build("Beam")
    own = ["Beam", "Datum", "Xyzzy", "Plugh", "owner", "Item", "Kind", "turning"]
    for where, table in (
        ("log", "Datum\tHours\tPart\n03/04/2026\tXyzzy\tPlugh\n2026-01-03\t1\tPlugh\n\t1\t\n"),
        ("parts", "Item\tName\tKind\tQty\n1\tPlugh\tturning\t1\n2\tPlugh\tXyzzy\tXyzzy\n"),
    ):
        address = f"/builds/{build.slug}/{where}/take-in/"
        response = signed_in_owner.post(address, {"pasted": table}, headers={"Accept-Language": NOWHERE})
        assert "⟦" in response.content.decode()
        own += ["Hours", "Part", "Name", "Qty"]
        assert forgotten(response.content.decode(), sorted(own, key=len, reverse=True)) == [], where


def test_what_measurements_say_has_no_word_that_cannot_be_translated(nowhere: None, signed_in_owner: Client) -> None:
    build = make_build("Beam")
    bore = make_size(make_part(build, "1", "Datum"), "xyzzy", "12 H7")
    piston = make_size(make_part(build, "2", "Grault"), "plugh", "11.98 ±0.01")
    batch = make_batch(bore.part, blanks=9)
    make_measurements(bore, {1: "12.002", 2: "12.004", 3: "12.006", 4: "12.008", 5: "12.010", 6: "go", 7: "12.1"})
    make_measurements(bore, {1: "12.017", 2: "12.012", 3: "12.016"}, batch=batch)
    make_measurements(piston, {1: "11.984", 2: "11.98", 3: "12.2"})
    asked = f"outer={bore.pk}&inner={piston.pk}&least=0.01&most=0.03"
    for where in (f"sizes/{bore.pk}/spread/", f"sizes/{piston.pk}/spread/", "pairs/?" + asked, "pairs/?least=some"):
        response = signed_in_owner.get(f"/builds/{build.slug}/{where}", headers={"Accept-Language": NOWHERE})
        own = ["Beam", "Datum", "Grault", "xyzzy", "plugh", "owner", "Cpk", "Cp"]
        assert "⟦" in response.content.decode()
        assert forgotten(response.content.decode(), own) == [], where


def test_no_page_has_a_word_that_cannot_be_translated(pages: Callable[[str], str]) -> None:
    typed = texts_of_the_records()
    found = {address: forgotten(pages(address), typed) for address in addresses()}
    build = Build.objects.get()
    replay_of(build, timezone.localdate())
    found["the replay, worked out"] = forgotten(pages(f"/builds/{build.slug}/replay/"), typed)
    left = {address: words for address, words in found.items() if words}
    assert left == {}, "\n".join(f"{address}: {words}" for address, words in left.items())

"""A form that is sent to a record which somebody else removed meanwhile: what was typed stays visible."""

import html
import re
from typing import Any

import pytest
from django.test import Client

from builds.models import Machine, Material, Offer, Part, Stock
from builds.services.log.entries import remove_entry
from builds.services.plan import records as plan
from tests import factories
from tests.pages.test_two_people import KINDS, records, typed_in

OF_SHOP: dict[str, tuple[Any, ...]] = {
    "machine": (Machine,), "stock": (Stock,), "offer": (Offer,), "material": (Stock, Offer, Material)
}  # fmt: skip
GONE = "Somebody else has removed this meanwhile"


@pytest.fixture
def part(user: Any) -> Part:
    return factories.make_part(factories.make_build(), quantity=9, operations=[{"kind": "turning"}])


def remove(part: Part, kind: str) -> None:
    """What the other one does; whatever leans on the record goes first."""
    if kind in OF_SHOP:
        for model in OF_SHOP[kind]:
            model.objects.all().delete()
        return
    for entry in part.entries.all():
        remove_entry(entry=entry, by=None)
    if kind == "entry":
        return
    part.entries.all().delete()
    owner = part if kind in ("operation", "batch", "size") else part.build
    related = {"operation": "operations", "batch": "batches", "size": "sizes", "assembly": "assemblies"}
    record = part if kind == "part" else getattr(owner, related.get(kind, f"{kind}s")).get()
    plan.remove(record=record, by=None)


def text_of(answer: Any) -> str:
    return " ".join(html.unescape(re.sub(r"<[^>]*>", " ", answer.content.decode())).split())


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind != "build"])
def test_what_was_typed_is_shown_with_its_labels(signed_in: Client, part: Part, kind: str) -> None:
    to, theirs, mine = records(part)[kind]
    opened = typed_in(signed_in.get(to).content.decode())
    remove(part, kind)
    answer = signed_in.post(to, {**opened, **theirs, **mine})
    text = text_of(answer)
    assert answer.status_code == 422
    assert GONE in text
    for words in mine.values():
        assert words in text
    assert ("put back under Who did what" in text) == (kind not in OF_SHOP)
    assert "csrf" not in text


def test_choices_are_told_in_words_and_nothing_typed_becomes_a_tag(signed_in: Client, part: Part) -> None:
    iron = factories.make_material("Iron <i>grey</i>")
    to = f"/builds/{part.build.slug}/parts/{part.pk}/edit/"
    opened = typed_in(signed_in.get(to).content.decode())
    plan.remove(record=part, by=None)
    answer = signed_in.post(to, {**opened, "material": str(iron.pk), "role": "jig", "note": "<b>bold</b>"})
    assert "&lt;b&gt;bold&lt;/b&gt;" in answer.content.decode()
    assert "Material Iron <i>grey</i>" in text_of(answer)
    assert "What it is jig or tool" in text_of(answer)


def test_htmx_is_told_in_the_place_of_the_page(signed_in: Client, part: Part) -> None:
    operation = part.operations.get()
    to = f"/builds/{part.build.slug}/operations/{operation.pk}/edit/"
    plan.remove(record=operation, by=None)
    answer = signed_in.post(to, {"title": "Rough", "setup_minutes": "20 min"}, headers={"HX-Request": "true"})
    assert (answer.status_code, answer.headers["HX-Retarget"]) == (422, "#main")
    assert "Set-up 20 min" in text_of(answer)


def test_a_page_that_is_not_there_stays_a_page_not_found(signed_in: Client, part: Part) -> None:
    missing = f"/builds/{part.build.slug}/parts/999999/"
    assert signed_in.get(f"{missing}edit/").status_code == 404
    assert signed_in.post(f"{missing}remove/").status_code == 404
    assert signed_in.post("/builds/none/nothing/3/edit/", {"name": "x"}).status_code == 404

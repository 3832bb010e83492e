"""Whatever is removed is put back with the one button of the message that follows."""

import html
import re
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from django.core.files.base import ContentFile
from django.db import models
from django.test import Client
from PIL import Image

from builds.models import (
    Assembly,
    Batch,
    Closure,
    Entry,
    Machine,
    Material,
    Milestone,
    Need,
    Operation,
    Part,
    Photo,
    Remark,
    Sheet,
    Size,
)
from builds.services.plan import records as plan
from builds.services.plan.photos import add_photo
from tests import factories

WAY_BACK = re.compile(r'action="([^"]+)" data-once>\s*<input[^>]+>\s*<input type="hidden" name="next" value="([^"]*)"')
RECORDS = {"assemblies": Assembly, "sheets": Sheet, "remarks": Remark, "sizes": Size, "batches": Batch,
           "closures": Closure, "milestones": Milestone}  # fmt: skip


def a_photo(part: Part) -> Photo:
    import io

    out = io.BytesIO()
    Image.new("RGB", (40, 30), "red").save(out, "JPEG")
    return add_photo(build=part.build, upload=ContentFile(out.getvalue(), "p.jpg"), by=None, part=part, caption="Ring")


def made_of(model: Any, part: Part) -> models.Model:
    """A record of that kind, and what it hangs on."""
    build = part.build
    made: dict[Any, Callable[[], Any]] = {
        Part: lambda: part,
        Operation: part.operations.get,
        Entry: lambda: factories.make_entry(build, part=part, good=1),
        Photo: lambda: a_photo(part),
        Assembly: lambda: factories.make_assembly(build),
        Sheet: lambda: factories.make_sheet(build),
        Remark: lambda: plan.save(
            record=Remark(sheet=factories.make_sheet(build), drawing_says="3/8", we_made="10 mm"), by=None
        ),
        Size: lambda: plan.save(record=Size(part=part, name="Bore", full_size="5 ft"), by=None),
        Batch: lambda: factories.make_batch(part),
        Closure: lambda: plan.save(
            record=Closure(build=build, from_on=date(2026, 8, 1), to_on=date(2026, 8, 9)), by=None
        ),
        Milestone: lambda: plan.save_milestone(
            milestone=Milestone(build=build, name="First turn"), parts=[part], assemblies=[], by=None
        ),
        Need: lambda: factories.make_need(part, factories.make_part(build, "15")),
        Machine: lambda: factories.make_machine(speeds=[60, 110]),
        Material: lambda: factories.make_material(density=7200.0),
    }
    record: models.Model = made[model]()
    return record


def address_of(record: Any, slug: str) -> str:
    if isinstance(record, Machine | Material):
        return f"/shop/{record._meta.verbose_name_plural}/{record.pk}/remove/"
    kinds = {Part: "parts", Need: "needs", Operation: "operations", Entry: "log", Photo: "photos"}
    kinds |= {model: kind for kind, model in RECORDS.items()}
    return f"/builds/{slug}/{kinds[type(record)]}/{record.pk}/remove/"


@pytest.mark.parametrize(
    "model",
    [Part, Operation, Need, Entry, Photo, *RECORDS.values(), Machine, Material],
    ids=lambda model: model.__name__,
)
def test_what_was_removed_is_put_back_from_the_message(signed_in: Client, data_dir: Path, model: Any) -> None:
    build = factories.make_build()
    record = made_of(model, factories.make_part(build))
    if isinstance(record, Machine | Material):
        record.builds.add(build)
    kept = model.objects.kept() if model is Entry else model.objects
    hidden = ("id", "removed_at", "version", "added_at", "recorded_at")
    names = [field.attname for field in model._meta.concrete_fields if field.name not in hidden]
    before = kept.values(*names).get()

    page = signed_in.post(address_of(record, build.slug), follow=True).content.decode()
    assert not kept.exists()
    way_back, back_on = WAY_BACK.search(page).groups()  # type: ignore[union-attr]
    answer = signed_in.post(html.unescape(way_back), {"next": html.unescape(back_on)}, follow=True)

    assert answer.status_code == 200
    assert kept.values(*names).get() == before
    assert "Put it back" not in answer.content.decode()
    if isinstance(record, Machine | Material):
        assert list(model.objects.get().builds.all()) == [build]


def test_an_operation_that_htmx_removed_is_put_back_on_its_part(signed_in: Client) -> None:
    part = factories.make_part(factories.make_build())
    where = f"/builds/{part.build.slug}/parts/{part.pk}/"
    headers = {"HX-Request": "true", "HX-Current-URL": f"http://testserver{where}"}
    to = f"/builds/{part.build.slug}/operations/{part.operations.get().pk}/remove/"

    rest = signed_in.post(to, headers=headers).content.decode()

    way_back, back_on = WAY_BACK.search(rest).groups()  # type: ignore[union-attr]
    answer = signed_in.post(html.unescape(way_back), {"next": back_on})
    assert answer.headers["Location"] == where
    assert part.operations.count() == 1


def test_what_another_browser_removed_is_not_put_back(signed_in: Client) -> None:
    machine = factories.make_machine()
    answer = signed_in.post(f"/shop/machines/{machine.pk}/put-back/")
    assert answer.status_code == 404

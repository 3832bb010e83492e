"""Two people change one record: the later one sees both versions, field by field, chooses, and sends once."""

import html
import re
from datetime import date
from typing import Any

import pytest
from django.test import Client

from builds.models import Closure, Milestone, Operation, Part, Size
from builds.services.plan import records as plan
from tests import factories

FIELD = re.compile(r"<(input|select|textarea)\b([^>]*)>(?:(.*?)</\1>)?", re.DOTALL)


def typed_in(page: str) -> dict[str, list[str]]:
    """What the page's main form would send, as it stands."""
    form = page[page.index('<form class="form"' if '<form class="form"' in page else "route__form") :]
    sent: dict[str, list[str]] = {}
    for tag, attributes, inside in FIELD.findall(form[: form.index("</form>")]):
        known = dict(re.findall(r'([\w-]+)="([^"]*)"', attributes))
        name = known.get("name", "")
        if not name or name == "csrfmiddlewaretoken":
            continue
        if tag == "select":
            chosen = [html.unescape(v) for v in re.findall(r'<option value="([^"]*)" selected', inside)]
            # A browser sends the first of a list from which one is chosen, and nothing of one that takes several.
            if chosen or not re.search(r"\smultiple\b", attributes):
                sent[name] = chosen or [""]
        elif tag == "textarea":
            sent[name] = [html.unescape(inside).removeprefix("\n")]
        elif known.get("type") not in ("checkbox", "radio"):
            sent[name] = [html.unescape(known.get("value", ""))]
        elif re.search(r"\schecked\b", attributes):
            sent.setdefault(name, []).append(html.unescape(known["value"]) if "value" in known else "on")
    return sent


def records(part: Part) -> dict[str, tuple[str, dict[str, str], dict[str, str]]]:
    """For each kind of form: its address, what the first changes and what the second changes."""
    build, base = part.build, f"/builds/{part.build.slug}"
    entry = factories.make_entry(build, part=part, operation=part.operations.get(), good=1)
    assembly, batch = factories.make_assembly(build), factories.make_batch(part)
    closure = plan.save(record=Closure(build=build, from_on=date(2026, 8, 1), to_on=date(2026, 8, 9)), by=None)
    milestone = plan.save_milestone(milestone=Milestone(build=build, name="First turn"), parts=[part], assemblies=[],
                                    by=None)  # fmt: skip
    size = plan.save(record=Size(part=part, name="Bore", full_size="5 ft", reason="stock"), by=None)
    operation, machine, material = part.operations.get(), factories.make_machine(), factories.make_material()
    stock, offer = factories.make_stock(material, "20 dia", "500"), factories.make_offer(material, "20 dia", "500")
    return {
        "build": (f"{base}/edit/", {"scale": "1:4"}, {"scale": "1:6", "subject": "Beam engine of 1850"}),
        "part": (f"{base}/parts/{part.pk}/edit/", {"quantity": "5"}, {"quantity": "7", "note": "split ring"}),
        "operation": (f"{base}/operations/{operation.pk}/edit/", {"title": "Rough"},
                      {"title": "Finish", "note": "soft jaws"}),
        "entry": (f"{base}/log/{entry.pk}/amend/", {"good": "2"}, {"good": "3", "note": "lapped"}),
        "assembly": (f"{base}/assemblies/{assembly.pk}/edit/", {"name": "Crank"}, {"name": "Crankshaft"}),
        "batch": (f"{base}/batches/{batch.pk}/edit/", {"blanks": "12"}, {"blanks": "14", "note": "from bar"}),
        "closure": (f"{base}/closures/{closure.pk}/edit/", {"hours_per_week": "2"},
                    {"hours_per_week": "3", "reason": "sea"}),
        "milestone": (f"{base}/milestones/{milestone.pk}/edit/", {"name": "First steam"}, {"name": "Runs"}),
        "size": (f"{base}/sizes/{size.pk}/edit/", {"full_size": "6 ft"}, {"full_size": "7 ft", "reason": "bar"}),
        "machine": (f"/shop/machines/{machine.pk}/edit/", {"kind": "lathe"}, {"kind": "mill", "note": "old"}),
        "material": (f"/shop/materials/{material.pk}/edit/", {"density": "7100"}, {"density": "7200"}),
        "stock": (f"/shop/rack/{stock.pk}/edit/", {"pieces": "3"}, {"pieces": "4", "note": "offcut"}),
        "offer": (f"/shop/on-sale/{offer.pk}/edit/", {"price": "3.00"}, {"price": "4.00", "supplier": "Bar & Co"}),
    }  # fmt: skip


KINDS = ("build", "part", "operation", "entry", "assembly", "batch", "closure", "milestone", "size", "machine",
         "material", "stock", "offer")  # fmt: skip


@pytest.fixture
def part(user: Any) -> Part:
    return factories.make_part(factories.make_build(), quantity=9, operations=[{"kind": "turning"}])


def shown_value(client: Client, to: str, name: str) -> list[str]:
    return typed_in(client.get(to).content.decode())[name]


@pytest.mark.parametrize("take", ["mine", "theirs"])
@pytest.mark.parametrize("kind", KINDS)
def test_the_later_one_sees_both_versions_and_chooses(signed_in: Client, part: Part, kind: str, take: str) -> None:
    to, theirs, mine = records(part)[kind]
    name = next(iter(theirs))
    opened = typed_in(signed_in.get(to).content.decode())
    assert opened["seen"] != [""]
    first = signed_in.post(to, {**opened, **theirs})
    assert first.status_code == 302, typed_in(first.content.decode())

    late = signed_in.post(to, {**opened, **mine})

    page = late.content.decode()
    assert late.status_code == 422
    assert "Somebody else changed this after you opened it." in html.unescape(page)
    choices = dict(re.findall(r'name="take-(\w+)"\s+value="(\w+)" checked', page))
    assert choices[name] == "mine"
    told = [" ".join(html.unescape(one).split()) for one in re.findall(r"<span>(Take [^<]*)</span>", page)]
    assert f"Take mine: {mine[name]}" in " | ".join(told)
    assert any(one.startswith("Take theirs: ") and one != f"Take theirs: {mine[name]}" for one in told)
    # Sent as the page shows it, with the one choice made.
    again = signed_in.post(to, {**typed_in(page), f"take-{name}": take})
    assert again.status_code == 302
    kept = typed_in(signed_in.get(to).content.decode())
    wanted = mine[name] if take == "mine" else theirs[name]
    assert kept[name][0].removesuffix(".0") == wanted
    for other, text in mine.items():
        if other != name:
            assert kept[other] == [text]


def test_what_only_the_other_one_changed_is_taken_from_there_unless_it_is_chosen(signed_in: Client, part: Part) -> None:
    to = f"/builds/{part.build.slug}/parts/{part.pk}/edit/"
    opened = typed_in(signed_in.get(to).content.decode())
    signed_in.post(to, {**opened, "spares": "4", "for_visitors": "It keeps the steam in."})
    page = signed_in.post(to, {**opened, "note": "split ring"}).content.decode()
    choices = dict(re.findall(r'name="take-(\w+)"\s+value="(\w+)" checked', page))
    assert choices == {"spares": "theirs", "for_visitors": "theirs", "note": "mine"}
    signed_in.post(to, typed_in(page))
    kept = Part.objects.get()
    assert (kept.spares, kept.for_visitors, kept.note) == (4, "It keeps the steam in.", "split ring")


def test_a_third_change_in_between_is_shown_once_more(signed_in: Client, part: Part) -> None:
    to = f"/builds/{part.build.slug}/parts/{part.pk}/edit/"
    opened = typed_in(signed_in.get(to).content.decode())
    signed_in.post(to, {**opened, "quantity": "5"})
    late = typed_in(signed_in.post(to, {**opened, "quantity": "7"}).content.decode())
    fresh = typed_in(signed_in.get(to).content.decode())
    signed_in.post(to, {**fresh, "quantity": "6"})
    page = signed_in.post(to, late)
    assert page.status_code == 422
    assert "Take theirs: 6" in page.content.decode()
    assert Part.objects.get().quantity == 6


def test_a_time_worked_out_late_goes_by_the_operation_as_it_stands(signed_in: Client, part: Part) -> None:
    operation = part.operations.get()
    to = f"/builds/{part.build.slug}/operations/{operation.pk}/work-out/"
    sizes = {"what": "turning", "unit": "mm", "material": "mild steel", "tool": "high-speed steel", "speed": "30 m/min",
             "diameter": "20 mm", "length": "50 mm", "feed": "0.1 mm", "passes": "1"}  # fmt: skip
    seen = operation.version
    edited = typed_in(signed_in.get(f"/builds/{part.build.slug}/operations/{operation.pk}/edit/").content.decode())
    edit = f"/builds/{part.build.slug}/operations/{operation.pk}/edit/"
    signed_in.post(edit, {**edited, "minutes_per_unit": "9 min"})
    late = signed_in.post(to, {**sizes, "seen": str(seen)})
    page = late.content.decode()
    assert late.status_code == 422
    assert "It says 9 min now" in page
    seen_now = re.search(r'name="seen" value="(\d+)"', page)[1]  # type: ignore[index]
    assert signed_in.post(to, {**sizes, "seen": seen_now}).status_code == 302
    assert Operation.objects.get().origin == "worked out"


def test_what_was_left_as_it_was_shown_is_taken_from_the_other_version(signed_in_owner: Client, user: Any) -> None:
    to = f"/shop/people/{user.builder.pk}/"
    opened = typed_in(signed_in_owner.get(to).content.decode())
    assert signed_in_owner.post(to, {**opened, "role": "onlooker"}).status_code == 302
    late = signed_in_owner.post(to, {name: value for name, value in opened.items() if name != "may_sign_in"})
    assert late.status_code == 422
    assert signed_in_owner.post(to, typed_in(late.content.decode())).status_code == 302
    user.refresh_from_db()
    assert user.builder.looks_on


def test_a_person_whom_another_owner_changed_is_shown_in_both_versions(signed_in_owner: Client, user: Any) -> None:
    to = f"/shop/people/{user.builder.pk}/"
    opened = typed_in(signed_in_owner.get(to).content.decode())
    assert signed_in_owner.post(to, {**opened, "role": "onlooker"}).status_code == 302
    late = signed_in_owner.post(to, {**opened, "role": "owner", "password": "turned between centres"})
    page = html.unescape(late.content.decode())
    assert late.status_code == 422
    assert "Take mine: owner" in " ".join(page.split())
    assert "Take theirs: onlooker" in " ".join(page.split())
    assert "turned between centres" not in page
    assert "Type it once more: a password does not come back with its page." in page
    assert signed_in_owner.post(to, {**typed_in(page), "take-role": "theirs"}).status_code == 302
    user.refresh_from_db()
    assert (user.is_superuser, user.builder.looks_on, user.check_password("a long enough one")) == (False, True, True)

"""A part's sizes with their limits: typed, read as one types, shown, and asked for where the drawing alone has them."""

import html
import re
from typing import Any

import pytest
from django.test import Client

from builds.models import Build, Size
from builds.services.plan import records as plan
from builds.services.shop.builders import add_builder
from tests import factories


def kept(build: Build, **typed: str) -> Size:
    part = build.parts.first() or factories.make_part(build)
    return plan.save(record=Size(part=part, **{"name": "shaft"} | typed), by=None)


def page(client: Client, address: str) -> str:
    """The page as it is read: no tags, and one space between words but none before a comma."""
    text = re.sub(r"<[^>]*>", " ", client.get(address).content.decode())
    return html.unescape(" ".join(text.split()).replace(" ,", ","))


def part_page(client: Client, size: Size) -> str:
    return page(client, f"/builds/{size.part.build.slug}/parts/{size.part.pk}/")


def test_a_part_shows_what_its_sizes_are_worked_to(signed_in: Client) -> None:
    build = factories.make_build(general_tolerance="ISO 2768-m")
    kept(build, made="12 h6")
    text = part_page(signed_in, kept(build, name="length", made="40"))
    assert "12 h6 11.989 to 12.000 mm" in text
    assert "40 39.7 to 40.3 mm ISO 2768-m" in text


def test_limits_at_full_size_are_asked_for_with_what_they_might_be(signed_in: Client) -> None:
    build = factories.make_build(scale="1:6", general_tolerance="ISO 2768-m")
    size = kept(build, full_size="12 h6")
    text = part_page(signed_in, size)
    assert "The drawing has limits at full size. What are the model's?" in text
    for offer in (
        "2 mm +0 -0.0018, as the drawing's, scaled",
        "2 mm h6, the drawing's class",
        "2 mm ±0.1, ISO 2768-m",
    ):
        assert offer in text


@pytest.mark.parametrize(
    ("full_size", "made", "offers"),
    [
        # About the size that is worked to, as far from it as the drawing's limits scaled.
        ("12 -0.06 -0.12", "2.5", ["2.5 mm -0.01 -0.02"]),
        ("max 12", "", ["max 2 mm"]),
        ("at least 12", "2.1", ["at least 2.1 mm"]),
        ("11.4-12.0", "", ["2 mm +0 -0.1"]),
        ("30 h6", "", ["5 mm +0 -0.0022", "5 mm h6"]),
        # Scaling leaves no room that anybody could measure.
        ("0.5 ±0.0001", "", []),
    ],
)
def test_offers_are_as_one_would_type_them(full_size: str, made: str, offers: list[str], signed_in: Client) -> None:
    size = kept(factories.make_build(scale="1:6"), full_size=full_size, made=made)
    shown = signed_in.get(f"/builds/{size.part.build.slug}/parts/{size.part.pk}/").content.decode()
    filled = re.findall(r'sizes/\d+/edit/\?made=([^"]*)"', shown)
    assert len(filled) == len(offers)
    for offer, address in zip(offers, filled, strict=True):
        form = signed_in.get(f"/builds/{size.part.build.slug}/sizes/{size.pk}/edit/?made={address}").content.decode()
        assert f'value="{offer}"' in form


def test_an_offer_fills_the_form_and_is_kept_when_it_is_sent(signed_in: Client) -> None:
    size = kept(factories.make_build(scale="1:6"), full_size="12 h6")
    address = f"/builds/{size.part.build.slug}/sizes/{size.pk}/edit/"
    form = signed_in.get(f"{address}?made=2+mm+h6").content.decode()
    assert "2 mm h6 → 1.994 to 2.000 mm (h6 after ISO 286)" in form
    seen = re.search(r'name="seen" value="([^"]*)"', form)
    assert seen
    assert Size.objects.get().made == ""
    sent = {"part": size.part.pk, "name": "shaft", "full_size": "12 h6", "made": "2 mm h6", "seen": seen[1]}
    assert signed_in.post(address, sent).status_code == 302
    assert Size.objects.get().made == "2 mm h6"
    assert "1.994 to 2.000 mm" in part_page(signed_in, size)


def test_an_onlooker_is_not_offered_what_he_cannot_keep(client: Client, db: None) -> None:
    size = kept(factories.make_build(scale="1:6"), full_size="12 h6")
    onlooker = add_builder(username="looker", password="turned between centres", role="onlooker")
    client.force_login(onlooker, backend="builds.permissions.PeopleBackend")
    text = part_page(client, size)
    assert "What are the model's?" in text
    assert "the drawing's class" not in text


@pytest.mark.parametrize(
    ("made", "sentence"),
    [("12 H7/g6", "is a hole and its shaft"), ("12 +2", "may be a sum"), ("12 ±0", "leaves no room")],
)
def test_limits_that_could_mean_two_things_are_refused_beside_what_was_typed(
    signed_in: Client, made: str, sentence: str
) -> None:
    build = factories.make_build()
    part = factories.make_part(build)
    answer = signed_in.post(f"/builds/{build.slug}/sizes/", {"part": part.pk, "name": "shaft", "made": made})
    text = html.unescape(answer.content.decode())
    assert answer.status_code == 422
    assert sentence in text
    assert f'value="{made}"' in text
    assert not Size.objects.exists()


def test_a_size_is_read_as_one_types(signed_in: Client) -> None:
    build = factories.make_part(factories.make_build(general_tolerance="±0.1")).build
    address = f"/read/size/{build.slug}/"

    def reading(**typed: str) -> str:
        return html.unescape(signed_in.get(address, typed).content.decode())

    assert reading(made="12 h6") == "12 h6 → 11.989 to 12.000 mm (h6 after ISO 286)"
    assert reading(made="12 mm") == "12 mm → 12 mm = about 0.4724 in; ±0.1: 11.9 to 12.1 mm"
    assert reading(full_size="12 mm") == "12 mm → 12 mm = about 0.4724 in"
    assert "may be a sum" in reading(made="12 +2")
    assert reading(made=" ") == reading(x="<script>") == ""
    assert "<script>" not in signed_in.get(address, {"made": "<script>alert(1)</script>"}).content.decode()
    assert f'hx-get="{address}"' in signed_in.get(f"/builds/{build.slug}/sizes/").content.decode()


def test_a_general_tolerance_is_read_as_one_types_in_the_unit_of_the_form(signed_in: Client) -> None:
    def reading(text: str, units: str = "mm") -> str:
        answer = signed_in.get("/read/tolerance/", {"general_tolerance": text, "units": units})
        return html.unescape(answer.content.decode())

    assert reading("ISO 2768-m").startswith("ISO 2768-m → class m (medium): ±0.1 mm at 0.5 to 6 mm")
    assert reading("±.005", "in").startswith("±.005 → ±0.005 in = 0.127 mm")
    assert reading("m").startswith("Write a class such as ISO 2768-m")
    assert reading("") == ""


def test_a_general_tolerance_is_typed_in_the_title_block(signed_in: Client) -> None:
    build = factories.make_build()
    typed = {"name": build.name, "units": "mm", "state": "active", "general_tolerance": "all over"}
    refused = signed_in.post(f"/builds/{build.slug}/edit/", typed)
    assert refused.status_code == 422
    assert 'value="all over"' in refused.content.decode()
    signed_in.post(f"/builds/{build.slug}/edit/", typed | {"general_tolerance": "ISO 2768-f"})
    assert Build.objects.get().general_tolerance == "ISO 2768-f"


def test_the_route_card_has_the_limits(signed_in: Client) -> None:
    build = factories.make_build(scale="1:6")
    size = kept(build, made="12 h6")
    kept(build, name="bore", full_size="12 H7")
    text = page(signed_in, f"/builds/{build.slug}/parts/{size.part.pk}/card/")
    assert "shaft – – 12 h6 11.989 to 12.000 mm" in text
    assert "bore 12 H7 2 mm – limits not settled" in text


def test_limits_of_many_sizes_take_no_query_of_their_own(signed_in: Client, django_assert_num_queries: Any) -> None:
    from builds.queries.plan.sizes import limits_of, sizes_of

    build = factories.make_build(general_tolerance="ISO 2768-m")
    for number in range(5):
        part = kept(build, name=f"{number}", made="12").part
    with django_assert_num_queries(1):
        assert {row.limits.words for row in sizes_of(part)} == {"11.8 to 12.2 mm"}
    with django_assert_num_queries(1):
        sizes = Size.objects.select_related("part__build")
        assert {limits_of(size).words for size in sizes} == {"11.8 to 12.2 mm"}

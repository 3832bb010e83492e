"""A parts list pasted from a spreadsheet, often without its headings: read, shown, put right on the spot, taken in."""

from typing import Any

import pytest
from django.test import Client

from builds.models import Build, Part
from tests import factories

TWO = "901\tGovernor weight\t2\tBrass\tL-07\n902\tGovernor arm\t4\tMild steel\t\n"


@pytest.fixture
def build(make_build: Any) -> Build:
    build: Build = make_build()
    factories.make_part(build, "1", "Bed")
    return build


def pasted(client: Client, build: Build, text: str) -> Any:
    return client.post(f"/builds/{build.slug}/parts/take-in/", {"pasted": text})


def sent_again(client: Client, build: Build, answer: Any, **changed: str) -> Any:
    fields = {field.html_name: field.value() or "" for field in answer.context["form"]}
    return client.post(f"/builds/{build.slug}/parts/take-in/", {**fields, **changed})


def read_as(answer: Any) -> list[str]:
    return [row.said for row in sorted(answer.context["seen"].rows, key=lambda row: row.number)]


def test_a_list_without_headings_is_read_by_what_its_cells_hold_and_stored_once_confirmed(
    signed_in: Client, build: Build
) -> None:
    answer = pasted(signed_in, build, TWO)
    assert read_as(answer) == [
        "Item: 901 · Name: Governor weight · Needed: 2 · Material: Brass · Sheet: L-07",
        "Item: 902 · Name: Governor arm · Needed: 4 · Material: Mild steel",
    ]
    assert Part.objects.count() == 1
    assert sent_again(signed_in, build, answer, take="yes").status_code == 302
    part = Part.objects.get(number="901")
    assert (part.name, part.quantity, str(part.material), str(part.sheet)) == ("Governor weight", 2, "Brass", "L-07")


@pytest.mark.parametrize(
    ("text", "first"),
    [
        ("Governor arm\t4\tBrass\nGovernor weight\t2\tBrass\n", "Name: Governor arm · Needed: 4 · Material: Brass"),
        ("Governor arm\nGovernor weight\n", "Name: Governor arm"),
        ("7,Arm,4\n8,Weight,2\n", "Item: 7 · Name: Arm · Needed: 4"),
        ("4\tArm\tBrass\n4\tWeight\tBrass\n", "Needed: 4 · Name: Arm · Material: Brass"),
        ("901\tPin\t2\t2\n902\tNut\t3\t2\n", "Item: 901 · Name: Pin · Needed: 2"),
    ],
)
def test_columns_are_told_apart_in_any_order(signed_in: Client, build: Build, text: str, first: str) -> None:
    assert read_as(pasted(signed_in, build, text))[0] == first


@pytest.mark.parametrize("text", ["Pos\tQty\tMaterial\n901\t2\tBrass\n", "Teil;Stück\nWeight;2\nArm;4\n"])
def test_words_above_a_column_of_numbers_are_headings(signed_in: Client, build: Build, text: str) -> None:
    answer = pasted(signed_in, build, text)
    assert answer.context["form"]["first_row"].value() == "headings"
    assert len(read_as(answer)) < len(text.splitlines())


def test_what_the_first_row_is_can_be_said_and_each_column_chosen(signed_in: Client, build: Build) -> None:
    answer = pasted(signed_in, build, "Name\tArm\nArm\tBrass\n")
    assert read_as(answer) == ["Name: Arm"]
    answer = sent_again(signed_in, build, answer, first_row="part")
    assert read_as(answer) == ["Name: Name · Material: Arm", "Name: Arm · Material: Brass"]
    answer = sent_again(signed_in, build, answer, **{"column-0": "material", "column-1": "name"})
    assert read_as(answer) == ["Material: Name · Name: Arm", "Material: Arm · Name: Brass"]
    answer = sent_again(signed_in, build, answer, first_row="headings")
    assert read_as(answer) == ["Name: Arm"]


def test_a_refused_paste_comes_back_to_be_put_right_on_the_spot(signed_in: Client, build: Build) -> None:
    answer = pasted(signed_in, build, "Item\tName\tQty\n901\tArm\tfour\n<b>\t§ü\t\n")
    assert "four" in answer.context["again"]["pasted"].value()
    html = answer.content.decode()
    assert "is not a number of pieces" in html
    assert "&lt;b&gt;\t§ü" in html
    assert Part.objects.count() == 1


def test_a_file_is_put_right_where_it_lies(signed_in: Client, build: Build) -> None:
    from django.core.files.uploadedfile import SimpleUploadedFile

    sent = {"file": SimpleUploadedFile("parts.csv", b"item,name\n2,Bed\n")}
    assert signed_in.post(f"/builds/{build.slug}/parts/take-in/", sent).context["again"] is None


@pytest.mark.parametrize("text", ["§ü <b>x</b>\n\t\t\n;;;;\n", "\t\t\t1", "9" * 3000, '"', "a\tb\n" * 3, "=1+1\t2"])
def test_nonsense_is_shown_or_refused_and_nothing_is_stored(signed_in: Client, build: Build, text: str) -> None:
    assert pasted(signed_in, build, text).status_code in (200, 422)
    assert Part.objects.count() == 1

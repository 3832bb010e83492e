"""Repeated parts as rows: the pieces, the yield, the next step, and why pieces were lost."""

import re
from typing import Any

import pytest

from tests import factories
from tests.truth.shown import Element, read

pytestmark = pytest.mark.django_db

ROUTE = [{"kind": kind, "minutes_per_unit": 10.0} for kind in ("turning", "lapping")]


@pytest.fixture
def ring(db: None) -> Any:
    return factories.make_part(factories.make_build(), "14", name="Ring", quantity=36, spares=8, operations=ROUTE)


def page_of(client: Any, part: Any) -> str:
    return client.get(f"/builds/{part.build.slug}/repeats/").content.decode()


def row_of(html: str, part: Any) -> Element:
    return read(html).first("tr", "repeat", id=f"part-{part.pk}")


def links_of(row: Element) -> dict[str | None, str]:
    return {link.attributes["href"]: link.text for link in row.all("a")}


def test_a_part_that_nobody_began_leads_to_its_blanks(signed_in: Any, ring: Any) -> None:
    links = links_of(row_of(page_of(signed_in, ring), ring))
    assert f"/builds/{ring.build.slug}/parts/{ring.pk}/blanks/" in links
    assert not [to for to in links if "/bench/" in str(to)]


def test_a_part_in_work_leads_to_its_next_operation_at_the_bench_and_to_its_newest_batch(
    signed_in: Any, ring: Any
) -> None:
    for number in (1, 2):
        batch = factories.make_batch(ring, number=number, blanks=20)
    turning, lapping = ring.operations.all()
    factories.make_entry(ring.build, part=ring, operation=turning, batch=batch, good=40, scrap=4)
    row = row_of(page_of(signed_in, ring), ring)
    links = links_of(row)
    bench = f"/builds/{ring.build.slug}/bench/?part={ring.pk}&operation={lapping.pk}"
    assert links[bench] == str(lapping)
    assert [to for to in links if "/batches/" in str(to)] == [f"/builds/{ring.build.slug}/batches/{batch.pk}/grid/"]
    assert row.first("td", **{"data-label": "Yield"}).text == "91 % yield of 14 Ring"


def test_the_sentence_of_a_row_stands_once_and_is_read_aloud(signed_in: Any, ring: Any) -> None:
    html = page_of(signed_in, ring)
    sentence = "36 needed and 8 spares: 36 still to make and 8 spares to make."
    assert html.count(sentence) == 1
    assert re.search(r'<p class="piecerow__words">' + re.escape(sentence), html)


def test_a_row_of_many_pieces_weighs_little(signed_in: Any, ring: Any) -> None:
    html = page_of(signed_in, ring)
    row = html[html.index(f'id="part-{ring.pk}"') :]
    marks = row[: row.index("</div>")].count("<i")
    assert marks == 36
    assert len(row[: row.index("</tr>")]) < 1_800


def test_each_piece_lost_is_a_mark_beside_its_reason(signed_in: Any, ring: Any) -> None:
    for reason, lost in (("cracked", 3), ("", 1)):
        factories.make_entry(ring.build, part=ring, operation=ring.operations.first(), scrap=lost, scrap_reason=reason)
    table = read(page_of(signed_in, ring)).first("table", "repeats__lost")
    rows = [row for row in table.all("tr") if list(row.all("td"))]
    assert [(row.first("th").text, row.first("td").text, len(list(row.all("i")))) for row in rows] == [
        ("cracked", "3", 3),
        ("no reason given", "1", 1),
    ]

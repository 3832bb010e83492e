"""What holds for each page of the demonstration."""

from django.test import Client
from django.utils import timezone

from builds.management.demonstration import load_demonstration
from builds.queries.log.bench import bench_of
from tests.every_page.walk import every_page
from tests.every_page.ways import far_from, without_place
from tests.factories import make_user

HTML, CSS, OWN_SCRIPT = 60_000, 60_000, 25_000


def test_every_page_of_the_demonstration_is_light_and_leads_to_the_work(client: Client, db: None) -> None:
    build = load_demonstration(timezone.localdate())
    client.force_login(make_user("owner", owner=True))
    pages = list(every_page(lambda address: page_at(client, address)))
    assert len(pages) > 120
    assert {page.address: page.weight for page in pages if page.weight >= HTML} == {}
    at_work = bench_of(build, None, timezone.localdate()).picks[0].line.part
    of_build = f"/builds/{build.slug}/"
    work = [f"{of_build}bench/", f"{of_build}parts/{at_work.pk}/", f"{of_build}forecast/"]
    # A board stands for hours before visitors.
    assert far_from(work, [page for page in pages if not page.address.startswith("/board/")]) == {}
    assert without_place(pages) == []


def page_at(client: Client, address: str) -> str | None:
    answer = client.get(address, follow=True)
    if not answer.headers["Content-Type"].startswith("text/html"):
        return None
    assert answer.status_code == 200, (address, answer.status_code)
    return answer.content.decode()

"""What holds for each page of the demonstration."""

from django.test import Client
from django.utils import timezone

from builds.management.demonstration import load_demonstration
from tests.every_page.walk import every_page
from tests.factories import make_user

HTML, CSS, OWN_SCRIPT = 60_000, 60_000, 25_000


def test_every_page_of_the_demonstration_is_light(client: Client, db: None) -> None:
    load_demonstration(timezone.localdate())
    client.force_login(make_user("owner", owner=True))
    pages = list(every_page(lambda address: page_at(client, address)))
    assert len(pages) > 120
    assert {page.address: page.weight for page in pages if page.weight >= HTML} == {}


def page_at(client: Client, address: str) -> str | None:
    answer = client.get(address, follow=True)
    if not answer.headers["Content-Type"].startswith("text/html"):
        return None
    assert answer.status_code == 200, (address, answer.status_code)
    return answer.content.decode()

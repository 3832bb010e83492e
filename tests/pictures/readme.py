"""The README's pictures, made from the demonstration on the day of `factories.TODAY`.

No server is asked: what the browser wants of http://testserver the test client answers, so the day can stand still.
"""

import io
import json
import mimetypes
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from unittest.mock import patch

from django.contrib.staticfiles import finders
from django.core.management import call_command
from django.db import transaction
from django.test import Client, override_settings

from builds.management.demonstration import load_demonstration
from builds.models import Build
from tests import factories
from tests.pictures.chromium import opened_browser
from tests.pictures.pages import DIGESTS, PAGES, SHOWN, Page, address, digests

PLACE = "http://testserver"
COLOURS = 96
MARGIN = 80
"""Of a printed page, in dots."""
PLAIN = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}


def make(names: Iterable[str] = ()) -> None:
    """Make these pictures, or all and note what the pages said."""
    wanted = set(names) or {page.name for page in PAGES}
    today = patch("django.utils.timezone.localdate", lambda *_args, **_how: factories.TODAY)
    with today, override_settings(STORAGES=PLAIN, ALLOWED_HOSTS=["testserver"]):
        call_command("migrate", verbosity=0)
        with transaction.atomic():
            found = digests(*_signed_in(with_pictures=False))
            transaction.set_rollback(True)
        client, build = _signed_in(with_pictures=True)
        with _browser(client) as browser:
            for page in PAGES:
                if page.name in wanted:
                    _keep(page, _shot(browser, page, address(page, build)))
    if not names:
        DIGESTS.write_text(json.dumps(found, indent=1) + "\n")


def _signed_in(*, with_pictures: bool) -> tuple[Client, Build]:
    build = load_demonstration(factories.TODAY, with_pictures=with_pictures)
    assert build is not None
    client = Client()
    client.force_login(factories.make_user("reader"), backend="django.contrib.auth.backends.ModelBackend")
    return client, build


@contextmanager
def _browser(client: Client) -> Iterator[Any]:
    with opened_browser() as browser:
        context = browser.new_context(base_url=PLACE, device_scale_factor=1.5, service_workers="block")
        context.clock.set_fixed_time(f"{factories.TODAY}T19:00:00")
        context.route("**/*", lambda route: route.fulfill(**_answer(client, route.request.url)))
        yield context
        context.close()


def _answer(client: Client, url: str) -> dict[str, Any]:
    way = url.removeprefix(PLACE)
    if way.startswith("/static/"):
        file = Path(str(finders.find(way.removeprefix("/static/").partition("?")[0])))
        return {"body": file.read_bytes(), "content_type": mimetypes.guess_type(file.name)[0]}
    answer = client.get(way)
    body = b"".join(answer.streaming_content) if answer.streaming else answer.content
    return {"status": answer.status_code, "headers": dict(answer.headers), "body": body}


def _shot(browser: Any, page: Page, way: str) -> bytes:
    window = browser.new_page()
    window.set_viewport_size({"width": page.wide, "height": page.high})
    window.emulate_media(media=page.media, color_scheme="light", reduced_motion="reduce")
    answer = window.goto(way, wait_until="networkidle")
    assert answer.status == 200, way
    for _turn in range(page.turned):
        window.get_by_role("button", name="Next").click()
    window.wait_for_load_state("networkidle")
    shot: bytes = window.screenshot()
    window.close()
    return shot


def _keep(page: Page, shot: bytes) -> None:
    from PIL import Image, ImageOps

    file = SHOWN / f"{page.name}.png"
    picture = Image.open(io.BytesIO(shot)).convert("RGB")
    if page.media == "print":
        picture = ImageOps.expand(picture, MARGIN, "white")
    picture.quantize(COLOURS, dither=Image.Dither.NONE).save(file, optimize=True)
    print(f"{file.name:16} {file.stat().st_size:7,} bytes")

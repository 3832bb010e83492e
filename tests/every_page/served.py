"""The demonstration as it is served, and somebody signed in who asks for its pages."""

import re
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from http.cookiejar import CookieJar
from pathlib import Path
from urllib.error import HTTPError
from urllib.parse import urlencode
from urllib.request import HTTPCookieProcessor, OpenerDirector, build_opener

from tests.endurance.served import Server
from tests.speed.shop import manage

NAME = "bench"
LONG = "M" * 160
"""A name without a place to break it, as wide as letters get."""
MAKE_LONG = f"""
from django.db.models import CharField
from django.apps import apps
for model in apps.get_app_config("builds").get_models():
    for row in model.objects.all():
        for field in model._meta.get_fields():
            named = isinstance(field, CharField) and not field.choices and field.name in {{
                "name", "title", "caption", "supplier", "reason", "scale", "subject"}}
            if named:
                setattr(row, field.name, {LONG!r}[: (field.max_length or 160) - 6] + str(row.pk))
        model.objects.bulk_update([row], [f.name for f in model._meta.fields if not f.primary_key])
"""


@contextmanager
def demonstration(*, long_names: bool = False) -> Iterator[tuple[str, str]]:
    """The served demonstration's address and the password of its builder.

    long_names: every name and title in it as long as it may be, and without a break.
    """
    with tempfile.TemporaryDirectory(prefix="swarfbook-") as place:
        folder = Path(place)
        manage(folder, "demo", "--no-serve")
        if long_names:
            manage(folder, "shell", "-v", "0", "-c", MAKE_LONG)
        server = Server(folder)
        try:
            yield f"http://127.0.0.1:{server.port}", (folder / "demo-password").read_text().strip()
        finally:
            server.end()


class Asker:
    """Asks for pages as a signed-in browser does, without being one."""

    def __init__(self, base: str, password: str) -> None:
        self.base = base
        self.opened: OpenerDirector = build_opener(HTTPCookieProcessor(CookieJar()))
        page = self.opened.open(f"{base}/sign-in/").read().decode()
        token = re.search(r'name="csrfmiddlewaretoken" value="([^"]+)"', page)
        assert token
        form = {"username": NAME, "password": password, "csrfmiddlewaretoken": token[1]}
        assert "Sign out" in self.opened.open(f"{base}/sign-in/", urlencode(form).encode()).read().decode()

    def page_at(self, address: str) -> str | None:
        """The text of a page, or None where the address gives something else."""
        try:
            with self.opened.open(self.base + address) as answer:
                is_page = answer.headers["Content-Type"].startswith("text/html")
                return answer.read().decode() if is_page else None
        except HTTPError as error:
            raise RuntimeError(f"{address} answered {error.code}.") from error

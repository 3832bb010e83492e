"""One work on one data folder (DATA_DIR), in a process of its own, which prints what it found as JSON.

`fill SIZE`, `figures [NAME]`, `cookie`; `pages`, `export FOLDER` and `import FILE…` give the most memory they held.
"""

import json
import os
import resource
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.speed.shop import LARGE, SMALL, SMALL_LOGGED, one_part_record


def main(what: str, *rest: str) -> None:
    os.environ["DJANGO_SETTINGS_MODULE"] = "builds.settings"
    # As in serving: what is set there about memory and its collector holds here too.
    import builds.wsgi  # noqa: F401

    print(json.dumps(DOES[what](*rest)))


def fill(size: str) -> object:
    """Make the long record of a size, and two builds of one part and one entry, by the program's own commands."""
    from django.core.management import call_command

    from tests.speed.floors import Nowhere

    call_command("migrate", verbosity=0)
    call_command("make_long_record", size, stdout=Nowhere())
    with TemporaryDirectory() as place:
        file = Path(place) / "one.json"
        for name in (SMALL, SMALL_LOGGED):
            file.write_text(json.dumps(one_part_record(name)))
            call_command("import_record", str(file), stdout=Nowhere())
    call_command("collectstatic", interactive=False, verbosity=0)
    return "filled"


def figures(only: str = "") -> object:
    from django.conf import settings
    from django.test import override_settings

    from tests.speed import carrying, pages

    with override_settings(ROOT_URLCONF="tests.speed.addresses"):
        found = list(pages.measures(only))
    if not only or only in "export import":
        found += carrying.measures(Path(settings.DATABASES["default"]["NAME"]))
    return [measure.plain() for measure in found]


# What answers of every kind of a build's pages are asked for.
EVERY_KIND = (
    *("page", "bench", "log", "forecast", "rates", "repeats", "events", "photos", "board"),
    *("tonight", "ready", "holds", "waiting", "to_buy", "parts"),
)


def all_pages() -> object:
    """The most memory, in bytes, of a process that answered all kinds of pages of all builds."""
    from django.apps import apps
    from django.urls import reverse

    from tests.speed.browser import page, signed_in

    client = signed_in()
    for slug in apps.get_model("builds", "Build").objects.values_list("slug", flat=True):
        for view in EVERY_KIND:
            page(client, reverse(f"builds:{view}", args=[slug]))()
    page(client, reverse("builds:list"))()
    return most_memory()


def export(folder: str) -> object:
    from django.apps import apps
    from django.core.management import call_command

    from tests.speed.floors import Nowhere

    long = apps.get_model("builds", "Build").objects.filter(slug__startswith="long")
    for slug in long.values_list("slug", flat=True):
        call_command("export_record", slug, f"{folder}/{slug}.json", stdout=Nowhere())
    return most_memory()


def take_in(*files: str) -> object:
    from django.core.management import call_command

    from tests.speed.floors import Nowhere

    call_command("import_record", *files, stdout=Nowhere())
    return most_memory()


def signed_in_cookie() -> object:
    from tests.speed.browser import signed_in

    return {"slug": LARGE, "cookie": "; ".join(f"{name}={one.value}" for name, one in signed_in().cookies.items())}


def most_memory() -> int:
    held = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return held if sys.platform == "darwin" else held * 1024


DOES = {
    "fill": fill,
    "figures": figures,
    "pages": all_pages,
    "export": export,
    "import": take_in,
    "cookie": signed_in_cookie,
}

if __name__ == "__main__":
    main(*sys.argv[1:])

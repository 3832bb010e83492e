"""Make pictures anew: python -m tests.pictures [readme | photos | sheets] [NAME…]. Left out: all of the README."""

import os
import sys
import tempfile
from pathlib import Path

import django


def main(words: list[str]) -> None:
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as folder:
        (Path(folder) / "static").mkdir()
        os.environ |= {
            "DJANGO_SETTINGS_MODULE": "builds.settings",
            "DATA_DIR": folder,
            "DJANGO_ALLOW_ASYNC_UNSAFE": "true",
        }
        django.setup()
        from tests.pictures import demonstration, readme

        makers = {
            "readme": readme.make,
            "photos": demonstration.draw_photos,
            "sheets": demonstration.draw_sheets,
        }
        what, *names = words if words and words[0] in makers else ["readme", *words]
        makers[what](names)


if __name__ == "__main__":
    main(sys.argv[1:])

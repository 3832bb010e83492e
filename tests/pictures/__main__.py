"""Make pictures anew: python -m tests.pictures [photos [NAME…] | sheets]. Without a word, those of the README."""

import os
import sys
import tempfile

import django


def main(words: list[str]) -> None:
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as folder:
        os.environ |= {"DJANGO_SETTINGS_MODULE": "builds.settings", "DATA_DIR": folder}
        django.setup()
        from tests.pictures import demonstration

        what, *names = words or ["readme"]
        {"photos": demonstration.draw_photos, "sheets": demonstration.draw_sheets}[what](names)


if __name__ == "__main__":
    main(sys.argv[1:])

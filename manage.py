#!/usr/bin/env python
"""The command line of Swarfbook."""

import atexit
import gc
import os
import sys


def main() -> None:
    # What is loaded stays until the end, so the collector would walk over it for nothing: while it grows (some 140,000
    # objects) and once more at the end. The serving process sets its own measure (builds/wsgi.py).
    gc.set_threshold(200_000, 10, 10)
    atexit.register(gc.freeze)
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "builds.settings")
    try:
        from django.core.management import execute_from_command_line
    except ImportError as error:
        raise SystemExit(
            "Django is not installed here. Run the first command of README.md, which makes the virtual environment."
        ) from error
    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()

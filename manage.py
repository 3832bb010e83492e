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
        from django.core.exceptions import ImproperlyConfigured
        from django.core.management import execute_from_command_line
        from django.db import OperationalError
    except ImportError as error:
        raise SystemExit(
            "Django is not installed here. Run the first command of README.md, which makes the virtual environment."
        ) from error
    try:
        execute_from_command_line(sys.argv)
        sys.stdout.flush()
    except BrokenPipeError:
        # Whoever reads along has seen enough (`| head`). What is still to be said goes nowhere, without complaint.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except ImproperlyConfigured as error:
        # A setting, or a database, that no command can work with: what is wrong is all there is to say.
        raise SystemExit(str(error)) from error
    except OperationalError as error:
        from builds.database import unusable

        raise SystemExit(unusable(error)) from error


if __name__ == "__main__":
    main()

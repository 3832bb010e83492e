#!/usr/bin/env python
"""The command line of Swarfbook."""

import os
import sys


def main() -> None:
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

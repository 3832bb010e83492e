"""Collect the sentences for translation, as Django does it, for sentences whose figures stand in braces."""

import re
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.commands import makemessages

MARKED = ("_:1", "gettext:1", "gettext_lazy:1", "gettext_noop:1", "ngettext:1", "ngettext:2")


class Command(makemessages.Command):
    """A per cent sign in our sentences is one, and no place for a figure; line numbers only make changes long."""

    xgettext_options = [
        *makemessages.Command.xgettext_options,
        *(f"--flag={name}:no-python-format" for name in MARKED),
    ]

    # A sentence is translated or it is not: a guess from one that is like it would only have to be found again.
    msgmerge_options = [*makemessages.Command.msgmerge_options, "--no-fuzzy-matching"]

    def handle(self, *args: Any, **options: Any) -> None:
        super().handle(*args, **{**options, "add_location": options["add_location"] or "file"})
        for catalogue in Path(settings.LOCALE_PATHS[0]).glob("*/LC_MESSAGES/django.po"):
            text = catalogue.read_text(encoding="utf-8")
            # It has served: said of nearly every sentence, it would only be in the way.
            text = re.sub(r"^#, no-python-format\n", "", text, flags=re.MULTILINE)
            catalogue.write_text(text.replace("no-python-format, ", ""), encoding="utf-8")

import json
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import CommandError
from django.utils.translation import gettext_lazy

from builds.management.base import RecordsCommand, add_slug_argument, build_called, past_day
from builds.management.tonight_text import as_figures, whole_text
from builds.queries.forecast.tonight import tonight
from builds.queries.log.oddities import DAY_MINUTES
from calcs.messages import _


class Command(RecordsCommand):
    help = gettext_lazy("Print what can be begun with the time at hand, the most useful first, or as JSON.")

    def add_arguments(self, parser: ArgumentParser) -> None:
        add_slug_argument(parser)
        parser.add_argument("--minutes", type=int, help=_("the time at hand; left out, a usual evening"))
        parser.add_argument(
            "--as-of", metavar="DATE", help=_("as it stood at the end of a day (2026-03-14); else today")
        )
        parser.add_argument("--json", action="store_true", help=_("plain figures, one JSON object a line"))

    def handle(self, *args: Any, **options: Any) -> None:
        minutes = options["minutes"]
        if minutes is not None and not 0 < minutes <= DAY_MINUTES:
            raise CommandError(_("--minutes: give a time between 1 and {most} minutes.", most=DAY_MINUTES))
        found = tonight(build_called(options["build"]), past_day(options["as_of"]), minutes)
        lines = (json.dumps(one, ensure_ascii=False) for one in as_figures(found))
        for line in lines if options["json"] else whole_text(found):
            self.say(line)

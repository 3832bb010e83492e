import json
from argparse import ArgumentParser
from datetime import date
from typing import Any

from django.core.management.base import CommandError
from django.utils import timezone
from django.utils.translation import gettext_lazy

from builds.management.base import RecordsCommand, build_called
from builds.management.forecast_text import as_figures, whole_text
from builds.models import Build
from builds.queries.forecast.build_forecast import forecast_of
from calcs.messages import _


class Command(RecordsCommand):
    help = gettext_lazy("Print what is left of builds: hours and finish date as ranges, with the working, or as JSON.")

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("builds", nargs="*", metavar="BUILD", help=_("a build as it stands in its address"))
        parser.add_argument("--all", action="store_true", help=_("every build"))
        parser.add_argument(
            "--as-of", metavar="DATE", help=_("as it stood at the end of a day (2026-03-14); else today")
        )
        parser.add_argument("--json", action="store_true", help=_("plain figures, one JSON object a line"))

    def handle(self, *args: Any, **options: Any) -> None:
        as_of = _day(options["as_of"])
        for place, build in enumerate(_chosen(options["builds"], options["all"])):
            build_forecast = forecast_of(build, as_of)
            if options["json"]:
                self.say(json.dumps(as_figures(build_forecast), ensure_ascii=False))
            else:
                self.say("\n".join(([""] if place else []) + list(whole_text(build_forecast))))


def _day(typed: str | None) -> date:
    today = timezone.localdate()
    if typed is None:
        return today
    try:
        day = date.fromisoformat(typed)
    except ValueError as error:
        raise CommandError(_('--as-of: "{typed}" is not a date. Write it like 2026-03-14.', typed=typed)) from error
    if day > today:
        raise CommandError(_("--as-of: {typed} has not come yet.", typed=typed))
    return day


def _chosen(slugs: list[str], every: bool) -> list[Build]:
    if slugs and every:
        raise CommandError(_("Name builds, or give --all: not both."))
    if slugs:
        return [build_called(slug) for slug in slugs]
    builds = list(Build.objects.order_by("slug"))
    if not builds:
        raise CommandError(_("There is no build yet."))
    if len(builds) > 1 and not every:
        names = ", ".join(build.slug for build in builds)
        raise CommandError(_("Say which build, or --all. There are: {builds}.", builds=names))
    return builds

import json
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import CommandError
from django.utils.translation import gettext_lazy

from builds.management.base import RecordsCommand, build_called, day_given, past_day
from builds.management.forecast_text import as_figures, ready_figures, ready_text, whole_text
from builds.models import Build, Milestone
from builds.queries.forecast.build_forecast import BuildForecast, forecast_of
from builds.queries.forecast.ready import ready_by
from calcs.messages import _


class Command(RecordsCommand):
    help = gettext_lazy("Print what is left of builds: hours and finish date as ranges, with the working, or as JSON.")

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("builds", nargs="*", metavar="BUILD", help=_("a build as it stands in its address"))
        parser.add_argument("--all", action="store_true", help=_("every build"))
        parser.add_argument(
            "--as-of", metavar="DATE", help=_("as it stood at the end of a day (2026-03-14); else today")
        )
        parser.add_argument("--by", metavar="DATE", help=_("the chance that it is ready by a day (2026-03-14)"))
        parser.add_argument("--milestone", metavar="NAME", help=_("with --by: that milestone, not the whole build"))
        parser.add_argument("--json", action="store_true", help=_("plain figures, one JSON object a line"))

    def handle(self, *args: Any, **options: Any) -> None:
        as_of, by = past_day(options["as_of"]), options["by"] and day_given("--by", options["by"])
        if options["milestone"] and not by:
            raise CommandError(_("--milestone: say by which day, with --by."))
        for place, build in enumerate(_chosen(options["builds"], options["all"])):
            build_forecast = forecast_of(build, as_of)
            found = ready_by(build_forecast, by, _milestone(build_forecast, options["milestone"])) if by else None
            if options["json"]:
                figures = as_figures(build_forecast) | ({"by": ready_figures(found)} if found else {})
                self.say(json.dumps(figures, ensure_ascii=False))
            else:
                lines = [*whole_text(build_forecast), *(ready_text(found) if found else ())]
                self.say("\n".join(([""] if place else []) + lines))


def _milestone(build_forecast: BuildForecast, name: str | None) -> Milestone | None:
    if name is None:
        return None
    open_ones = build_forecast.snapshot.open_milestones
    for one in open_ones:
        if one.name.casefold() == name.casefold():
            return one
    names = ", ".join(one.name for one in open_ones) or _("none")
    raise CommandError(_('--milestone: no open one is called "{name}". There are: {names}.', name=name, names=names))


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

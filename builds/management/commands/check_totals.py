from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from calcs.messages import _, ngettext


class Command(BaseCommand):
    help = "Hold the totals that are kept by operation against the entries of the log, and say where they differ."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--renew", action="store_true", help="make all totals anew from the entries first")

    def handle(self, *args: Any, renew: bool, **options: Any) -> None:
        from builds.models import Build, Operation, Part
        from builds.services.log.totals import renew_all_totals, totals_astray

        astray = 0
        for build in Build.objects.order_by("slug"):
            if renew:
                renew_all_totals(build)
            for (part, operation), (kept, counted) in totals_astray(build).items():
                astray += 1
                about = Part.objects.get(pk=part) if operation is None else Operation.objects.get(pk=operation)
                self.stdout.write(f"{build.slug}, {about}: {kept} {counted}")
        if astray:
            message = ngettext(
                "{n} total is not what the entries come to.", "{n} totals are not what the entries come to.", astray
            )
            raise CommandError(message + " " + _("check_totals --renew makes them anew."))
        self.stdout.write(_("Every total is what the entries come to."))

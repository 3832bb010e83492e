from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand
from django.urls import reverse
from django.utils import timezone

from builds.management import demonstration, readiness, serving
from builds.management.forecast_text import short_lines
from builds.models import Build
from builds.queries.forecast.build_forecast import forecast_of


class Command(BaseCommand):
    help = (
        "Show the program with a demonstration build: make the database ready, load the build where there is none yet, "
        "print what is left of it, where to look and how to sign in, and serve the pages until Ctrl-C."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        serving.add_address_arguments(parser)
        parser.add_argument("--no-serve", action="store_true", help="make everything ready and print it, then end")

    def handle(self, *args: Any, host: str, port: int, no_serve: bool, **options: Any) -> None:
        taken = None if no_serve else serving.take_port(host, port)
        address = serving.address_of(taken, host) if taken else f"http://{host}:{port}"
        try:
            self._make_ready(address)
            if taken:
                self._say(serving.reach_hint(host))
                self._say("Ctrl-C ends it.")
                serving.serve(taken)
                self._say("Ended.")
        finally:
            if taken:
                taken.close()

    def _make_ready(self, address: str) -> None:
        today = timezone.localdate()
        readiness.migrate()
        readiness.collect_static()
        build = demonstration.load_demonstration(today)
        if build is None:
            build = Build.objects.order_by("pk")[0]
            self._say("There are builds already, so the demonstration was not loaded again.")
        sign_in = demonstration.demonstration_builder()
        self._say(f"{build.name} ({build.scale or build.subject})")
        for line in short_lines(forecast_of(build, today)):
            self._say(f"  {line}")
        self._say(f"Page:     {address}{reverse('builds:page', args=[build.slug])}")
        self._say(f"Board:    {address}{reverse('builds:board', args=[build.slug])}")
        if sign_in.password:
            self._say(f"Sign in:  {sign_in.username}, password {sign_in.password}")
        else:
            self._say(f"Sign in:  {sign_in.username}, with the password that was given to it since")

    def _say(self, text: str) -> None:
        if text:
            self.stdout.write(text)
            self.stdout.flush()

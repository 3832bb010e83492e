from argparse import ArgumentParser
from typing import Any

from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext_lazy

from builds.management import demonstration, readiness, serving
from builds.management.forecast_text import short_lines
from builds.management.serving import ServingCommand
from builds.models import Build
from builds.queries.forecast.build_forecast import forecast_of
from calcs.messages import _


class Command(ServingCommand):
    help = gettext_lazy(
        "Show the program with a demonstration build: make the database ready, load the build where there is none yet, "
        "print what is left of it, where to look and how to sign in, and serve the pages until Ctrl-C."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        super().add_arguments(parser)
        parser.add_argument("--no-serve", action="store_true", help=_("make everything ready and print it, then end"))

    def handle(self, *args: Any, host: str, port: int, no_serve: bool, **options: Any) -> None:
        taken = None if no_serve else serving.take_port(host, port)
        address = serving.address_of(taken, host) if taken else f"http://{host}:{port}"
        try:
            self._make_ready(address)
            if taken:
                self.serve(taken, host)
        finally:
            if taken:
                taken.close()

    def _make_ready(self, address: str) -> None:
        today = timezone.localdate()
        readiness.migrate()
        readiness.collect_static()
        build = demonstration.load_demonstration(today, with_pictures=True)
        if build is None:
            build = Build.objects.order_by("pk")[0]
            self.say(_("There are builds already, so the demonstration was not loaded again."))
        sign_in = demonstration.demonstration_builder()
        self.say(f"{build.name} ({build.scale or build.subject})")
        for line in short_lines(forecast_of(build, today)):
            self.say(f"  {line}")
        self.say(_("Page:     {address}", address=address + reverse("builds:page", args=[build.slug])))
        self.say(_("Board:    {address}", address=address + reverse("builds:board", args=[build.slug])))
        if sign_in.password:
            self.say(_("Sign in:  {name}, password {password}", name=sign_in.username, password=sign_in.password))
        else:
            self.say(_("Sign in:  {name}, with the password that was given to it since", name=sign_in.username))

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand
from django.urls import reverse

from builds.management import readiness, serving
from builds.services.shop.builders import first_owner_code


class Command(BaseCommand):
    help = (
        "Serve the pages until Ctrl-C. Makes the database ready first, and backs it up before it is changed. "
        "While there is no owner, prints the address and the one-time code for making the first one."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        serving.add_address_arguments(parser)

    def handle(self, *args: Any, host: str, port: int, **options: Any) -> None:
        taken = serving.take_port(host, port)
        try:
            kept = readiness.migrate()
            if kept is not None:
                self._say(f"The database was brought up to date; as it was before, it is kept in {kept}")
            readiness.collect_static()
            address = serving.address_of(taken, host)
            self._say(f"Serving {address}/")
            code = first_owner_code()
            if code:
                self._say(f"There is no owner yet. Go to {address}{reverse('welcome')} with the code {code}")
            self._say(serving.reach_hint(host))
            self._say("Ctrl-C ends it.")
            serving.serve(taken)
            self._say("Ended.")
        finally:
            taken.close()

    def _say(self, text: str) -> None:
        if text:
            self.stdout.write(text)
            self.stdout.flush()

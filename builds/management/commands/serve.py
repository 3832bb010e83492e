from typing import Any

from django.urls import reverse
from django.utils.translation import gettext_lazy

from builds.management import readiness, serving
from builds.management.serving import ServingCommand
from builds.services.shop.builders import first_owner_code
from calcs.messages import _


class Command(ServingCommand):
    help = gettext_lazy(
        "Serve the pages until Ctrl-C. Makes the database ready first, and backs it up before it is changed. "
        "While there is no owner, prints the address and the one-time code for making the first one."
    )

    def handle(self, *args: Any, host: str, port: int, **options: Any) -> None:
        taken = serving.take_port(host, port)
        try:
            kept = readiness.migrate()
            if kept is not None:
                self.say(_("The database was brought up to date; as it was before, it is kept in {file}", file=kept))
            readiness.collect_static()
            address = serving.address_of(taken, host)
            self.say(_("Serving {address}/", address=address))
            code = first_owner_code()
            if code:
                where = f"{address}{reverse('welcome')}"
                self.say(_("There is no owner yet. Go to {address} with the code {code}", address=where, code=code))
            self.serve(taken, host)
        finally:
            taken.close()

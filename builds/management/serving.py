"""Serving the pages, for `serve` and `demo` alike: the port is taken first, so that nothing is done in vain."""

import errno
import os
import signal
import socket
from argparse import ArgumentParser
from threading import Event
from typing import Any

from django.conf import settings
from django.core.management.base import CommandError

from builds.management.base import TranslatedCommand
from builds.management.daily import keep_backups
from builds.management.holding import in_use
from calcs.messages import _

THREADS = 4
LARGEST_REQUEST = 64 * 1024 * 1024
EVERYWHERE = {"0.0.0.0", "::", ""}  # noqa: S104


class ServingCommand(TranslatedCommand):
    """A command that may end in serving the pages."""

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--port", type=int, default=8000, help=_("the port to serve on (default 8000; 0 takes a free one)")
        )
        parser.add_argument(
            "--host",
            default="127.0.0.1",
            help=_("the address to serve on (default 127.0.0.1, this machine alone; 0.0.0.0 is all of its addresses)"),
        )

    def execute(self, *args: Any, **options: Any) -> str | None:
        with in_use():
            return super().execute(*args, **options)

    def serve(self, taken: socket.socket, host: str) -> None:
        """Serve until Ctrl-C, and say so."""
        if hint := reach_hint(host):
            self.say(hint)
        self.say(_("Ctrl-C ends it."))
        ending = Event()
        keep_backups(ending)
        serve(taken)
        ending.set()
        self.say(_("Ended."))


def take_port(host: str, port: int) -> socket.socket:
    """Take the port, and hold it while everything else is made ready. Raises CommandError with one sentence."""
    if not 0 <= port <= 65535:
        raise CommandError(_("--port {port} is no port: give a number from 0 to 65535.", port=port))
    try:
        *family_and_kind, _name, address = socket.getaddrinfo(host or None, port, type=socket.SOCK_STREAM)[0]
        taken = socket.socket(*family_and_kind)
    except (OSError, UnicodeError) as error:
        raise CommandError(_("--host {host} is no address of this machine.", host=host)) from error
    try:
        if os.name == "posix":
            # Without it a server that was just stopped blocks its own port for a minute.
            taken.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        taken.bind(address)
        taken.listen()
    except OSError as error:
        taken.close()
        raise CommandError(_why_not(error, host, port)) from error
    return taken


def _why_not(error: OSError, host: str, port: int) -> str:
    if error.errno == errno.EADDRINUSE:
        return _(
            "Port {port} is in use by another program. Choose another one, for instance --port {other}.",
            port=port,
            other=port % 65535 + 1,
        )
    if error.errno == errno.EACCES:
        return _("This user may not serve on port {port}. Choose one above 1023, for instance --port 8000.", port=port)
    return _(
        "Port {port} of {host} cannot be taken ({error}). Choose others with --host and --port.",
        port=port,
        host=host,
        error=error.strerror,
    )


def address_of(taken: socket.socket, host: str) -> str:
    """What to type into a browser on this machine."""
    port = taken.getsockname()[1]
    if host in EVERYWHERE:
        return f"http://localhost:{port}"
    return f"http://[{host}]:{port}" if ":" in host else f"http://{host}:{port}"


def reach_hint(host: str) -> str:
    """What to do so that other machines are answered; empty where only this machine is meant to be."""
    if host in {"127.0.0.1", "localhost", "::1"} or "*" in settings.ALLOWED_HOSTS:
        return ""
    answered = ", ".join(settings.ALLOWED_HOSTS)
    return _(
        "Answers to: {hosts}. Set ALLOWED_HOSTS to the names that other machines call this one by.", hosts=answered
    )


def serve(taken: socket.socket) -> None:
    """Serve until Ctrl-C or a polite request to end. Loads the pages only now, when their static files are there."""
    from waitress.server import create_server  # type: ignore[import-untyped]

    from builds.wsgi import application

    server = create_server(application, sockets=[taken], threads=THREADS, ident=None, **_limits())
    signal.signal(signal.SIGTERM, _end)
    try:
        server.run()
    except KeyboardInterrupt:
        server.close()


def _limits() -> dict[str, Any]:
    limits: dict[str, Any] = {"max_request_body_size": LARGEST_REQUEST, "clear_untrusted_proxy_headers": True}
    if settings.TRUSTED_PROXY:
        limits |= {
            "trusted_proxy": settings.TRUSTED_PROXY,
            "trusted_proxy_headers": {"x-forwarded-for", "x-forwarded-host", "x-forwarded-proto"},
        }
    return limits


def _end(*signal_and_frame: object) -> None:
    raise KeyboardInterrupt

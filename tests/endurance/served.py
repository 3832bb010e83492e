"""The program as it is served, killed and started again, and browsers that log work at its bench."""

import http.client
import json
import os
import signal
import subprocess
import sys
import threading
from datetime import date, timedelta
from pathlib import Path
from urllib.parse import urlencode

from tests.speed.serving import port_said
from tests.speed.shop import ROOT, manage

SLUG, NAME, PASSWORD = "beam-engine", "ada", "swarf under the chuck"
TOKEN = "k" * 32
MAKE_PERSON = "from builds.services.shop.builders import add_builder; add_builder(username={!r}, password={!r})"
READ_LOG = (
    "import json; from builds.models import Entry; "
    "print(json.dumps(list(Entry.objects.values_list('note', flat=True))))"
)


def make_ready(folder: Path) -> None:
    """A build and somebody who may log work at it. The database is empty."""
    record = folder / "build.json"
    build = {"name": "Beam engine", "started_on": f"{date.today() - timedelta(days=900):%Y-%m-%d}"}
    record.write_text(json.dumps({"format": "swarfbook-record", "version": 1, "build": build}))
    manage(folder, "migrate", "-v", "0")
    manage(folder, "import_record", str(record))
    manage(folder, "shell", "-v", "0", "-c", MAKE_PERSON.format(NAME, PASSWORD))


def notes_kept(folder: Path) -> list[str]:
    """The note of each entry in the log; every write of a `Browser` has one of its own."""
    notes: list[str] = json.loads(manage(folder, "shell", "-v", "0", "-c", READ_LOG).splitlines()[-1])
    return notes


class Server:
    """`manage.py serve` on a free port, until it is killed."""

    def __init__(self, folder: Path) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "manage.py", "serve", "--port", "0"],
            cwd=ROOT,
            env={**os.environ, "DATA_DIR": str(folder), "PYTHONUNBUFFERED": "1"},
            stdout=subprocess.PIPE,
            text=True,
        )
        self.port = port_said(self.process)

    def kill(self) -> None:
        """As a power cut does it: the process has no say."""
        self._end_by(signal.SIGKILL)

    def end(self) -> None:
        self._end_by(signal.SIGTERM)

    def _end_by(self, what: signal.Signals) -> None:
        with self.process:
            self.process.send_signal(what)
            self.process.wait(30)


class Browser:
    """Somebody who logs a minute at a time. What was sent and not answered is sent again, with the same token."""

    def __init__(self, name: str) -> None:
        self.name, self.sent, self.cookie = name, 0, ""
        self.answered: list[str] = []
        self.unanswered: str | None = None
        self.errors: list[str] = []

    def go_on(self, port: int, until: threading.Event, reads: tuple[str, ...] = ()) -> None:
        """Log until told to stop or until nobody answers any more."""
        connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
        try:
            self.cookie = self.cookie or self._sign_in(connection)
            while not until.is_set():
                self._log(connection)
                if reads:
                    self._ask(connection, "GET", reads[self.sent % len(reads)])
        except (OSError, http.client.HTTPException) as error:
            if not until.is_set():
                self.errors.append(repr(error))
        finally:
            connection.close()

    def _sign_in(self, connection: http.client.HTTPConnection) -> str:
        answer = self._ask(connection, "POST", "/sign-in/", username=NAME, password=PASSWORD)
        cookies = [cookie.split(";")[0] for cookie in answer.headers.get_all("Set-Cookie") or []]
        return next(cookie for cookie in cookies if cookie.startswith("sessionid="))

    def _log(self, connection: http.client.HTTPConnection) -> None:
        if self.unanswered is None:
            self.sent += 1
            self.unanswered = f"{self.name}-{self.sent}"
        day = date.today() - timedelta(days=1 + self.sent % 600)
        line = {"other": "atidying", "time": "1m", "note": self.unanswered, "token": self.unanswered}
        form = {f"form-0-{field}": value for field, value in line.items()}
        address = f"/builds/{SLUG}/bench/evening/"
        counts = {"form-TOTAL_FORMS": "1", "form-INITIAL_FORMS": "0"}
        answer = self._ask(connection, "POST", address, **counts, **form, worked_on=f"{day:%Y-%m-%d}")
        if answer.status == 302:
            self.answered.append(self.unanswered)
            self.unanswered = None

    def _ask(
        self, connection: http.client.HTTPConnection, method: str, address: str, **form: str
    ) -> http.client.HTTPResponse:
        headers = {
            "Cookie": f"csrftoken={TOKEN}; {self.cookie}",
            "Content-Type": "application/x-www-form-urlencoded",
        }
        body = urlencode({**form, "csrfmiddlewaretoken": TOKEN}) if form else None
        connection.request(method, address, body, headers)
        answer = connection.getresponse()
        answer.read()
        if answer.status not in (200, 302):
            self.errors.append(f"{method} {address}: {answer.status}")
            raise http.client.HTTPException(self.errors[-1])
        return answer

"""The one sheet and the one script that a page links, joined from small files: on a slow line every file is a wait.

Comments and white space are for whoever reads the small files, and stay there. A finder, so that collecting, the
development server and the tests all have them.
"""

import os
from collections.abc import Callable, Iterator
from pathlib import Path
from tempfile import NamedTemporaryFile
from typing import Any

import rcssmin
import rjsmin
from django.conf import settings
from django.contrib.staticfiles import finders
from django.core.files.storage import FileSystemStorage, Storage

SHEET, SHOWN_SHEET, SCRIPT = "css/swarfbook.css", "css/shown.css", "js/swarfbook.js"
FIRST, LAST = ("layers", "tokens", "page"), "print"
"""Between these the components' sheets stand by name; no more order is needed, for their layers decide."""
SHOWN = {"board", "facts", "placard", "routecard", "talk", "worksheet"}
"""Components of the pages that stand on a screen for visitors, or are made for paper."""
WORK = {
    *("answer", "batchgrid", "bench", "catchup", "filters", "forecast", "found", "log", "measure", "network", "plan"),
    *("repeat", "route", "sum", "tonight", "tree", "turn", "viewer", "ways", "whatif", "working"),
}
"""Components that none of those has. All others are on both sorts of page."""


def sheets(without: set[str] = SHOWN) -> list[Path]:
    """The small sheets of the pages of work, in the order in which they are joined."""
    small = {path.stem: path for path in _source("css").glob("*.css")}
    between = sorted(small.keys() - {*FIRST, LAST} - without)
    return [small[name] for name in (*FIRST, *between, LAST)]


def shown_sheets() -> list[Path]:
    """Those of the pages that are shown or printed: they do without what the work needs."""
    return sheets(without=WORK)


def scripts() -> list[Path]:
    own = [_source(f"js/{name}.js") for name in ("swarf", "turning", "chart", "device", "waiting")]
    return [Path(str(finders.find("django_htmx/htmx-2.min.js"))), *own]


def _source(name: str) -> Path:
    return Path(settings.BASE_DIR) / "static" / name


JOINED: dict[str, Callable[[], list[Path]]] = {
    SHEET: sheets,
    SHOWN_SHEET: shown_sheets,
    SCRIPT: scripts,
    # What one page alone has beside the script of all.
    "js/board.short.js": lambda: [_source("js/board.js")],
    "js/viewer.short.js": lambda: [_source("js/viewer.js")],
}
SHORTENED_BY = {".css": rcssmin.cssmin, ".js": rjsmin.jsmin}


class JoinedFilesFinder(finders.BaseFinder):
    """Makes a joined file, or makes it anew, whenever it is asked for."""

    def check(self, **kwargs: Any) -> list[Any]:
        return []

    def find(self, path: str, find_all: bool = False, **kwargs: Any) -> Any:
        if path not in JOINED:
            return []
        text = "\n".join(part.read_text(encoding="utf-8") for part in JOINED[path]())
        found = str(_joined(path, SHORTENED_BY[Path(path).suffix](text)))
        return [found] if find_all else found

    def list(self, ignore_patterns: Any) -> Iterator[tuple[str, Storage]]:
        for path in JOINED:
            self.find(path)
            yield path, FileSystemStorage(location=_folder())


def _folder() -> Path:
    return Path(settings.DATA_DIR) / "joined"


def _joined(name: str, text: str) -> Path:
    target, content = _folder() / name, text.encode()
    if not target.is_file() or target.read_bytes() != content:
        target.parent.mkdir(parents=True, exist_ok=True)
        with NamedTemporaryFile(dir=target.parent, delete=False) as half:
            half.write(content)
        os.replace(half.name, target)
    return target

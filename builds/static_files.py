"""The one sheet and the one script that a page links, joined from small files: on a slow line every file is a wait.

Comments and white space are for whoever reads the small files, and stay there. A finder, so that collecting, the
development server and the tests all have them.
"""

import os
from collections.abc import Iterator
from functools import partial
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


ALONE = {"js/board.short.js": "js/board.js", "js/viewer.short.js": "js/viewer.js"}
"""What one page alone has beside the script of all."""


def _source(name: str) -> Path:
    return Path(settings.BASE_DIR) / "static" / name


def _one(name: str) -> list[Path]:
    return [_source(name)]


class JoinedFilesFinder(finders.BaseFinder):
    """Makes a joined file, or makes it anew, whenever it is asked for."""

    def check(self, **kwargs: Any) -> list[Any]:
        return []

    def find(self, path: str, find_all: bool = False, **kwargs: Any) -> Any:
        makers = {
            SHEET: (sheets, rcssmin.cssmin),
            SHOWN_SHEET: (shown_sheets, rcssmin.cssmin),
            SCRIPT: (scripts, rjsmin.jsmin),
            **{short: (partial(_one, long), rjsmin.jsmin) for short, long in ALONE.items()},
        }
        if path not in makers:
            return []
        parts, shorten = makers[path]
        found = str(_joined(path, shorten("\n".join(part.read_text(encoding="utf-8") for part in parts()))))
        return [found] if find_all else found

    def list(self, ignore_patterns: Any) -> Iterator[tuple[str, Storage]]:
        for path in (SHEET, SHOWN_SHEET, SCRIPT, *ALONE):
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

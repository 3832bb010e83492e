"""Every page of the demonstration looked at by a machine: `python -m tests.every_page look`, `… names`, `… html DIR`.

`look` opens each in Chromium, by day and in the evening, on a phone and at a desk, and tells what axe says against it,
which is wider than its screen at 320 to 1920 px or breaks an ordinary word, and what the browser complains about.
`names` looks at widths alone, with every name as long as it may be and without a place to break it. `html` writes each
page into a folder, for a validator.
"""

import re
import sys
from argparse import ArgumentParser
from pathlib import Path

from tests.every_page.served import Asker, demonstration
from tests.every_page.walk import every_page


def main() -> int:
    parser = ArgumentParser(prog="python -m tests.every_page", description=__doc__)
    parser.add_argument("what", choices=["look", "names", "html"])
    parser.add_argument("folder", nargs="?", type=Path, help="where the pages go (html)")
    given = parser.parse_args()
    with demonstration(long_names=given.what == "names") as (base, password):
        pages = list(every_page(Asker(base, password).page_at))
        if given.what == "html":
            return written([(page.address, page.html) for page in pages], given.folder or Path("pages"))
        from tests.every_page.look import looked_at

        wrong = looked_at(base, password, [page.address for page in pages], readers=given.what == "look")
    for line in wrong:
        sys.stdout.write(f"{line}\n")
    sys.stdout.write(f"{len(pages)} pages, {len(wrong)} things wrong\n")
    return 1 if wrong else 0


def written(pages: list[tuple[str, str]], folder: Path) -> int:
    folder.mkdir(parents=True, exist_ok=True)
    for place, (address, html) in enumerate(pages):
        name = re.sub(r"\W+", "_", address).strip("_")[:80] or "home"
        (folder / f"{place:03d}-{name}.html").write_text(html, encoding="utf-8")
    sys.stdout.write(f"{len(pages)} pages written\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())

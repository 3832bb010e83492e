"""The demonstration's pictures, drawn anew.

They are scenes of our own, drawn as SVG and turned into JPEG files by Chromium and Pillow, as the program keeps photos.
The same Chromium gives the same pictures.
"""

import io
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path

from builds import transfer
from tests.pictures.chromium import opened_browser
from tests.pictures.scenes import pieces, set_ups
from tests.pictures.scenes.ink import HIGH, WIDE
from tests.pictures.sheets.drawn import bottom_cover, piston_and_rings, slide_valve

PHOTOS = Path(transfer.__file__).with_name("demonstration") / "photos"
QUALITY = 70
SCENES: Mapping[str, Callable[[], str]] = {
    name.__name__: name
    for name in (
        pieces.patterns, pieces.feet, pieces.columns, set_ups.frame, set_ups.blow_hole, set_ups.boring,
        set_ups.crankshaft, set_ups.flywheel, pieces.studs, set_ups.scraping, set_ups.with_its_shaft,
        pieces.first_pot, set_ups.heat_fixture, set_ups.gauges, pieces.pistons, set_ups.turns_over, pieces.oil_cups,
        set_ups.block_on, pieces.in_the_tin, pieces.tube_plate,
    )
}  # fmt: skip


def draw_photos(names: Iterable[str] = ()) -> None:
    """Write the pictures of these scenes, or of all."""
    from PIL import Image

    with opened_browser() as browser:
        page = browser.new_page(viewport={"width": WIDE, "height": HIGH})
        for name in names or SCENES:
            page.set_content(f"<style>body {{ margin: 0 }}</style>{SCENES[name]()}")
            shot = Image.open(io.BytesIO(page.screenshot())).convert("RGB")
            file = PHOTOS / f"{name}.jpg"
            shot.save(file, "JPEG", quality=QUALITY, optimize=True, comment=b"")
            print(f"{file.name:24} {file.stat().st_size:7,} bytes")


def draw_sheets(_names: Iterable[str] = ()) -> None:
    """Write the drawings of the launch engine that the demonstration has scans of."""
    for number, drawn in {"L-03": bottom_cover, "L-04": piston_and_rings, "L-05": slide_valve}.items():
        file = PHOTOS.with_name("drawings") / f"{number}.pdf"
        drawn().write(file)
        print(f"{file.name:24} {file.stat().st_size:7,} bytes")

"""Pictures from outside: the kinds that are opened, and what reading one takes."""

import inspect
import io
import os
import re
import subprocess
import sys
from pathlib import Path
from threading import Thread
from typing import Any

import pytest
from django.core.exceptions import ValidationError
from PIL import EpsImagePlugin, Image

from builds.services.plan.pictures import LONGEST_SIDE, made_small, opened_picture

ROOT = Path(__file__).parent.parent.parent
POSTSCRIPT = b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 40 30\n%%EndComments\n0 1 10 { } for\nshowpage\n%%EOF\n"


def drawn(kind: str, size: tuple[int, int], mode: str = "RGB", **save: Any) -> io.BytesIO:
    out = io.BytesIO()
    Image.new(mode, size).save(out, kind, **save)
    return out


def refusal(content: bytes) -> str:
    with pytest.raises(ValidationError) as refused:
        made_small(io.BytesIO(content))
    (said,) = refused.value.message_dict["image"]
    return str(said)


def test_postscript_is_refused_and_no_program_is_run_on_it(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    interpreter = tmp_path / "gs"
    interpreter.write_text(f"#!/bin/sh\necho run >> {tmp_path}/was-run\n")
    interpreter.chmod(0o700)
    monkeypatch.setenv("PATH", str(tmp_path), prepend=os.pathsep)
    monkeypatch.setattr(EpsImagePlugin, "gs_binary", None)
    assert "send a JPEG, PNG or WebP" in refusal(POSTSCRIPT)
    assert not (tmp_path / "was-run").exists()


@pytest.mark.parametrize("kind", ["GIF", "BMP", "TIFF", "ICO", "PDF", "EPS", "PPM", "TGA", "JPEG2000", "AVIF"])
def test_only_three_kinds_of_picture_are_opened(kind: str) -> None:
    assert "send a JPEG, PNG or WebP" in refusal(drawn(kind, (40, 30)).getvalue())


def test_a_picture_of_a_newer_phone_is_refused_by_its_name() -> None:
    assert "HEIC" in refusal(b"\0\0\0\x18ftypheic\0\0\0\0mif1heic" + b"\0" * 400)


def test_pictures_are_opened_in_one_place_that_names_the_kinds() -> None:
    opening = {
        str(file.relative_to(ROOT)): re.findall(r"Image\.open\(.*", file.read_text())
        for file in (ROOT / "builds").rglob("*.py")
        if re.search(r"\bImage\.open\(|ImageFile\b|forms\.ImageField|plt\.imread", file.read_text())
    }
    assert list(opening) == ["builds/services/plan/pictures.py"]
    named = [re.findall(r"formats=(\w+|\(.*?\))", line) for line in opening["builds/services/plan/pictures.py"]]
    assert named == [["kinds"], ['("TIFF",)']]
    assert inspect.signature(opened_picture).parameters["kinds"].default == ("JPEG", "PNG", "WEBP")


@pytest.mark.parametrize(
    ("kind", "size", "mode", "save"),
    [
        ("PNG", (9999, 9999), "RGB", {}),
        ("PNG", (5477, 5477), "RGBA", {}),
        ("PNG", (5477, 5477), "P", {}),
        ("PNG", (5477, 5477), "I;16", {}),
        ("PNG", (30_000, 1000), "RGBA", {}),
        ("WEBP", (3000, 3000), "RGBA", {}),
        ("WEBP", (3000, 3000), "RGB", {"lossless": True}),
        ("WEBP", (9999, 9999), "RGB", {"quality": 1, "method": 0}),
        ("JPEG", (9999, 9999), "RGB", {}),
        ("JPEG", (9999, 9999), "RGB", {"progressive": True}),
        ("JPEG", (4999, 4999), "RGB", {"progressive": True, "subsampling": 0}),
        ("JPEG", (4329, 4329), "CMYK", {"progressive": True}),
        ("JPEG", (65_500, 1500), "L", {}),
        ("JPEG", (9999, 9999), "CMYK", {}),
    ],
)
def test_no_picture_takes_more_than_200_megabytes(
    kind: str, size: tuple[int, int], mode: str, save: dict[str, Any], tmp_path: Path
) -> None:
    making = f"import sys; from PIL import Image;Image.new({mode!r}, {size}).save(sys.argv[1], {kind!r}, **{save!r})"
    reading = """
import django, os, resource, sys
os.environ["DJANGO_SETTINGS_MODULE"] = "builds.settings"
django.setup()
from django.core.exceptions import ValidationError
from PIL import ImageOps
from builds.services.plan.pictures import made_small
def used(): return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
before = used()
with open(sys.argv[1], "rb") as sent:
    try:
        made_small(sent)
    except ValidationError as error:
        print("refused", error)
print(used() - before)
"""
    environment = {"PATH": os.environ["PATH"], "DATA_DIR": str(tmp_path)}
    for script in (making, reading):
        done = subprocess.run(
            [sys.executable, "-W", "ignore", "-c", script, str(tmp_path / "sent")],
            cwd=ROOT, env=environment, text=True, capture_output=True, check=True,
        )  # fmt: skip
    assert float(done.stdout.split()[-1]) < 200, done.stdout
    allowed = size != (9999, 9999) or (kind, mode, save) == ("JPEG", "RGB", {})
    assert ("refused" in done.stdout) is not allowed
    if not allowed:
        assert "million pixels" in done.stdout


@pytest.mark.parametrize(("kind", "size"), [("JPEG", (9000, 4500)), ("PNG", (4000, 2000)), ("WEBP", (3000, 1500))])
def test_a_picture_made_smaller_while_it_is_read_keeps_its_shape(kind: str, size: tuple[int, int]) -> None:
    sent = Image.new("RGB", size, "blue")
    sent.paste("red", (0, 0, size[0] // 2, size[1]))
    out = io.BytesIO()
    sent.save(out, kind)
    with Image.open(io.BytesIO(made_small(out))) as kept:
        assert kept.size == (LONGEST_SIDE, LONGEST_SIDE // 2)
        left, right = (kept.getpixel((x, 790)) for x in (700, 900))
    assert left[0] > 200 > 60 > left[2]  # type: ignore[index]
    assert right[2] > 200 > 60 > right[0]  # type: ignore[index]


def test_one_picture_is_read_at_a_time() -> None:
    second = Thread(target=made_small, args=(drawn("PNG", (40, 30)),))
    with opened_picture(drawn("PNG", (40, 30))):
        second.start()
        second.join(0.3)
        assert second.is_alive()
    second.join(10)
    assert not second.is_alive()


def test_a_plain_jpeg_in_several_passes_is_not_taken_for_one_that_can_be_made_smaller_while_it_is_read() -> None:
    """Its first pass has one colour of three, so all of it would stand in memory until the last."""
    whole = drawn("JPEG", (6000, 4500)).getvalue()
    start = whole.index(b"\xff\xda\x00\x0c\x03")
    one_colour = b"\xff\xda\x00\x08\x01" + whole[start + 5 : start + 7] + b"\x00\x3f\x00"
    assert "27 million pixels" in refusal(whole[:start] + one_colour + whole[start + 14 :])
    assert made_small(io.BytesIO(whole))

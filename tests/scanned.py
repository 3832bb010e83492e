"""Drawing files for tests: made here, so that what is in them is known."""

import io
import zlib

from django.core.files.uploadedfile import SimpleUploadedFile


def pdf(pages: int = 1, *, wide: int = 420, high: int = 297, script: str = "", drawn: str = "") -> bytes:
    """A PDF of pages with a line across each. script: what it would run when it is opened."""
    drawing = (drawn or f"4 w 20 {high // 2} m {wide - 20} {high // 2} l S").encode()
    kids = " ".join(f"{4 + number} 0 R" for number in range(pages))
    runs = f"/OpenAction << /S /JavaScript /JS ({script}) >>" if script else ""
    bodies = [
        f"<< /Type /Catalog /Pages 2 0 R {runs} >>".encode(),
        f"<< /Type /Pages /Kids [{kids}] /Count {pages} >>".encode(),
        f"<< /Length {len(drawing)} >>\nstream\n".encode() + drawing + b"\nendstream",
    ]
    page = f"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 {wide} {high}] /Contents 3 0 R /Resources << >> >>"
    return joined([*bodies, *[page.encode()] * pages])


def joined(bodies: list[bytes], trailer: str = "") -> bytes:
    """The objects of a PDF, numbered from 1, as a file."""
    out, starts = bytearray(b"%PDF-1.4\n"), []
    for number, body in enumerate(bodies, start=1):
        starts.append(len(out))
        out += f"{number} 0 obj\n".encode() + body + b"\nendobj\n"
    table = len(out)
    out += f"xref\n0 {len(bodies) + 1}\n0000000000 65535 f \n".encode()
    out += b"".join(f"{start:010} 00000 n \n".encode() for start in starts)
    out += f"trailer\n<< /Size {len(bodies) + 1} /Root 1 0 R {trailer} >>\nstartxref\n{table}\n%%EOF\n".encode()
    return bytes(out)


def locked_pdf() -> bytes:
    """One that wants a password: neither of its two keys is that of the empty one."""
    nothing = "<" + "41" * 32 + ">"
    lock = f"<< /Filter /Standard /V 2 /R 3 /Length 128 /P -4 /O {nothing} /U {nothing} >>"
    page = b"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 100 100] >>"
    bodies = [b"<< /Type /Catalog /Pages 2 0 R >>", b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>", page, lock.encode()]
    return joined(bodies, trailer=f"/Encrypt 4 0 R /ID [{nothing} {nothing}]")


def pdf_with_picture(wide: int, high: int) -> bytes:
    """A page that is all one black picture in colours, packed a thousandfold."""
    packer = zlib.compressobj(1)
    packed = b"".join(packer.compress(bytes(wide * 3)) for _row in range(high)) + packer.flush()
    kind = "/Type /XObject /Subtype /Image /BitsPerComponent 8 /ColorSpace /DeviceRGB"
    head = f"<< {kind} /Width {wide} /Height {high}"
    image = f"{head} /Filter /FlateDecode /Length {len(packed)} >>\nstream\n".encode() + packed + b"\nendstream"
    draw = b"q 300 0 0 300 0 0 cm /P Do Q"
    page = b"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 300 300] /Contents 4 0 R /Resources 6 0 R >>"
    return joined(
        [
            b"<< /Type /Catalog /Pages 2 0 R >>",
            b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
            page,
            f"<< /Length {len(draw)} >>\nstream\n".encode() + draw + b"\nendstream",
            image,
            b"<< /XObject << /P 5 0 R >> >>",
        ]
    )


def picture(kind: str, *, mode: str = "L", size: tuple[int, int] = (300, 200), **options: object) -> bytes:
    """A white sheet with a black bar over its upper quarter."""
    from PIL import Image

    sheet = Image.new(mode, size, "white")
    sheet.paste("black", (0, 0, size[0], size[1] // 4))
    out = io.BytesIO()
    sheet.save(out, kind, **options)
    return out.getvalue()


def turned() -> bytes:
    """What a camera says that was held upright: the picture's top is at its left."""
    from PIL import Image

    said = Image.Exif()
    said[0x0112] = 6
    return said.tobytes()


def sent(content: bytes, name: str = "sheet.pdf") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, content)

"""A large black and white page that stands in its TIFF as one piece, drawn without ever taking a byte for each dot.

Such a piece (CCITT group 4, ITU-T T.6) can only be read from its beginning. A PDF holds the same code, and its reader
keeps eight dots in a byte, so the piece is put into a PDF of one page.
"""

from typing import Any

GROUP_4 = 4
_BITS_TURNED = bytes(int(f"{byte:08b}"[::-1], 2) for byte in range(256))


def is_one_piece(tags: Any) -> bool:
    """tags: those of the page of a TIFF."""
    return bool(tags.get(259) == GROUP_4 and len(tags.get(273, ())) == 1 and tags.get(258, (1,)) == (1,))


def as_pdf(tags: Any, code: bytes) -> bytes:
    """A PDF of one page, a point for each 12 dots. code: the piece as it stands in the TIFF."""
    wide, high = tags[256], tags[257]
    if tags.get(266, 1) == 2:
        code = code.translate(_BITS_TURNED)
    black = "true" if tags.get(262, 0) == 1 else "false"
    across, along = wide / 12, high / 12
    draw = f"q {across} 0 0 {along} 0 0 cm /P Do Q".encode()
    coded = f"/Filter /CCITTFaxDecode /DecodeParms << /K -1 /Columns {wide} /Rows {high} /BlackIs1 {black} >>"
    bodies = [
        b"<< /Type /Catalog /Pages 2 0 R >>",
        b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
        f"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 {across} {along}] /Contents 4 0 R "
        "/Resources << /XObject << /P 5 0 R >> >> >>".encode(),
        f"<< /Length {len(draw)} >>\nstream\n".encode() + draw + b"\nendstream",
        f"<< /Type /XObject /Subtype /Image /Width {wide} /Height {high} /BitsPerComponent 1 /ColorSpace /DeviceGray "
        f"{coded} /Length {len(code)} >>\nstream\n".encode()
        + code
        + b"\nendstream",
    ]
    out, starts = bytearray(b"%PDF-1.4\n"), []
    for number, body in enumerate(bodies, start=1):
        starts.append(len(out))
        out += f"{number} 0 obj\n".encode() + body + b"\nendobj\n"
    table = len(out)
    out += f"xref\n0 {len(bodies) + 1}\n0000000000 65535 f \n".encode()
    out += b"".join(f"{start:010} 00000 n \n".encode() for start in starts)
    out += f"trailer\n<< /Size {len(bodies) + 1} /Root 1 0 R >>\nstartxref\n{table}\n%%EOF\n".encode()
    return bytes(out)

"""
Specimens of photographs, drawn by this code: noise in many octaves, with all that a phone writes into a file.

They serve the measures and the tests; no photograph of anybody's is needed for either.
"""

from __future__ import annotations

import io
import struct

import numpy as np
from PIL import Image

SERIAL = "SN-4711-SPECIMEN"
"""A camera serial that must not survive."""
REMARK = b"<remark>taken at the bench</remark>"
"""A comment that must not survive."""


def noise(*, width: int, height: int, seed: int = 7) -> Image.Image:
    """An RGB picture of *width* × *height* px whose detail is about that of a photograph."""
    random = np.random.default_rng(seed)
    picture = Image.new("RGB", (width, height), (128, 128, 128))
    for share, cells in ((0.6, 8), (0.4, 32), (0.25, 128), (0.12, 512)):
        grid = random.integers(0, 256, (max(2, cells * height // width), cells, 3), dtype=np.uint8)
        layer = Image.fromarray(grid).resize((width, height), Image.Resampling.BILINEAR)
        picture = Image.blend(picture, layer, share)
    grain = Image.fromarray(random.integers(96, 160, (512, 512, 3), dtype=np.uint8))
    sheet = Image.new("RGB", (width, height))
    for left in range(0, width, 512):
        for top in range(0, height, 512):
            sheet.paste(grain, (left, top))
    return Image.blend(picture, sheet, 0.15)


def display_p3() -> bytes:
    """
    An ICC profile with the primaries of Display P3 and the sRGB curve.

    Colorants are those of SMPTE RP 431-2 primaries with a D65 white, adapted to D50 (ICC.1:2022, from memory).
    """

    def xyz(x, y, z):
        return b"XYZ \0\0\0\0" + b"".join(struct.pack(">i", round(value * 65536)) for value in (x, y, z))

    curve = (
        b"para\0\0\0\0"
        + struct.pack(">HH", 3, 0)
        + b"".join(
            struct.pack(">i", round(value * 65536))
            for value in (2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)
        )
    )
    name = b"Specimen P3\0"
    words = b"desc\0\0\0\0" + struct.pack(">I", len(name)) + name + bytes(4 + 4 + 2 + 1 + 67)
    words += bytes(-len(words) % 4)
    text = b"text\0\0\0\0none\0" + bytes(3)
    tags = [
        (b"desc", words),
        (b"cprt", text),
        (b"wtpt", xyz(0.9642, 1.0, 0.8249)),
        (b"rXYZ", xyz(0.51512, 0.24120, -0.00105)),
        (b"gXYZ", xyz(0.29198, 0.69225, 0.04189)),
        (b"bXYZ", xyz(0.15710, 0.06657, 0.78407)),
        (b"rTRC", curve),
        (b"gTRC", curve),
        (b"bTRC", curve),
    ]
    offset, table, body = 128 + 4 + 12 * len(tags), b"", b""
    for tag, data in tags:
        table += tag + struct.pack(">II", offset + len(body), len(data))
        body += data
    head = struct.pack(
        ">I4sI4s4s4s12s4s4sIIIIIIII",
        offset + len(body),
        b"none",
        0x02400000,
        b"mntr",
        b"RGB ",
        b"XYZ ",
        struct.pack(">HHHHHH", 2026, 1, 1, 0, 0, 0),
        b"acsp",
        b"\0\0\0\0",
        0,
        0,
        0,
        0,
        0,
        round(0.9642 * 65536),
        65536,
        round(0.8249 * 65536),
    )
    return head + bytes(128 - len(head)) + struct.pack(">I", len(tags)) + table + body


def phone_exif(*, orientation: int = 6) -> bytes:
    """EXIF as a phone writes it: orientation, date, camera serial, and a place."""
    exif = Image.Exif()
    exif[0x0112] = orientation
    exif[0x010F] = "Specimen"
    exif.get_ifd(0x8769).update({0x9003: "2026:09:14 16:20:05", 0x9011: "+01:00", 0xA431: SERIAL})
    exif.get_ifd(0x8825).update({1: "N", 2: (51.0, 30.0, 0.0), 3: "W", 4: (0.0, 7.0, 0.0)})
    return exif.tobytes()


def jpeg(
    *, width: int = 4032, height: int = 3024, orientation: int = 6, quality: int = 88, seed: int = 7
) -> bytes:
    """A JPEG with EXIF, a place, a serial, a comment and a Display P3 profile."""
    out = io.BytesIO()
    noise(width=width, height=height, seed=seed).save(
        out,
        "JPEG",
        quality=quality,
        exif=phone_exif(orientation=orientation),
        icc_profile=display_p3(),
        comment=REMARK,
    )
    return out.getvalue()


def heic(*, width: int = 4032, height: int = 3024, quality: int = 60) -> bytes:
    """
    A HEIC with the same.

    Raises:
        ModuleNotFoundError: the encoder is not installed; it belongs to the test requirements only.
    """
    import pillow_heif

    picture = noise(width=width, height=height)
    file = pillow_heif.from_pillow(picture)
    out = io.BytesIO()
    file.save(out, quality=quality, exif=phone_exif(orientation=1), icc_profile=display_p3())
    return out.getvalue()

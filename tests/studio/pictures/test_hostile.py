"""What is not a plain picture is refused with words, and nothing of it stays."""

import functools
import io
import struct
import zipfile
import zlib

import pytest
from PIL import Image, ImageFile

from studio.pictures import decoding
from studio.pictures.actions import receive
from studio.pictures.errors import PictureRefused
from studio.pictures.models import Picture
from tests.studio.pictures.conftest import left_behind, plain, upload

pytestmark = pytest.mark.django_db


def chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def png_of(width: int, height: int, *, extra: bytes = b"", rows: int | None = None) -> bytes:
    """A small PNG file that says it unpacks to *width* × *height* px, and does so where *rows* is not less."""
    head = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0))
    packer, body = zlib.compressobj(9), b""
    row = bytes(1 + 3 * width)
    for _ in range(height if rows is None else rows):
        body += packer.compress(row)
    return b"\x89PNG\r\n\x1a\n" + head + extra + chunk(b"IDAT", body + packer.flush()) + chunk(b"IEND", b"")


def zipped() -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("run.sh", "echo hello")
    return out.getvalue()


def moving(kind: str) -> bytes:
    out = io.BytesIO()
    first, *rest = [Image.new("RGB", (40, 40), colour) for colour in ("red", "green", "blue")]
    first.save(out, kind, save_all=True, append_images=rest, duration=100)
    return out.getvalue()


@functools.cache
def cases(photo, heic):
    text_bomb = chunk(b"zTXt", b"Comment\0\0" + zlib.compress(bytes(80_000_000), 9))
    return {
        "a bomb of 900 million pixels": ("ring.png", png_of(30_000, 30_000, rows=900), "million pixels"),
        "one just above the limit": ("ring.png", png_of(8_000, 7_600, rows=900), "million pixels"),
        "a bomb in a text chunk": ("ring.png", png_of(40, 40, extra=text_bomb), "damaged"),
        "an SVG": (
            "ring.svg",
            b"<svg xmlns='http://www.w3.org/2000/svg'><script/></svg>",
            "something besides",
        ),
        "an SVG under another name": ("ring.jpg", b"<?xml version='1.0'?><g xmlns='x'/>", "not a picture"),
        "a page": ("ring.jpg", b"<!DOCTYPE html><p>hello", "something besides"),
        "a PostScript file": (
            "ring.jpg",
            b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 10 10\n",
            "not a picture",
        ),
        "a PDF": ("ring.jpg", b"%PDF-1.7\n1 0 obj\n", "something besides"),
        "a GIF": ("ring.gif", plain("GIF", mode="P"), "not a picture"),
        "a TIFF": ("ring.tif", plain("TIFF"), "not a picture"),
        "a photo that is an archive too": ("ring.jpg", photo + zipped(), "something besides"),
        "a photo with a page in its comment": (
            "ring.jpg",
            plain("JPEG", comment=b"<script>alert(1)</script>"),
            "something besides",
        ),
        "a photo cut off half way": ("ring.jpg", photo[: len(photo) // 2], "damaged"),
        "a PNG cut off": ("ring.png", png_of(400, 400)[:300], "damaged"),
        "a HEIC cut off": ("ring.heic", heic[: len(heic) // 2], "damaged"),
        "a PNG called JPEG": ("ring.jpg", plain("PNG"), "is a PNG picture"),
        "a photo called a program": ("ring.exe", plain("JPEG"), "is a JPEG picture"),
        "a moving PNG": ("ring.png", moving("PNG"), "moves"),
        "a moving WebP": ("ring.webp", moving("WEBP"), "moves"),
        "a thread": ("ring.png", png_of(4_000, 20), "too long and narrow"),
        "nothing": ("ring.jpg", b"", "empty"),
        "noise": ("ring.jpg", b"\xff\xd8\xff" + bytes(range(256)) * 40, "picture"),
    }


CASES = sorted(cases(b"", b""))


@pytest.mark.parametrize("case", CASES)
def test_it_is_refused_with_words_and_leaves_nothing(case, photo, heic, stores):
    name, body, words = cases(photo, heic)[case]
    with pytest.raises(PictureRefused, match=words):
        receive(upload=upload(body, name), kind="brief", person_words="a stranger")
    assert Picture.objects.count() == 0
    assert left_behind(stores) == []


def test_a_photo_cut_off_is_refused_also_after_papers_were_printed(photo, stores, monkeypatch):
    """The library that makes the PDFs asks for leniency in the whole process when it is imported."""
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", True)
    with pytest.raises(PictureRefused, match="damaged"):
        receive(upload=upload(photo[: len(photo) // 2]), kind="brief", person_words="a stranger")
    assert left_behind(stores) == []


def test_a_file_above_the_limit_is_refused_before_it_is_decoded(settings, photo, stores, monkeypatch):
    settings.UPLOAD_FILE_MB = 0.1
    monkeypatch.setattr(decoding.Image, "open", None)
    with pytest.raises(PictureRefused, match="larger than"):
        receive(upload=upload(photo), kind="brief", person_words="a stranger")
    assert left_behind(stores) == []

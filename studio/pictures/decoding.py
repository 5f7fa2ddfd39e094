"""
Looking at a file that a stranger sent: is it a picture, and one that is safe to open?

A file is judged by decoding it, never by its name or by what the browser says of it.
"""

from __future__ import annotations

import datetime
import hashlib
import zipfile
from dataclasses import dataclass
from pathlib import PurePath

import pi_heif
from django.conf import settings
from django.utils import timezone
from django.utils.translation import gettext as _
from PIL import ExifTags, Image, ImageFile, UnidentifiedImageError

from studio.pictures.errors import PictureRefused

FORMATS = ("JPEG", "PNG", "WEBP", "HEIF")
MAX_PIXELS = 60_000_000
MAX_SIDE_RATIO = 20
DECODE_AT_ONCE = 16_000_000
"""Pixels up to which a PNG, WebP or HEIF is decoded while its sender waits; larger ones in the worker."""

ENDINGS = {
    "JPEG": {"jpg", "jpeg", "jpe", "jfif", "mpo"},
    "MPO": {"jpg", "jpeg", "jpe", "jfif", "mpo"},
    "PNG": {"png"},
    "WEBP": {"webp"},
    "HEIF": {"heic", "heif", "hif"},
}
NAMES = {"JPEG": "JPEG", "MPO": "JPEG", "PNG": "PNG", "WEBP": "WebP", "HEIF": "HEIC"}

# What makes one file two: a page, a program or an archive hidden in a picture.
FOREIGN = (b"<script", b"<?php", b"<!doctype html", b"<svg", b"rar!\x1a\x07")

Image.MAX_IMAGE_PIXELS = MAX_PIXELS
pi_heif.register_heif_opener(thumbnails=False)


@dataclass(frozen=True, kw_only=True)
class Looked:
    """What a first look at a picture tells."""

    format: str
    width: int
    height: int
    bytes: int
    sha256: str
    taken_at: datetime.datetime | None


def look(*, file, name: str) -> Looked:
    """
    Check one file, given open for reading in binary mode with the *name* it came under.

    Raises:
        PictureRefused: too large, not a picture, more than one thing at once, broken or animated.
    """
    be_strict()
    size, digest = _read_through(file)
    file.seek(0)
    try:
        with Image.open(file, formats=FORMATS) as image:
            kind = image.format
            _check_shape(image)
            _check_name(name=name, kind=kind)
            if kind in ("PNG", "WEBP") and getattr(image, "n_frames", 1) > 1:
                raise PictureRefused(_("This picture moves. Please send a still one."))
            turned = orientation(image) in (5, 6, 7, 8)
            taken = taken_at(image)
            _decode(image)
            width, height = image.original_size if hasattr(image, "original_size") else image.size
    except PictureRefused:
        raise
    except Image.DecompressionBombError:
        raise PictureRefused(_too_many_pixels()) from None
    except UnidentifiedImageError:
        if _begins_as_a_picture(file):
            raise PictureRefused(_damaged()) from None
        raise PictureRefused(
            _("This file is not a picture we can read. Please send JPEG, PNG, WebP or HEIC.")
        ) from None
    except (OSError, ValueError, SyntaxError, EOFError, RuntimeError, IndexError, KeyError, MemoryError):
        raise PictureRefused(_damaged()) from None
    finally:
        file.seek(0)
    if turned:
        width, height = height, width
    return Looked(format=kind, width=width, height=height, bytes=size, sha256=digest, taken_at=taken)


def be_strict() -> None:
    """
    Let a picture that ends too early be an error, whatever another library has asked for.

    The maker of our PDFs turns leniency on for the whole process when it is imported.
    """
    ImageFile.LOAD_TRUNCATED_IMAGES = False


def _read_through(file) -> tuple[int, str]:
    limit = settings.UPLOAD_FILE_MB * 1024 * 1024
    digest, size, tail = hashlib.sha256(), 0, b""
    file.seek(0)
    while chunk := file.read(1 << 20):
        size += len(chunk)
        if size > limit:
            raise PictureRefused(
                _("This picture is larger than %(mb)d MB.") % {"mb": settings.UPLOAD_FILE_MB}
            )
        digest.update(chunk)
        window = (tail + chunk).lower()
        if any(mark in window for mark in FOREIGN):
            raise PictureRefused(_two_things())
        if not tail and b"%pdf-" in window[:1024]:
            raise PictureRefused(_two_things())
        tail = chunk[-16:]
    if not size:
        raise PictureRefused(_("This file is empty."))
    file.seek(0)
    if zipfile.is_zipfile(file):
        raise PictureRefused(_two_things())
    return size, digest.hexdigest()


def _begins_as_a_picture(file) -> bool:
    file.seek(0)
    head = file.read(12)
    return head.startswith((b"\xff\xd8\xff", b"\x89PNG\r\n")) or head[8:] == b"WEBP" or head[4:8] == b"ftyp"


def _damaged() -> str:
    return _("This picture is damaged or was cut off on its way. Please send it again.")


def _two_things() -> str:
    return _("This file holds something besides a picture. Please send a plain JPEG, PNG, WebP or HEIC.")


def _too_many_pixels() -> str:
    return _("This picture has more than %(mp)d million pixels. Please send a smaller one.") % {
        "mp": MAX_PIXELS // 10**6
    }


def _check_shape(image: Image.Image) -> None:
    width, height = image.size
    if width * height > MAX_PIXELS:
        raise PictureRefused(_too_many_pixels())
    if max(width, height) > MAX_SIDE_RATIO * min(width, height):
        raise PictureRefused(_("This picture is too long and narrow to be shown."))


def _check_name(*, name: str, kind: str) -> None:
    ending = PurePath(name or "").suffix.lower().lstrip(".")
    if ending and ending not in ENDINGS[kind]:
        raise PictureRefused(
            _(
                "This file is called .%(ending)s but is a %(kind)s picture. Save it again as %(kind)s and send that."
            )
            % {"ending": ending[:8], "kind": NAMES[kind]}
        )


def _decode(image: Image.Image) -> None:
    # A JPEG is read to its last byte even at an eighth of its size, which shows a cut-off file cheaply.
    if image.format in ("JPEG", "MPO"):
        width, height = image.size
        image.original_size = (width, height)
        image.draft("RGB", (max(1, width // 8), max(1, height // 8)))
        image.load()
    elif image.width * image.height <= DECODE_AT_ONCE:
        image.load()


def orientation(image: Image.Image) -> int:
    """EXIF orientation, 1 to 8; 1 where none is given (a HEIF file is already turned by its decoder)."""
    if image.format == "HEIF":
        return 1
    value = image.getexif().get(ExifTags.Base.Orientation, 1)
    return value if value in range(1, 9) else 1


def taken_at(image: Image.Image) -> datetime.datetime | None:
    """When the camera says the picture was taken, aware; in the reader's zone where the camera names none."""
    try:
        exif = image.getexif().get_ifd(ExifTags.IFD.Exif)
        written = str(exif.get(ExifTags.Base.DateTimeOriginal, "")).strip("\0 ")
        moment = datetime.datetime.strptime(written, "%Y:%m:%d %H:%M:%S")  # noqa: DTZ007 - made aware below
        offset = str(exif.get(ExifTags.Base.OffsetTimeOriginal, "")).strip("\0 ")
        if offset:
            return datetime.datetime.strptime(f"{written}{offset}", "%Y:%m:%d %H:%M:%S%z")
        return timezone.make_aware(moment)
    except (ValueError, KeyError, TypeError, SyntaxError, OverflowError):
        return None

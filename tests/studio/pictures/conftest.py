"""Small specimens, made once, and stores that vanish with the test."""

import io

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from studio.pictures import specimens


@pytest.fixture(autouse=True)
def empty(stores):
    """Both stores without a file, so that what a test leaves behind is seen."""
    for path in stores.rglob("*"):
        if path.is_file():
            path.unlink()


@pytest.fixture(scope="session")
def photo():
    """The bytes of a phone's JPEG: lying on its side, with a place, a serial, a comment, in Display P3."""
    return specimens.jpeg(width=1600, height=1200)


@pytest.fixture(scope="session")
def heic():
    """The same as HEIC."""
    return specimens.heic(width=1600, height=1200)


def upload(body: bytes, name: str = "ring.jpg"):
    """A file as a form hands it over."""
    return SimpleUploadedFile(name, body)


def plain(kind: str, size=(300, 200), mode="RGB", **options) -> bytes:
    """A one-coloured picture."""
    out = io.BytesIO()
    Image.new(mode, size).save(out, kind, **options)
    return out.getvalue()


def left_behind(place) -> list:
    """Every file in the stores."""
    return sorted(path.name for path in place.rglob("*") if path.is_file())

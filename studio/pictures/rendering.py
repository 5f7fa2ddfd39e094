"""
Making renditions: upright, in sRGB, in three sizes, as WebP and as JPEG, with nothing of the original but its pixels.

The order is what makes it cheap: the decoder itself halves a large JPEG, the picture is turned after
it has been made small, and each size is made from the one above.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import dataclass

from PIL import Image, ImageCms

from studio.pictures import decoding
from studio.pictures.errors import PictureRefused
from studio.pictures.sizes import EDGES

WEBP = {"quality": 80, "method": 2}
JPEG = {"quality": 82, "progressive": True, "subsampling": "4:2:0"}


@dataclass(frozen=True, kw_only=True)
class Rendition:
    """One size of a picture in both formats."""

    edge: int
    width: int
    height: int
    webp: bytes
    jpeg: bytes


def renditions(*, file) -> Iterator[Rendition]:
    """
    The renditions of an original, the largest first.

    Raises:
        PictureRefused: the original cannot be decoded to its end.
    """
    decoding.be_strict()
    try:
        image = _opened(file)
    except (
        OSError,
        ValueError,
        SyntaxError,
        EOFError,
        RuntimeError,
        MemoryError,
        Image.DecompressionBombError,
    ):
        raise PictureRefused("This picture is damaged and could not be read to its end.") from None
    for edge in EDGES:
        image = _fitted(image, edge)
        yield Rendition(
            edge=edge,
            width=image.width,
            height=image.height,
            webp=_saved(image, "WEBP", WEBP),
            jpeg=_saved(image, "JPEG", JPEG),
        )


def _opened(file) -> Image.Image:
    image = Image.open(file, formats=decoding.FORMATS)
    turn = decoding.orientation(image)
    profile = image.info.get("icc_profile")
    scale = max(image.size) / EDGES[0]
    if scale > 1:
        # The true shape matters: asked for a square, the decoder would not dare to halve the shorter side.
        image.draft("RGB", (int(image.width / scale), int(image.height / scale)))
    image.load()
    return _turned(_in_srgb(_flat(_fitted(image, EDGES[0])), profile), turn)


def _fitted(image: Image.Image, edge: int) -> Image.Image:
    scale = edge / max(image.size)
    if scale >= 1:
        return image
    if image.mode == "P":
        image = image.convert("RGBA")
    size = (max(1, round(image.width * scale)), max(1, round(image.height * scale)))
    return image.resize(size, Image.Resampling.LANCZOS, reducing_gap=2.0)


def _flat(image: Image.Image) -> Image.Image:
    """Eight bits a channel, and white paper where the picture is clear."""
    if image.mode.startswith("I"):
        image = image.convert("I").point(lambda value: value * (1 / 256)).convert("L")
    if image.mode in ("RGBA", "LA", "PA", "La", "RGBa") or "transparency" in image.info:
        clear = image.convert("RGBA")
        paper = Image.new("RGB", clear.size, "white")
        paper.paste(clear, mask=clear.getchannel("A"))
        return paper
    return image if image.mode in ("RGB", "L", "CMYK") else image.convert("RGB")


def _in_srgb(image: Image.Image, profile: bytes | None) -> Image.Image:
    if profile:
        try:
            source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            converted = ImageCms.profileToProfile(
                image,
                source,
                ImageCms.createProfile("sRGB"),
                renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC,
                outputMode="RGB",
            )
            if converted is not None:
                return converted
        except (ImageCms.PyCMSError, OSError, ValueError, TypeError):
            pass  # a profile that does not fit its picture: the plain colours are the best guess there is
    return image.convert("RGB")


def _turned(image: Image.Image, turn: int) -> Image.Image:
    ways = {
        2: Image.Transpose.FLIP_LEFT_RIGHT,
        3: Image.Transpose.ROTATE_180,
        4: Image.Transpose.FLIP_TOP_BOTTOM,
        5: Image.Transpose.TRANSPOSE,
        6: Image.Transpose.ROTATE_270,
        7: Image.Transpose.TRANSVERSE,
        8: Image.Transpose.ROTATE_90,
    }
    return image.transpose(ways[turn]) if turn in ways else image


def _saved(image: Image.Image, kind: str, options: dict) -> bytes:
    image.info = {}  # comments ride along in info: a plain save would write them again
    out = io.BytesIO()
    image.save(out, kind, **options)
    return out.getvalue()

"""
The two faces of the house, made from their packages into the data folder.

Newsreader and Source Sans 3 are packages under the Open Font License; the pages and the PDFs use the
same files, cut down to the Latin letters that our languages need.
"""

from __future__ import annotations

import importlib.resources
import os
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings

LATIN = (
    "U+0020-007E,U+00A0-017F,U+0192,U+0218-021B,U+02C6,U+02DA,U+02DC,U+2009,U+200A,U+2010-2015,U+2018-201E,"
    "U+2020-2022,U+2026,U+202F,U+2030,U+2032,U+2033,U+2039,U+203A,U+2044,U+20AC,U+2116,U+2122,U+2150-215E,"
    "U+2190-2193,U+2212,U+2215,U+2219,U+221A,U+2248,U+2260,U+2264,U+2265,U+2300"
)


FEATURES = [
    "kern",
    "liga",
    "locl",
    "ccmp",
    "mark",
    "mkmk",
    "lnum",
    "tnum",
    "pnum",
    "frac",
    "numr",
    "dnom",
    "sups",
]


@dataclass(frozen=True, kw_only=True)
class Face:
    """One face: its package, the file in it, what we call it, and the axes that are fixed."""

    package: str
    source: str
    name: str
    pinned: dict[str, float]


FACES = [
    Face(
        package="fontpkg_newsreader",
        source="Newsreader[opsz,wght].ttf",
        name="newsreader",
        pinned={"opsz": 24},
    ),
    Face(
        package="fontpkg_newsreader",
        source="Newsreader-Italic[opsz,wght].ttf",
        name="newsreader-italic",
        pinned={"opsz": 24},
    ),
    Face(package="fontpkg_source_sans_3", source="SourceSans3[wght].ttf", name="source-sans-3", pinned={}),
]


WEIGHTS = [
    ("newsreader", 400),
    ("newsreader", 500),
    ("newsreader-italic", 400),
    ("source-sans-3", 400),
    ("source-sans-3", 600),
]
"""The weights that papers use, each a file of its own: a face with an axis would be cut anew for every PDF."""


def path_of(name: str) -> Path:
    """The made file of one face."""
    return Path(settings.FONTS_DIR) / f"{name}.woff2"


def ensure() -> list[Path]:
    """
    Make every face that is not made yet, and return their files.

    Each is written beside its place and moved there, so that a killed process leaves no half a font.
    """
    return [_made(face) for face in FACES]


def paper_path(name: str, weight: int) -> Path:
    """The file of one weight of a face, as papers use it."""
    return Path(settings.FONTS_DIR) / f"{name}-{weight}.ttf"


def ensure_for_papers() -> list[Path]:
    """Make every weight that papers use and that is not made yet, from the faces of the pages."""
    ensure()
    return [_fixed(name, weight) for name, weight in WEIGHTS]


def _fixed(name: str, weight: int) -> Path:
    target = paper_path(name, weight)
    if target.exists():
        return target
    from fontTools.ttLib import TTFont
    from fontTools.varLib import instancer

    font = instancer.instantiateVariableFont(TTFont(path_of(name)), {"wght": weight})
    font.flavor = None
    draft = target.with_suffix(f".{os.getpid()}.part")
    font.save(draft)
    draft.replace(target)
    return target


def _made(face: Face) -> Path:
    target = path_of(face.name)
    if target.exists():
        return target
    # Imported here: the web process needs no font tools once the files are there.
    from fontTools import subset
    from fontTools.ttLib import TTFont
    from fontTools.varLib import instancer

    source = importlib.resources.files(face.package) / "files" / face.source
    with importlib.resources.as_file(source) as path:
        font = TTFont(path)
        options = subset.Options(flavor="woff2", layout_features=FEATURES, notdef_outline=True, hinting=False)
        cutter = subset.Subsetter(options)
        cutter.populate(unicodes=subset.parse_unicodes(LATIN))
        cutter.subset(font)
        font = instancer.instantiateVariableFont(font, {"wght": (300, 800), **face.pinned})
        font.flavor = "woff2"
        target.parent.mkdir(parents=True, exist_ok=True)
        draft = target.with_suffix(f".{os.getpid()}.part")
        font.save(draft)
        draft.replace(target)
    return target

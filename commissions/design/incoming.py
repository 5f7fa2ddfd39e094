"""
Looking at a file that somebody adds to a revision: what it is, and what can be read in it.

A file is judged by reading it. Whatever it is called, it is kept only if the reader of its format goes
through it to the end, and it is never shown, only handed out as a download.
"""

from __future__ import annotations

import hashlib
import re
import unicodedata
from dataclasses import dataclass, field
from pathlib import PurePosixPath
from typing import BinaryIO

from gemcalc.errors import BadInput
from gemcalc.models import KINDS, measure_model
from gemcalc.scan.reading import FORMATS, read_outline

PICTURES = ("jpg", "jpeg", "png", "webp", "heic", "heif")
MODELS = (*KINDS, "step", "stp")
SCANS = FORMATS
MOST_MODEL_MB = 30

FOREIGN = (b"<script", b"<?php", b"<!doctype", b"<html", b"%pdf-", b"mz\x90\x00", b"\x7felf", b"rar!\x1a\x07")
"""Beginnings of things that are no model: a page, a program, a paper or an archive inside one is refused."""


@dataclass(frozen=True, kw_only=True)
class Incoming:
    """
    One file as it was read.

    Args:
        form: Its format, such as stl.
        sha256: Digest of the whole file.
        content: The whole file.
        facts: What was read in it, plain values.
    """

    form: str
    sha256: str
    content: bytes
    facts: dict = field(default_factory=dict)


def ending_of(name: str) -> str:
    """The ending of a file's name, small, without its dot."""
    return PurePosixPath(name.replace("\\", "/")).suffix.lower().lstrip(".")


def plain_name(name: str, *, form: str) -> str:
    """
    A file's name made plain: without folders, hidden or turning signs, and ending in its format.

    >>> plain_name("../../halo\\u202e v2.STL", form="stl")
    'halo v2.stl'
    >>> plain_name("", form="step")
    'file.step'
    """
    stem = PurePosixPath(name.replace("\\", "/")).name
    stem = stem[: -len(ending_of(stem)) - 1] if ending_of(stem) else stem
    stem = unicodedata.normalize("NFC", stem)
    stem = "".join(sign for sign in stem if unicodedata.category(sign)[0] != "C")
    stem = re.sub(r"[\s<>:\"/|?*%;]+", " ", stem).strip(" .")[:80]
    return f"{stem or 'file'}.{form}"


def read_model(upload: BinaryIO, *, name: str) -> Incoming:
    """
    A CAD model: a mesh is measured, a STEP file is checked for its frame.

    Raises:
        BadInput: it is no model of a format we take, is damaged, too large, or holds something else.
    """
    form = ending_of(name)
    if form not in MODELS:
        raise BadInput(f"must end in one of .{', .'.join(MODELS)}", field="file")
    content = _read(upload, most_mb=MOST_MODEL_MB)
    if form in ("step", "stp"):
        _refuse_foreign(content)
        facts = _step_facts(content)
        form = "step"
    else:
        if form != "3mf":  # a 3MF is an archive by nature: its own reader opens it part by part
            _refuse_foreign(content)
        try:
            found = measure_model(content=content, filename=f"model.{form}")
        except BadInput as error:
            raise BadInput(error.message, field="file") from None
        if any("after the last triangle" in words for words in found.notes):
            raise BadInput("holds something after its last triangle: export it again", field="file")
        facts = {
            "size_mm": [round(side, 3) for side in found.size_mm],
            "volume_mm3": round(found.volume_mm3, 3),
            "triangles": found.triangles,
            "bodies": found.bodies,
            "sound": found.sound,
            "faults": list(found.faults),
            "notes": list(found.notes),
        }
    return Incoming(form=form, sha256=hashlib.sha256(content).hexdigest(), content=content, facts=facts)


def read_scan(upload: BinaryIO, *, name: str) -> Incoming:
    """
    A scan of a stone: a file of points or curves that can be read.

    Raises:
        BadInput: it is no file of points or curves, or is damaged or too large.
    """
    form = ending_of(name)
    if form not in SCANS:
        raise BadInput(f"must end in one of .{', .'.join(SCANS)}", field="file")
    content = _read(upload, most_mb=5)
    _refuse_foreign(content)
    reading = read_outline(content=content, name=f"scan.{form}")
    facts = {
        "points": len(reading.points_mm),
        "unit": reading.unit,
        "how": reading.how,
        "sure": reading.sure,
        "choices": {
            unit: [round(larger, 3), round(smaller, 3)] for unit, (larger, smaller) in reading.choices.items()
        },
    }
    return Incoming(form=form, sha256=hashlib.sha256(content).hexdigest(), content=content, facts=facts)


def _read(upload: BinaryIO, *, most_mb: int) -> bytes:
    upload.seek(0)
    content = upload.read(most_mb * 1024 * 1024 + 1)
    if not content:
        raise BadInput("is empty", field="file")
    if len(content) > most_mb * 1024 * 1024:
        raise BadInput(f"is larger than {most_mb} MB", field="file")
    return content


def _refuse_foreign(content: bytes) -> None:
    small = content[:4096].lower()
    # A program begins with its mark; a page or a script may stand anywhere in words.
    if any(mark in small for mark in FOREIGN) or b"<script" in content.lower():
        raise BadInput("holds something besides a model or a scan", field="file")
    if content[:4] == b"PK\x03\x04":
        raise BadInput("is an archive: send the file that lies in it", field="file")


def _step_facts(content: bytes) -> dict:
    """What the frame of a STEP file says (ISO 10303-21): begins, header, schema, data, ends."""
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError:
        raise BadInput("is no STEP file: it is not written in words", field="file") from None
    if any(ord(sign) < 32 and sign not in "\r\n\t" for sign in text):
        raise BadInput("is no STEP file: it is not written in words", field="file")
    bare = text.strip()
    if not bare.startswith("ISO-10303-21;") or not bare.endswith("END-ISO-10303-21;"):
        raise BadInput(
            "is no whole STEP file: it must begin with ISO-10303-21; and end with END-ISO-10303-21;",
            field="file",
        )
    schema = re.search(r"FILE_SCHEMA\s*\(\s*\(\s*'([^']{1,80})", bare)
    if schema is None or "HEADER;" not in bare or "DATA;" not in bare:
        raise BadInput("is a STEP file without header, schema or data: export it again", field="file")
    return {"schema": schema[1].strip(), "entities": len(re.findall(r"(?m)^\s*#\d+\s*=", bare))}

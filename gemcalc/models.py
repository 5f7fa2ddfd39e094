"""A CAD model's volume and mass: what the file holds, whether it is closed, what it would weigh."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO, Literal

import numpy as np

from gemcalc.errors import BadInput
from gemcalc.meshes.bodies import put_together
from gemcalc.meshes.limits import MAX_FILE_BYTES, Triangles, checked_corners, refuse
from gemcalc.meshes.obj import read_obj
from gemcalc.meshes.ply import read_ply
from gemcalc.meshes.stl import read_stl
from gemcalc.meshes.threemf import read_3mf
from gemcalc.meshes.topology import Closure, body_labels, closure

ModelUnit = Literal["mm", "cm", "m", "inch"]

KINDS = ("stl", "obj", "3mf", "ply")
"""Endings of the model files that are read."""

UNITS_MM: dict[str, float] = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "inch": 25.4}
"""Millimetres in each unit that a model may have been drawn in."""

RING_MM = (15.0, 40.0)
"""Longest side that a ring is expected to have, mm. Source: practice."""

JOIN_MM = 0.002
"""Points this near are taken as one where the file does not close exactly, mm. Source: practice."""


@dataclass(frozen=True, kw_only=True)
class ModelMeasure:
    """
    What a model file holds.

    Args:
        kind: stl, obj, 3mf or ply.
        watertight: Every edge has exactly two triangles.
        sound: Watertight, every triangle agrees about the outside, and no bodies seem to run into each other:
            the volume can be trusted.
        volume_mm3: Volume, mm3.
        area_mm2: Surface, mm2.
        size_mm: Sides of the box around it along x, y, z, mm.
        triangles: How many triangles.
        bodies: How many separate bodies.
        faults: What is wrong, in words; empty for a sound model.
        notes: What was assumed, in words.
    """

    kind: str
    watertight: bool
    sound: bool
    volume_mm3: float
    area_mm2: float
    size_mm: tuple[float, float, float]
    triangles: int
    bodies: int
    faults: tuple[str, ...]
    notes: tuple[str, ...]


def _times(number: int, one: str, many: str) -> str:
    return f"1 {one}" if number == 1 else f"{number:,} {many}"


def _faults(found: Closure, meeting: int) -> list[str]:
    faults = []
    if found.open_edges:
        edges = _times(found.open_edges, "edge has", "edges have")
        faults.append(
            f"Not closed: {edges} a face on one side only, so there is a hole. Volume and mass are guesses."
        )
    if found.crowded_edges:
        edges = _times(found.crowded_edges, "edge", "edges")
        faults.append(
            f"More than two faces meet at {edges}: surfaces are doubled or bodies touch along an edge."
        )
    if found.twisted_edges:
        edges = _times(found.twisted_edges, "edge", "edges")
        faults.append(
            f"Faces disagree about inside and outside along {edges}: unify the normals before weighing."
        )
    if meeting:
        pairs = "Several bodies" if meeting < 0 else _times(meeting, "pair of bodies", "pairs of bodies")
        faults.append(
            f"{pairs} may run into each other, and metal where they do is counted twice: join them into one "
            "solid before weighing."
        )
    return faults


def _plausible(longest_mm: float) -> list[str]:
    low, high = RING_MM
    if low <= longest_mm <= high:
        return []
    others = [
        f"drawn in {name} it would be {longest_mm * factor:.1f} mm"
        for name, factor in UNITS_MM.items()
        if name != "mm" and low <= longest_mm * factor <= high
    ]
    advice = "; ".join(others) or "check the unit in which it was saved, or whether it is one ring"
    return [f"The longest side is {longest_mm:.3g} mm and a ring is {low:g} to {high:g} mm: {advice}."]


def _closed_up(triangles: Triangles) -> tuple[Closure, list[str]]:
    """Exact equality first; a mesh that is open only by rounding is closed on a fine grid, and says so."""
    found = closure(triangles=triangles)
    if found.closed:
        return found, []
    for shift in (0.0, 0.5):
        joined = closure(triangles=triangles, join_mm=JOIN_MM, shift=shift)
        if joined.closed and joined.flat_triangles < len(triangles):
            return joined, [f"Corners less than {JOIN_MM:g} mm apart were taken as one to close the surface."]
    return found, []


def _read(content: bytes, kind: str, unit: ModelUnit | None) -> tuple[Triangles, list[str]]:
    if kind == "3mf":
        triangles, notes = read_3mf(content=content)
        return triangles, notes
    if kind == "stl":
        triangles, notes = read_stl(content=content)
    else:
        triangles, notes = (read_obj if kind == "obj" else read_ply)(content=content), []
    checked_corners(triangles=triangles)
    if unit is None:
        return triangles, [f"{kind.upper()} states no unit: millimetres are assumed.", *notes]
    return triangles * UNITS_MM[unit], [f"Read as drawn in {unit}.", *notes]


def read_triangles(
    *, content: bytes, filename: str, unit: ModelUnit | None = None
) -> tuple[Triangles, list[str]]:
    """
    The triangles of a model file, in mm.

    Args:
        content: The whole file, at most 200 MB; at most 2000000 triangles are read.
        filename: Its name: the ending (.stl, .obj, .3mf, .ply) tells what it is.
        unit: Unit it was drawn in, for files that state none; None assumes mm. A 3MF states its own.

    Returns:
        Corners of every triangle, shape (n, 3, 3), and what was assumed, in words.

    Raises:
        BadInput: the file is of another kind, damaged, too large, or holds things no model needs.

    Source:
        3mf-core
    """
    _, dot, ending = filename.rpartition(".")
    kind = ending.lower()
    if not dot or kind not in KINDS:
        raise refuse(f"the file must end in one of .{', .'.join(KINDS)}")
    if unit is not None and unit not in UNITS_MM:
        raise BadInput(f"must be one of {', '.join(UNITS_MM)}", field="unit")
    if not content:
        raise refuse("this file is empty")
    if len(content) > MAX_FILE_BYTES:
        raise refuse(f"this file is larger than {MAX_FILE_BYTES // 1024**2} MB and is not read")
    triangles, notes = _read(content, kind, unit)
    return checked_corners(triangles=triangles), notes


def measure_model(*, content: bytes, filename: str, unit: ModelUnit | None = None) -> ModelMeasure:
    """
    Volume in mm3, surface, box and faults of a model file.

    Args:
        content: The whole file, at most 200 MB; at most 2000000 triangles are read.
        filename: Its name: the ending (.stl, .obj, .3mf, .ply) tells what it is.
        unit: Unit it was drawn in, for files that state none; None assumes mm. A 3MF states its own.

    Returns:
        A :class:`ModelMeasure`; exact for a closed surface; one that runs through itself is not detected.

    Raises:
        BadInput: the file is of another kind, damaged, too large, or holds things no model needs.

    Source:
        divergence-theorem, 3mf-core, practice
    """
    triangles, notes = read_triangles(content=content, filename=filename, unit=unit)
    found, joined = _closed_up(triangles)
    labels, number = body_labels(found=found)
    bodies = put_together(triangles=triangles, labels=labels, number=number)
    corners = triangles.reshape(-1, 3)
    size = (corners.max(axis=0) - corners.min(axis=0)).astype(np.float64)
    faults = _faults(found, bodies.meeting)
    if found.closed and bodies.volume_mm3 <= 1e-9:
        faults.append("It encloses no volume: it is a flat sheet.")
    notes += joined
    if bodies.turned:
        notes.append("Faces looked inwards and were turned outwards for the volume.")
    if bodies.hollows:
        notes.append(f"{_times(bodies.hollows, 'hollow was', 'hollows were')} taken off the volume.")
    if found.flat_triangles:
        notes.append(
            f"{_times(found.flat_triangles, 'triangle', 'triangles')} without area were passed over."
        )
    notes += _plausible(float(size.max()))
    return ModelMeasure(
        kind=filename.rpartition(".")[2].lower(),
        watertight=found.closed,
        sound=not faults,
        volume_mm3=bodies.volume_mm3,
        area_mm2=bodies.area_mm2,
        size_mm=(float(size[0]), float(size[1]), float(size[2])),
        triangles=len(triangles),
        bodies=number,
        faults=tuple(faults),
        notes=tuple(notes),
    )


def measure_upload(*, upload: BinaryIO, filename: str, unit: ModelUnit | None = None) -> ModelMeasure:
    """
    The same for an open file, never reading more than the limit.

    Args:
        upload: The open file, at its beginning.
        filename: Its name, as the user gave it.
        unit: Unit it was drawn in; None assumes mm.

    Returns:
        A :class:`ModelMeasure`.

    Raises:
        BadInput: the file cannot be used.
    """
    return measure_model(content=upload.read(MAX_FILE_BYTES + 1), filename=filename, unit=unit)


def measure_file(*, path: Path, unit: ModelUnit | None = None) -> ModelMeasure:
    """
    The same for a file on disk.

    Args:
        path: Where it lies.
        unit: Unit it was drawn in; None assumes mm.

    Returns:
        A :class:`ModelMeasure`.

    Raises:
        BadInput: there is no such file, it is no plain file, or it cannot be used.
    """
    try:
        # A pipe or a device would never end.
        if not path.is_file():
            raise refuse("there is no such file")
        with path.open("rb") as upload:
            return measure_upload(upload=upload, filename=path.name, unit=unit)
    except OSError:
        raise refuse("this file cannot be opened") from None

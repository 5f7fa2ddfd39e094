"""Model files written and measured by trimesh, read and measured by us."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
import trimesh

from gemcalc.models import KINDS, measure_model
from tests.outside.limits import keeps


def ring_with_claws() -> trimesh.Trimesh:
    """A band and four claws that stand apart from it: five bodies."""
    parts = [trimesh.creation.annulus(r_min=8.66, r_max=10.46, height=4.0, sections=256)]
    for number in range(4):
        claw = trimesh.creation.capsule(height=4.0, radius=0.5)
        claw.apply_translation([14.0 + 2 * number, 0, 0])
        parts.append(claw)
    return trimesh.util.concatenate(parts)


def hollow_sphere() -> trimesh.Trimesh:
    inner = trimesh.creation.icosphere(subdivisions=4, radius=8.0)
    inner.invert()
    return trimesh.util.concatenate([trimesh.creation.icosphere(subdivisions=4, radius=10.0), inner])


SOLIDS: dict[str, Callable[[], trimesh.Trimesh]] = {
    "box": lambda: trimesh.creation.box(extents=(20.0, 18.0, 4.0)),
    "torus": lambda: trimesh.creation.torus(major_radius=9.5, minor_radius=1.0),
    "ball": lambda: trimesh.creation.icosphere(subdivisions=4, radius=10.0),
    "ring with claws": ring_with_claws,
    "hollow ball": hollow_sphere,
}


def written(mesh: trimesh.Trimesh, kind: str) -> bytes:
    data = mesh.export(file_type=kind)
    return data.encode() if isinstance(data, str) else bytes(data)


@pytest.mark.parametrize("kind", [*KINDS, "stl_ascii"])
@pytest.mark.parametrize("name", SOLIDS)
def test_solid_in_every_kind_of_file(name: str, kind: str) -> None:
    mesh = SOLIDS[name]()
    found = measure_model(content=written(mesh, kind), filename=f"solid.{kind.removesuffix('_ascii')}")
    assert found.watertight
    assert found.sound
    assert found.faults == ()
    assert found.triangles == len(mesh.faces)
    assert found.bodies == mesh.body_count
    # Binary STL keeps seven digits of a coordinate.
    assert found.volume_mm3 == pytest.approx(mesh.volume, rel=2e-6)
    assert found.area_mm2 == pytest.approx(mesh.area, rel=2e-6)
    assert found.size_mm == pytest.approx(tuple(mesh.extents), abs=1e-5)


@pytest.mark.parametrize("kind", KINDS)
def test_a_hole_is_seen_as_trimesh_sees_it(kind: str) -> None:
    mesh = SOLIDS["torus"]()
    mesh.update_faces(np.arange(len(mesh.faces)) > 6)
    assert not mesh.is_watertight
    found = measure_model(content=written(mesh, kind), filename=f"holed.{kind}")
    assert not found.watertight
    assert not found.sound
    assert "hole" in found.faults[0]


@pytest.mark.parametrize("kind", KINDS)
def test_turned_faces_are_seen_as_trimesh_sees_them(kind: str) -> None:
    mesh = SOLIDS["ball"]()
    mesh.faces[:20] = mesh.faces[:20, ::-1]
    assert mesh.is_watertight
    assert not mesh.is_winding_consistent
    found = measure_model(content=written(mesh, kind), filename=f"twisted.{kind}")
    assert found.watertight
    assert not found.sound
    assert "inside and outside" in " ".join(found.faults)


def test_far_from_the_origin_nothing_is_lost() -> None:
    mesh = trimesh.creation.box(extents=(20.0, 18.0, 4.0))
    mesh.apply_translation([2000.0, -1500.0, 900.0])
    found = measure_model(content=written(mesh, "stl"), filename="far.stl")
    assert found.volume_mm3 == pytest.approx(1440.0, rel=1e-6)


def test_worst_gap_of_all_solids() -> None:
    gaps = []
    for make in SOLIDS.values():
        mesh = make()
        for kind in KINDS:
            found = measure_model(content=written(mesh, kind), filename=f"solid.{kind}")
            gaps.append(abs(100 * found.volume_mm3 / mesh.volume - 100))
    keeps("models-trimesh", max(gaps))


def test_box_cylinder_and_ball_by_textbook() -> None:
    ball = measure_model(content=written(SOLIDS["ball"](), "stl"), filename="ball.stl")
    # An inscribed mesh of 5120 triangles stays a quarter of a percent below the true ball.
    assert ball.volume_mm3 == pytest.approx(4 / 3 * math.pi * 1000, rel=4e-3)
    cube = measure_model(content=written(SOLIDS["box"](), "stl"), filename="box.stl")
    assert cube.volume_mm3 == pytest.approx(20 * 18 * 4, rel=1e-6)
    assert cube.area_mm2 == pytest.approx(2 * (20 * 18 + 20 * 4 + 18 * 4), rel=1e-6)

"""Band volumes against meshes of trimesh, built here from the words that define each profile."""

from __future__ import annotations

import math

import numpy as np
import pytest
import trimesh
from shapely import Polygon

from gemcalc.bands import band, head_allowance
from gemcalc.profiles import PROFILES, section_outline
from tests.outside.limits import keeps

SECTIONS = 360
CURVE = 200


def section(profile: str, width: float, thickness: float) -> np.ndarray:
    """Closed outline (along the finger, above the finger), anticlockwise, from the profile's definition."""
    # Closer together towards the edges, where an ellipse is steepest.
    x = -width / 2 * np.cos(np.linspace(0, math.pi, CURVE))
    dome = np.sqrt(np.clip(1 - (2 * x / width) ** 2, 0, 1))
    corners = {
        "flat": ([-width / 2, width / 2], [0, 0], [-width / 2, width / 2], [thickness, thickness]),
        "half-round": (x, 0 * x, x, thickness * dome),
        "court": (x, thickness / 2 * (1 - dome), x, thickness / 2 * (1 + dome)),
        "comfort": (x, thickness / 4 * (1 - dome), [-width / 2, width / 2], [thickness, thickness]),
        "knife-edge": (
            [-width / 2, width / 2],
            [0, 0],
            [-width / 2, 0, width / 2],
            [thickness / 2, thickness, thickness / 2],
        ),
    }[profile]
    inner_x, inner_y, outer_x, outer_y = (np.asarray(part, dtype=float) for part in corners)
    outline = np.column_stack([np.r_[inner_x, outer_x[::-1]], np.r_[inner_y, outer_y[::-1]]])
    step = np.linalg.norm(outline - np.roll(outline, 1, axis=0), axis=1)
    return outline[step > 1e-9]


def lofted(
    profile: str, width: tuple[float, float], thickness: tuple[float, float], inside: float
) -> trimesh.Trimesh:
    """Sections set round the finger, growing from the top to the back alike on both sides."""
    rings = []
    for number in range(SECTIONS):
        angle = 2 * math.pi * number / SECTIONS
        share = 1 - abs(angle / math.pi - 1)
        flat = section(
            profile,
            width[0] + share * (width[1] - width[0]),
            thickness[0] + share * (thickness[1] - thickness[0]),
        )
        radius = inside / 2 + flat[:, 1]
        rings.append(np.column_stack([radius * math.cos(angle), radius * math.sin(angle), flat[:, 0]]))
    points = len(rings[0])
    ring, point = np.meshgrid(np.arange(SECTIONS), np.arange(points), indexing="ij")
    a = ring * points + point
    b = (ring + 1) % SECTIONS * points + point
    c = (ring + 1) % SECTIONS * points + (point + 1) % points
    d = ring * points + (point + 1) % points
    faces = np.concatenate([np.stack([a, b, c], -1).reshape(-1, 3), np.stack([a, c, d], -1).reshape(-1, 3)])
    mesh = trimesh.Trimesh(np.concatenate(rings), faces, process=False)
    assert mesh.is_watertight
    return mesh


def gap_pct(ours: float, mesh: trimesh.Trimesh) -> float:
    return abs(100 * ours / abs(mesh.volume) - 100)


EVEN = [
    ("flat", 4.0, 1.8, 17.32),
    ("half-round", 3.0, 1.6, 16.51),
    ("court", 5.0, 2.0, 19.76),
    ("comfort", 6.0, 2.0, 20.57),
    ("knife-edge", 2.5, 2.0, 16.51),
]


@pytest.mark.parametrize(("profile", "width", "thickness", "inside"), EVEN)
def test_even_band(profile: str, width: float, thickness: float, inside: float) -> None:
    ours = band(profile=profile, width_mm=width, thickness_mm=thickness, inside_diameter_mm=inside)
    mesh = lofted(profile, (width, width), (thickness, thickness), inside)
    assert gap_pct(ours.volume_mm3, mesh) < 0.1
    outline = section(profile, width, thickness)
    revolved = trimesh.creation.revolve(
        np.column_stack([inside / 2 + outline[:, 1], outline[:, 0]])[[*range(len(outline)), 0]],
        sections=SECTIONS,
    )
    assert gap_pct(ours.volume_mm3, revolved) < 0.1


TAPERED = [
    ("flat", (4.0, 2.2), (1.8, 1.5), 17.32),
    ("half-round", (6.0, 2.4), (2.4, 1.5), 16.51),
    ("court", (2.0, 5.0), (1.4, 2.4), 18.95),
    ("comfort", (7.0, 3.0), (2.2, 1.6), 20.57),
    ("knife-edge", (3.0, 2.0), (2.6, 1.6), 15.70),
]


@pytest.mark.parametrize(("profile", "width", "thickness", "inside"), TAPERED)
def test_tapered_shank(
    profile: str, width: tuple[float, float], thickness: tuple[float, float], inside: float
) -> None:
    ours = band(
        profile=profile,
        width_mm=width[0],
        width_end_mm=width[1],
        thickness_mm=thickness[0],
        thickness_end_mm=thickness[1],
        inside_diameter_mm=inside,
    )
    assert gap_pct(ours.volume_mm3, lofted(profile, width, thickness, inside)) < 0.1


def test_worst_gap_of_all_bands() -> None:
    gaps = [
        gap_pct(
            band(profile=p, width_mm=w, thickness_mm=t, inside_diameter_mm=d).volume_mm3,
            lofted(p, (w, w), (t, t), d),
        )
        for p, w, t, d in EVEN
    ]
    gaps += [
        gap_pct(
            band(
                profile=p,
                width_mm=w[0],
                width_end_mm=w[1],
                thickness_mm=t[0],
                thickness_end_mm=t[1],
                inside_diameter_mm=d,
            ).volume_mm3,
            lofted(p, w, t, d),
        )
        for p, w, t, d in TAPERED
    ]
    keeps("bands-trimesh", max(gaps))


@pytest.mark.parametrize("profile", PROFILES)
def test_area_and_centroid_in_shapely(profile: str) -> None:
    polygon = Polygon(section(profile, 5.0, 2.0))
    shape = PROFILES[profile]
    assert shape.area_factor * 10.0 == pytest.approx(polygon.area, rel=2e-4)
    assert shape.centroid_factor * 2.0 == pytest.approx(polygon.centroid.y, rel=2e-4)


@pytest.mark.parametrize("profile", PROFILES)
def test_drawn_outline_is_the_defined_one(profile: str) -> None:
    """What is drawn is valid, anticlockwise and differs from the words by 0.002 mm² at most."""
    drawn = Polygon(section_outline(profile=profile, width_mm=5.0, thickness_mm=2.0, steps=200))
    assert drawn.is_valid
    assert drawn.exterior.is_ccw
    assert drawn.symmetric_difference(Polygon(section(profile, 5.0, 2.0))).area < 0.002


def test_rails_and_claws_of_a_head() -> None:
    rail = trimesh.creation.torus(major_radius=3.0, minor_radius=0.4, major_sections=720, minor_sections=180)
    claw = trimesh.creation.cylinder(radius=0.5, height=5.0, sections=720)
    ours = head_allowance(
        claws=4, claw_diameter_mm=1.0, claw_length_mm=5.0, rail_diameters_mm=(6.0,), rail_wire_mm=0.8
    )
    assert ours.rails_mm3 == pytest.approx(rail.volume, rel=1e-3)
    assert ours.claws_mm3 == pytest.approx(4 * claw.volume, rel=1e-3)

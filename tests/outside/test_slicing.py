"""Cuts through a model against those of trimesh, a library of its own."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh

from gemcalc.meshes.slicing import openings_at


def _length(points: np.ndarray) -> float:
    return float(np.hypot(*(np.roll(points, -1, axis=0) - points).T).sum())


@pytest.mark.parametrize("level", [-1.0, -0.2, 0.41, 0.9])
def test_another_slicer_cuts_the_same_opening(level):
    """
    A conical bore in a ring, tilted a little: the line round the opening is as long as trimesh cuts it, and it
    lies where trimesh has it.
    """
    ring = trimesh.creation.annulus(r_min=3.3, r_max=6.0, height=3.0, sections=180)
    ring.vertices[:, :2] *= (1 + 0.04 * ring.vertices[:, 2])[:, None]
    ring.apply_transform(trimesh.transformations.rotation_matrix(0.05, (1, 0.3, 0)))
    found = openings_at(triangles=np.asarray(ring.triangles), axis="z", level_mm=level)
    assert len(found) == 1
    cut = trimesh.intersections.mesh_plane(ring, (0, 0, 1), (0, 0, level))[:, :, :2]
    inner = cut[np.hypot(*cut.mean(axis=1).T) < 4.6]
    theirs = float(np.hypot(*(inner[:, 1] - inner[:, 0]).T).sum())
    assert _length(found[0].points_mm) == pytest.approx(theirs, abs=2e-4)
    assert np.ptp(found[0].points_mm, axis=0) == pytest.approx(np.ptp(inner.reshape(-1, 2), axis=0), abs=1e-5)

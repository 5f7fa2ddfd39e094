"""The command face of the metal figures: keys in, keys out, errors that name the field."""

from __future__ import annotations

import json
import math
import struct
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gemcalc.__main__ import answer
from gemcalc.cli.metals import alloy, band, casting, model
from gemcalc.errors import BadInput

FLAT = {"profile": "flat", "width_mm": 4.0, "thickness_mm": 1.8, "inside_diameter_mm": 17.32}


def run(name: str, data: bytes) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [sys.executable, "-m", "gemcalc", name], input=data, capture_output=True, timeout=60, check=False
    )


def test_one_object_in_and_one_out() -> None:
    done = run("band", json.dumps(FLAT | {"alloy": "18ct yellow"}).encode())
    assert done.returncode == 0
    assert done.stderr == b""
    found = json.loads(done.stdout)
    assert found["volume_mm3"] == pytest.approx(432.484, abs=5e-4)
    assert found["mass_g"] == pytest.approx(0.432484 * 15.5, abs=1e-4)
    assert found["centroid_radius_mm"] == pytest.approx(9.56)


def test_an_error_names_the_field_on_the_other_stream() -> None:
    done = run("casting", b'{"pattern_mass_g": "five", "alloy": "18ct yellow"}')
    assert done.returncode == 2
    assert done.stdout == b""
    assert json.loads(done.stderr) == {"error": {"field": "pattern_mass_g", "message": "must be a number"}}


def test_alloy_by_composition_and_by_name() -> None:
    found = alloy({"composition": {"Au": 75, "Ni": "17,3", "Cu": 2.2, "Zn": 5.5}})
    assert found["density"] == pytest.approx(14.607, abs=5e-4)
    assert found["fineness_ppt"]["Au"] == 750
    assert found["nickel"] == "contains"
    assert found["low"] < found["density"] < found["high"]
    named = alloy({"name": "9ct white"})
    assert (named["nickel"], named["fineness_ppt"]) == ("unknown", {"Au": 375})
    assert alloy({"name": "sterling"})["fineness_ppt"] == {"Ag": 925, "Cu": 75}


def test_tapered_band_has_no_one_centroid() -> None:
    found = band(FLAT | {"width_end_mm": 2.5, "thickness_end_mm": "1,5"})
    assert "centroid_radius_mm" not in found
    assert found["mass_g"] is None
    assert found["volume_mm3"] < band(FLAT)["volume_mm3"]


def test_the_density_of_a_sheet_stands_before_the_table() -> None:
    assert band(FLAT | {"alloy": "18ct yellow", "density": 16})["density"] == 16


def test_casting_defaults() -> None:
    found = casting({"pattern_mass_g": 5, "density": 13.5})
    assert found["cast_mass_g"] == pytest.approx(67.5)
    assert found["pour_mass_g"] == pytest.approx(74.25)
    assert found["finished_mass_g"] == pytest.approx(59.4)


def tetrahedron(path: Path) -> Path:
    corners = [(0, 0, 0), (20, 0, 0), (0, 20, 0), (0, 0, 20)]
    faces = [(0, 2, 1), (0, 1, 3), (0, 3, 2), (1, 2, 3)]
    body = b"".join(
        struct.pack("<12fH", 0, 0, 0, *(n for i in face for n in corners[i]), 0) for face in faces
    )
    path.write_bytes(b"\0" * 80 + struct.pack("<I", 4) + body)
    return path


def test_model(tmp_path: Path) -> None:
    path = tetrahedron(tmp_path / "ring.STL")
    found = model({"path": str(path), "alloys": ["18ct yellow", "Pt950Ru"]})
    assert found["watertight"] is True
    assert found["volume_mm3"] == pytest.approx(8000 / 6)
    assert found["area_mm2"] == pytest.approx(600 + math.sqrt(3) / 4 * 800)
    assert found["size_mm"] == [20, 20, 20]
    assert found["triangles"] == 4
    assert found["mass_g"]["Pt950Ru"] == pytest.approx(8000 / 6 * 20.7 / 1000)
    assert found["pour_mass_g"]["Pt950Ru"] == pytest.approx(1.1 * found["mass_g"]["Pt950Ru"])
    assert found["finished_mass_g"]["Pt950Ru"] == pytest.approx(0.88 * found["mass_g"]["Pt950Ru"])
    assert found["faults"] == []
    assert model({"path": str(path), "unit": "inch"})["size_mm"] == pytest.approx([508, 508, 508])
    assert model({"path": str(path)})["mass_g"] == {}


BAD: list[tuple[str, dict[str, Any], str | None]] = [
    ("alloy", {}, "name"),
    ("alloy", {"name": 5}, "name"),
    ("alloy", {"name": "18ct white"}, "name"),
    ("alloy", {"composition": []}, "composition"),
    ("alloy", {"composition": {}}, "composition"),
    ("alloy", {"composition": {"Xx": 100}}, "composition"),
    ("alloy", {"composition": {"Ag": 90}}, "composition"),
    ("alloy", {"composition": {"Ag": "much"}}, "composition"),
    ("alloy", {"composition": {"Ag": -5, "Cu": 105}}, "composition"),
    ("alloy", {"composition": {"Ag": None}}, "composition"),
    ("band", {}, "profile"),
    ("band", FLAT | {"profile": "oval"}, "profile"),
    ("band", FLAT | {"width_mm": 0}, "width_mm"),
    ("band", FLAT | {"width_mm": True}, "width_mm"),
    ("band", FLAT | {"thickness_mm": "1e999"}, "thickness_mm"),
    ("band", FLAT | {"inside_diameter_mm": [17]}, "inside_diameter_mm"),
    ("band", FLAT | {"width_end_mm": -2}, "width_end_mm"),
    ("band", FLAT | {"thickness_end_mm": {}}, "thickness_end_mm"),
    ("band", FLAT | {"alloy": "tin foil"}, "alloy"),
    ("band", FLAT | {"density": 99}, "density"),
    ("casting", {}, "pattern_mass_g"),
    ("casting", {"pattern_mass_g": 5}, "alloy"),
    ("casting", {"pattern_mass_g": 0, "density": 13}, "pattern_mass_g"),
    ("casting", {"pattern_mass_g": 5, "density": 13, "button_pct": -1}, "button_pct"),
    ("casting", {"pattern_mass_g": 5, "density": 13, "finishing_loss_pct": 100}, "finishing_loss_pct"),
    ("casting", {"pattern_mass_g": 5, "density": 13, "pattern_density": 0}, "pattern_density"),
    ("model", {}, "path"),
    ("model", {"path": "no/such.stl"}, "path"),
    ("model", {"path": "a\0b.stl"}, "path"),
    ("model", {"path": "x" * 10_000 + ".stl"}, "path"),
    ("model", {"path": "/dev/zero"}, "path"),
    ("model", {"path": "."}, "path"),
    ("model", {"path": "ring.stl", "alloys": "18ct yellow"}, "alloys"),
    ("model", {"path": "ring.stl", "alloys": ["cheese"]}, "alloys"),
    ("model", {"path": "ring.stl", "alloys": [["18ct yellow"]]}, "alloys"),
    ("model", {"path": "ring.stl", "unit": "cubit"}, "unit"),
]


@pytest.mark.parametrize(("name", "data", "field"), BAD)
def test_bad_input_names_its_field(name: str, data: dict[str, Any], field: str | None) -> None:
    with pytest.raises(BadInput) as caught:
        answer(name, data)
    assert caught.value.field == field
    assert caught.value.message


FIELDS = [
    *FLAT,
    "width_end_mm",
    "thickness_end_mm",
    "alloy",
    "density",
    "name",
    "composition",
    "pattern_mass_g",
    "pattern_density",
    "button_pct",
    "finishing_loss_pct",
    "path",
    "alloys",
    "unit",
]
anything = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats()
    | st.text(max_size=8)
    | st.sampled_from(["flat", "Ag925"]),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(["Au", "Ag", "x"]), inner, max_size=3)
    ),
    max_leaves=5,
)


@given(
    st.sampled_from(["alloy", "band", "casting", "model"]),
    st.dictionaries(st.sampled_from(FIELDS), anything, max_size=8),
)
def test_whatever_comes_in_is_answered_or_refused_in_words(name: str, data: dict[str, Any]) -> None:
    try:
        found = answer(name, data)
    except BadInput as error:
        assert error.message
    else:
        json.dumps(found, allow_nan=False)

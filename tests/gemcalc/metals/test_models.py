"""Model files that are wrong, hostile or odd: each is refused or explained in words."""

from __future__ import annotations

import io
import struct
import tracemalloc
import zipfile
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gemcalc.errors import BadInput
from gemcalc.meshes import limits, threemf, threemf_parts
from gemcalc.meshes.topology import _point_ids, closure
from gemcalc.models import ModelMeasure, measure_file, measure_model, measure_upload

Faces = list[tuple[int, int, int]]

CUBE = np.array([[x, y, z] for x in (0, 1) for y in (0, 1) for z in (0, 1)], dtype=float) * 20
CUBE_FACES: Faces = [
    (0, 1, 3), (0, 3, 2), (4, 6, 7), (4, 7, 5), (0, 4, 5), (0, 5, 1),
    (2, 3, 7), (2, 7, 6), (0, 2, 6), (0, 6, 4), (1, 5, 7), (1, 7, 3),
]  # fmt: skip


def stl(vertices: np.ndarray, faces: Faces, *, header: bytes = b"", declared: int | None = None) -> bytes:
    body = b"".join(
        struct.pack("<12fH", 0, 0, 0, *(float(n) for i in face for n in vertices[i]), 0) for face in faces
    )
    count = len(faces) if declared is None else declared
    return header.ljust(80, b"\0") + struct.pack("<I", count) + body


def mesh_xml(vertices: np.ndarray, faces: Faces) -> str:
    points = "".join(f'<vertex x="{x}" y="{y}" z="{z}"/>' for x, y, z in vertices)
    sides = "".join(f'<triangle v1="{a}" v2="{b}" v3="{c}"/>' for a, b, c in faces)
    return f"<mesh><vertices>{points}</vertices><triangles>{sides}</triangles></mesh>"


CUBE_XML = mesh_xml(CUBE, CUBE_FACES)
NAMESPACE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"


def model_xml(resources: str, build: str, *, unit: str = "millimeter", head: str = "") -> str:
    return (
        f'<?xml version="1.0" encoding="UTF-8"?>{head}<model unit="{unit}" xmlns="{NAMESPACE}">'
        f"<resources>{resources}</resources><build>{build}</build></model>"
    )


def threemf_file(xml: str | bytes, *, name: str = "3D/3dmodel.model") -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(name, xml)
    return out.getvalue()


def cube_3mf(build: str = '<item objectid="1"/>', *, unit: str = "millimeter") -> bytes:
    return threemf_file(model_xml(f'<object id="1">{CUBE_XML}</object>', build, unit=unit))


def measured(content: bytes, name: str = "ring.stl") -> ModelMeasure:
    return measure_model(content=content, filename=name)


def refusal(content: bytes, name: str = "ring.stl") -> str:
    with pytest.raises(BadInput) as caught:
        measured(content, name)
    assert caught.value.field == "path"
    return caught.value.message


def test_the_cube_is_sound() -> None:
    found = measured(stl(CUBE, CUBE_FACES))
    assert (found.watertight, found.sound, found.bodies, found.triangles) == (True, True, 1, 12)
    assert found.volume_mm3 == pytest.approx(8000)
    assert found.notes == ("STL states no unit: millimetres are assumed.",)


def test_a_binary_stl_may_begin_with_solid() -> None:
    assert measured(stl(CUBE, CUBE_FACES, header=b"solid ring vertex")).volume_mm3 == pytest.approx(8000)


def test_bytes_after_the_last_triangle_are_told() -> None:
    assert "5 bytes after" in " ".join(measured(stl(CUBE, CUBE_FACES) + b"extra").notes)


def test_inside_out_is_turned_and_told() -> None:
    found = measured(stl(CUBE, [(a, c, b) for a, b, c in CUBE_FACES]))
    assert found.volume_mm3 == pytest.approx(8000)
    assert "looked inwards" in " ".join(found.notes)


def test_one_missing_face() -> None:
    found = measured(stl(CUBE, CUBE_FACES[1:]))
    assert not found.watertight
    assert "3 edges have a face on one side only" in found.faults[0]


def test_a_doubled_face() -> None:
    found = measured(stl(CUBE, [*CUBE_FACES, CUBE_FACES[0]]))
    assert not found.watertight
    assert "More than two faces meet at 3 edges" in found.faults[0]


def test_one_face_turned() -> None:
    a, b, c = CUBE_FACES[0]
    found = measured(stl(CUBE, [(a, c, b), *CUBE_FACES[1:]]))
    assert found.watertight
    assert not found.sound
    assert "along 3 edges" in found.faults[0]


def test_triangles_without_area_are_passed_over() -> None:
    found = measured(stl(CUBE, [*CUBE_FACES, (0, 0, 1), (2, 2, 2)]))
    assert found.sound
    assert "2 triangles without area" in " ".join(found.notes)


def test_a_flat_sheet_encloses_nothing() -> None:
    found = measured(stl(CUBE, [(0, 1, 3), (0, 3, 1)]))
    assert not found.sound
    assert "flat sheet" in " ".join(found.faults)


def test_corners_apart_by_rounding_are_joined_and_told() -> None:
    rng = np.random.default_rng(7)
    body = [CUBE[list(face)] + rng.uniform(-4e-4, 4e-4, (3, 3)) for face in CUBE_FACES]
    faces: Faces = [(3 * n, 3 * n + 1, 3 * n + 2) for n in range(len(body))]
    found = measured(stl(np.concatenate(body), faces))
    assert found.watertight
    assert "taken as one" in " ".join(found.notes)
    assert found.volume_mm3 == pytest.approx(8000, rel=1e-3)


def two_cubes(shift: float, size: float = 1.0, *, inwards: bool = False) -> ModelMeasure:
    other = CUBE * size + shift
    faces = [(a + 8, c + 8, b + 8) if inwards else (a + 8, b + 8, c + 8) for a, b, c in CUBE_FACES]
    return measured(stl(np.concatenate([CUBE, other]), [*CUBE_FACES, *faces]))


def test_bodies_apart() -> None:
    found = two_cubes(30.0)
    assert (found.sound, found.bodies) == (True, 2)
    assert found.volume_mm3 == pytest.approx(16_000)


def test_bodies_that_run_into_each_other() -> None:
    found = two_cubes(10.0)
    assert found.watertight
    assert not found.sound
    assert "counted twice" in found.faults[0]


def test_a_hollow_is_taken_off() -> None:
    found = two_cubes(5.0, 0.5, inwards=True)
    assert found.sound
    assert found.volume_mm3 == pytest.approx(7000)
    assert "1 hollow was taken off" in " ".join(found.notes)


def test_a_separate_body_inside_out_is_turned() -> None:
    found = two_cubes(30.0, inwards=True)
    assert found.volume_mm3 == pytest.approx(16_000)
    assert "turned outwards" in " ".join(found.notes)


@pytest.mark.parametrize(
    ("factor", "phrase"),
    [(1 / 25.4, "drawn in inch"), (0.1, "drawn in cm"), (0.001, "drawn in m "), (50.0, "check the unit")],
)
def test_an_unlikely_size_is_remarked_upon(factor: float, phrase: str) -> None:
    assert phrase in " ".join(measured(stl(CUBE * factor, CUBE_FACES)).notes)


def test_the_unit_can_be_given() -> None:
    found = measure_model(content=stl(CUBE / 25.4, CUBE_FACES), filename="ring.stl", unit="inch")
    assert found.volume_mm3 == pytest.approx(8000, rel=1e-5)
    with pytest.raises(BadInput) as caught:
        measure_model(content=stl(CUBE, CUBE_FACES), filename="ring.stl", unit="ell")  # type: ignore[arg-type]
    assert caught.value.field == "unit"


def test_stl_refusals() -> None:
    good = stl(CUBE, CUBE_FACES)
    assert "empty" in refusal(b"")
    assert "too short" in refusal(b"\0" * 83)
    assert "no triangles" in refusal(stl(CUBE, []))
    assert "says it has 12 triangles but holds 11" in refusal(good[:-1])
    assert "4,294,967,295" in refusal(stl(CUBE, CUBE_FACES, declared=2**32 - 1))
    assert ".stl" in refusal(good, "ring.step")
    assert ".stl" in refusal(good, "stl")
    for value in (float("nan"), float("inf"), -float("inf")):
        broken = CUBE.copy()
        broken[3, 1] = value
        assert "not numbers" in refusal(stl(broken, CUBE_FACES))
    assert "from the origin" in refusal(stl(CUBE + 1e6, CUBE_FACES))
    assert "from the origin" in refusal(stl(CUBE * 1e30, CUBE_FACES))


WORDS = "solid ring\n" + "".join(
    "facet normal 0 0 0\n outer loop\n"
    + "".join(f"  vertex {' '.join(str(n) for n in CUBE[i])}\n" for i in face)
    + " endloop\nendfacet\n"
    for face in CUBE_FACES
)


def test_stl_in_words() -> None:
    assert measured(WORDS.encode()).volume_mm3 == pytest.approx(8000)
    assert measured(WORDS.upper().encode()).volume_mm3 == pytest.approx(8000)
    assert "middle of a triangle" in refusal(WORDS[: WORDS.rindex("  vertex")].encode())
    assert "three numbers" in refusal(WORDS.replace("vertex 0.0 0.0 0.0", "vertex 0.0 0.0", 1).encode())
    assert "three numbers" in refusal(WORDS.replace("vertex 0.0", "vertex zero", 1).encode())
    assert "not numbers" in refusal(WORDS.replace("vertex 0.0", "vertex nan", 1).encode())


def test_too_many_triangles(monkeypatch: pytest.MonkeyPatch) -> None:
    for module in (limits, threemf, threemf_parts):
        monkeypatch.setattr(module, "MAX_TRIANGLES", 11)
    assert "12 triangles and at most 11" in refusal(stl(CUBE, CUBE_FACES))
    assert "at most 11" in refusal(cube_3mf(), "ring.3mf")


def test_too_large_a_file(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr("gemcalc.models.MAX_FILE_BYTES", 500)
    assert "larger than" in refusal(stl(CUBE, CUBE_FACES))
    path = tmp_path / "ring.stl"
    path.write_bytes(stl(CUBE, CUBE_FACES))
    with pytest.raises(BadInput, match="larger than"):
        measure_file(path=path)
    upload = io.BytesIO(stl(CUBE, CUBE_FACES))
    with pytest.raises(BadInput, match="larger than"):
        measure_upload(upload=upload, filename="ring.stl")
    assert upload.tell() == 501


OBJ = "".join(f"v {x} {y} {z}\n" for x, y, z in CUBE) + "".join(
    f"f {a + 1} {b + 1} {c + 1}\n" for a, b, c in CUBE_FACES
)
PLY = (
    "ply\nformat ascii 1.0\nelement vertex 8\nproperty float x\nproperty float y\nproperty float z\n"
    "element face 12\nproperty list uchar int vertex_indices\nend_header\n"
    + "".join(f"{x} {y} {z}\n" for x, y, z in CUBE)
    + "".join(f"3 {a} {b} {c}\n" for a, b, c in CUBE_FACES)
)


def test_obj_and_ply() -> None:
    assert measured(OBJ.encode(), "ring.obj").volume_mm3 == pytest.approx(8000)
    assert measured(b"mtllib ../../secret.mtl\n" + OBJ.encode(), "ring.obj").sound
    assert measured(PLY.encode(), "ring.PLY").volume_mm3 == pytest.approx(8000)


@pytest.mark.parametrize(
    ("content", "name", "phrase"),
    [
        ("v 0 0 0\n", "a.obj", "no faces"),
        (OBJ.replace("f 1 2", "f 1 99", 1), "a.obj", ""),
        (OBJ.replace("v 0.0", "v nan", 1), "a.obj", ""),
        (OBJ.replace("f 1 2", "f one two", 1), "a.obj", ""),
        ("hello", "a.ply", "not a PLY"),
        ("ply\nformat ascii 1.0\nelement vertex 8\n", "a.ply", "does not end"),
        (PLY.replace("face 12", "face 999999999"), "a.ply", "999,999,999"),
        (PLY.replace("vertex 8", "vertex 99999999999999999999"), "a.ply", "not a number"),
        (PLY.replace("vertex 8", "vertex -8"), "a.ply", "not a number"),
        (PLY.replace("vertex 8", "vertex 100"), "a.ply", ""),
        (PLY.replace("3 0 1", "3 0 77", 1), "a.ply", ""),
        (PLY[:300], "a.ply", ""),
    ],
)
def test_damaged_obj_and_ply(content: str, name: str, phrase: str) -> None:
    assert phrase in refusal(content.encode(), name)


def test_3mf_units_transforms_and_components() -> None:
    assert measured(cube_3mf(), "ring.3mf").volume_mm3 == pytest.approx(8000)
    assert measured(cube_3mf(unit="inch"), "ring.3mf").volume_mm3 == pytest.approx(8000 * 25.4**3)
    mirrored = '<item objectid="1" transform="-2 0 0 0 1 0 0 0 1 50 0 0"/>'
    found = measured(cube_3mf(mirrored), "ring.3mf")
    assert found.volume_mm3 == pytest.approx(16_000)
    assert found.size_mm == (40, 20, 20)
    assert "looked inwards" not in " ".join(found.notes)
    pair = (
        f'<object id="1">{CUBE_XML}</object><object id="2"><components><component objectid="1"/>'
        '<component objectid="1" transform="1 0 0 0 1 0 0 0 1 0 0 30"/></components></object>'
    )
    twice = measured(threemf_file(model_xml(pair, '<item objectid="2"/>')), "ring.3mf")
    assert (twice.bodies, twice.triangles) == (2, 24)
    assert twice.volume_mm3 == pytest.approx(16_000)
    assert measured(cube_3mf(""), "ring.3mf").volume_mm3 == pytest.approx(8000)


LAUGHS = '<!DOCTYPE m [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>'


def test_3mf_with_entities_is_not_read() -> None:
    xml = model_xml(f'<object id="1">{CUBE_XML}</object>', '<item objectid="1"/>', head=LAUGHS)
    assert "entities" in refusal(threemf_file(xml), "ring.3mf")
    assert "entities" in refusal(threemf_file(xml.replace("UTF-8", "UTF-16").encode("utf-16")), "ring.3mf")
    outside = '<!DOCTYPE m SYSTEM "file:///etc/passwd">'
    xml = model_xml(f'<object id="1">{CUBE_XML}</object>', "", head=outside)
    assert "entities" in refusal(threemf_file(xml), "ring.3mf")


def test_3mf_that_unpacks_to_too_much_is_not_unpacked() -> None:
    out = io.BytesIO()
    with (
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive,
        archive.open("3D/3dmodel.model", "w") as part,
    ):
        for _ in range(201):
            part.write(b" " * 1024 * 1024)
    assert len(out.getvalue()) < 300_000
    tracemalloc.start()
    assert "unpacks to more than 200 MB" in refusal(out.getvalue(), "ring.3mf")
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 5_000_000


def test_3mf_that_lies_about_its_size_yields_no_more_than_it_says() -> None:
    """The directory says ten bytes where a megabyte is packed: the reader stops at ten."""
    content = threemf_file(b" " * 1024 * 1024)
    lying = content.replace(struct.pack("<I", 1024 * 1024), struct.pack("<I", 10))
    assert lying != content
    assert "3MF" in refusal(lying, "ring.3mf")


def test_3mf_whose_parts_multiply_is_not_multiplied() -> None:
    levels = [f'<object id="0">{CUBE_XML}</object>']
    for level in range(1, 13):
        tenfold = f'<component objectid="{level - 1}"/>' * 10
        levels.append(f'<object id="{level}"><components>{tenfold}</components></object>')
    xml = model_xml("".join(levels), '<item objectid="12"/>')
    assert "too often" in refusal(threemf_file(xml), "ring.3mf")
    endless = '<object id="1"><components><component objectid="1"/></components></object>'
    assert "too often" in refusal(threemf_file(model_xml(endless, '<item objectid="1"/>')), "ring.3mf")


@pytest.mark.parametrize(
    ("content", "phrase"),
    [
        (b"PK\x03\x04 not a zip", "damaged"),
        (cube_3mf()[:-30], "damaged"),
        (threemf_file("x", name="readme.txt"), "holds no model"),
        (threemf_file("<model"), "cannot be read"),
        (threemf_file(model_xml("", "")), "no triangles"),
        (cube_3mf('<item objectid="9"/>'), "not in it"),
        (cube_3mf('<item objectid="1" transform="1 2 3"/>'), "twelve numbers"),
        (cube_3mf('<item objectid="1" transform="nan 0 0 0 1 0 0 0 1 0 0 0"/>'), "twelve numbers"),
        (cube_3mf('<item objectid="1" transform="1e300 0 0 0 1e300 0 0 0 1e300 0 0 0"/>'), ""),
        (cube_3mf("<item/>"), "lacks its objectid"),
        (cube_3mf(unit="cubit"), "cubit"),
        (
            threemf_file(model_xml(f'<object id="1">{CUBE_XML.replace("v1", "w1")}</object>', "")),
            "lacks its v1",
        ),
        (
            threemf_file(model_xml(f'<object id="1">{CUBE_XML.replace("20.0", "wide")}</object>', "")),
            "not a number",
        ),
        (
            threemf_file(model_xml(f'<object id="1">{CUBE_XML.replace("20.0", "nan")}</object>', "")),
            "not numbers",
        ),
        (
            threemf_file(model_xml(f'<object id="1">{mesh_xml(CUBE, [(0, 1, 8)])}</object>', "")),
            "not in the file",
        ),
        (
            threemf_file(model_xml(f'<object id="1">{mesh_xml(CUBE, [(0, 1, 10**30)])}</object>', "")),
            "not a number",
        ),
        (threemf_file("<a>" * 100 + "</a>" * 100), "too deeply"),
        (threemf_file(model_xml('<object id="1"/>' * 20_001, "")), "more than 20,000 parts"),
    ],
)
def test_damaged_3mf(content: bytes, phrase: str) -> None:
    assert phrase in refusal(content, "ring.3mf")


def test_an_encrypted_3mf_is_refused() -> None:
    content = bytearray(cube_3mf())
    for signature, offset in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        content[content.find(signature) + offset] |= 1
    assert "encrypted" in refusal(bytes(content), "ring.3mf")


SEEDS = [
    (stl(CUBE, CUBE_FACES), "a.stl"),
    (WORDS.encode(), "a.stl"),
    (OBJ.encode(), "a.obj"),
    (PLY.encode(), "a.ply"),
    (cube_3mf(), "a.3mf"),
]


@settings(max_examples=300, deadline=None)
@given(st.sampled_from(SEEDS), st.data())
def test_any_damage_is_read_or_refused_in_words(seed: tuple[bytes, str], data: st.DataObject) -> None:
    content = bytearray(seed[0])
    for _ in range(data.draw(st.integers(1, 5))):
        content[data.draw(st.integers(0, len(content) - 1))] = data.draw(st.integers(0, 255))
    content = content[: data.draw(st.integers(0, len(content)))] if data.draw(st.booleans()) else content
    try:
        found = measured(bytes(content), seed[1])
    except BadInput as error:
        assert error.field == "path"
    else:
        assert np.isfinite([found.volume_mm3, found.area_mm2, *found.size_mm]).all()
        assert found.volume_mm3 >= 0


def test_points_are_numbered_exactly_even_when_digests_collide(monkeypatch: pytest.MonkeyPatch) -> None:
    corners = CUBE[np.array(CUBE_FACES)]
    honest, number = _point_ids(corners)
    assert number == 8
    monkeypatch.setattr(
        "gemcalc.meshes.topology._digest", lambda points: np.zeros(len(points), dtype=np.uint64)
    )
    forced, count = _point_ids(corners)
    assert count == 8
    pairs = set(zip(honest.reshape(-1).tolist(), forced.reshape(-1).tolist(), strict=True))
    assert len(pairs) == 8


def test_minus_nought_is_nought() -> None:
    corners = CUBE[np.array(CUBE_FACES)]
    corners[0][corners[0] == 0] = -0.0
    assert closure(triangles=corners).closed


def test_a_path_that_is_no_file(tmp_path: Path) -> None:
    for path in (tmp_path, tmp_path / "none.stl"):
        with pytest.raises(BadInput, match="no such file"):
            measure_file(path=path)


QUADS = [(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)]


def test_obj_with_quads_materials_textures_and_counting_from_the_end() -> None:
    points = "".join(f"v {x} {y} {z}\r\n" for x, y, z in CUBE)
    first = "".join("f " + " ".join(f"{i + 1}/1/1" for i in quad) + "\r\n" for quad in QUADS[:3])
    second = "".join("f " + " ".join(f"{i - 8}//1" for i in quad) + "\r\n" for quad in QUADS[3:])
    text = f"{points}vt 0 0\r\nvn 0 0 1\r\nusemtl a\r\no one\r\n{first}usemtl b\r\no two\r\n{second}"
    found = measured(text.encode(), "ring.obj")
    assert (found.sound, found.bodies, found.triangles) == (True, 1, 12)
    assert found.volume_mm3 == pytest.approx(8000)


def test_ply_with_triangles_and_quads_and_colours() -> None:
    text = (
        "ply\nformat ascii 1.0\ncomment made by hand\nelement vertex 8\nproperty double x\n"
        "property double y\nproperty double z\nproperty uchar red\nelement face 7\n"
        "property list uchar uint vertex_index\nend_header\n"
        + "".join(f"{x} {y} {z} 255\n" for x, y, z in CUBE)
        + "3 0 1 3\n3 0 3 2\n"
        + "".join(f"4 {' '.join(str(i) for i in quad)}\n" for quad in QUADS[1:])
    )
    found = measured(text.encode(), "ring.ply")
    assert (found.sound, found.triangles) == (True, 12)
    assert found.volume_mm3 == pytest.approx(8000)


def binary_ply(rows: list[tuple[int, ...]]) -> bytes:
    head = (
        "ply\nformat binary_little_endian 1.0\nelement vertex 8\nproperty float x\nproperty float y\n"
        f"property float z\nelement face {len(rows)}\nproperty list uchar int vertex_indices\nend_header\n"
    )
    points = b"".join(struct.pack("<3f", *(float(n) for n in point)) for point in CUBE)
    return head.encode() + points + b"".join(struct.pack(f"<B{len(row)}i", len(row), *row) for row in rows)


def test_binary_ply() -> None:
    assert measured(binary_ply([*CUBE_FACES]), "ring.ply").volume_mm3 == pytest.approx(8000)
    assert measured(binary_ply([*QUADS]), "ring.ply").volume_mm3 == pytest.approx(8000)
    assert "triangles only" in refusal(binary_ply([(0, 1, 3), (0, 3, 2), *QUADS[1:]]), "ring.ply")
    assert "cut short" in refusal(binary_ply([*CUBE_FACES])[:-20], "ring.ply")


@pytest.mark.parametrize(
    ("content", "name", "phrase"),
    [
        (b"solid x\nvertex 0 0 0\n" + b"\n" * 16_000_001, "a.stl", "more or longer lines"),
        (b"v 0 0 0\n" + b"\n" * 16_000_001, "a.obj", "more or longer lines"),
        (b"v 0 0 0\nf " + b"1 " * 60_000, "a.obj", "more or longer lines"),
        (b"v 0 0 0\nf 0 0 0\n", "a.obj", "line 2"),
        (b"v 0 0 0\nf 1 1\n", "a.obj", "line 2"),
        (b"f 1 2 3\n", "a.obj", "not in the file"),
        (b"v 0 0 0\nf -1 -1 -2\n", "a.obj", "not in the file"),
        (PLY.encode() + b"\n" * 5_000, "a.ply", "more lines than its header"),
        (
            PLY.replace("\nelement vertex 8", "\nelement vertex 1000001").encode().ljust(4_000_000),
            "a.ply",
            "in binary",
        ),
        (b"ply" + b" " * 64 * 1024 * 1024, "a.ply", "larger than 64 MB"),
        (threemf_file(f'<model xmlns="{NAMESPACE}" unit="' + "x" * 3_000_000 + '"/>'), "a.3mf", "megabyte"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_files_built_to_exhaust_the_reader(content: bytes, name: str, phrase: str) -> None:
    assert phrase in refusal(content, name)


@pytest.mark.slow
def test_3mf_of_endless_entries() -> None:
    xml = f'<model xmlns="{NAMESPACE}">' + "<a/>" * 4_000_001
    assert "entries" in refusal(threemf_file(xml), "ring.3mf")

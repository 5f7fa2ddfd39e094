"""Pages that take a file: scans, a model against the stone, CAD models; and files that mean harm."""

import io
import math
import random
import re
import struct
import zipfile

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse


@pytest.fixture
def send(inside):
    def post(name, values):
        return inside.post(reverse(f"figures:{name}"), values)

    return post


def text_of(answer) -> str:
    return answer.content.decode()


def named(content, name) -> SimpleUploadedFile:
    return SimpleUploadedFile(name, content if isinstance(content, bytes) else content.encode())


def values_of(text) -> list[str]:
    return [
        re.sub(r"<[^>]+>", "", one).strip() for one in re.findall(r'<p class="value">(.*?)</p>', text, re.S)
    ]


def ellipse(length: float, width: float, *, points: int = 400, scale: float = 1.0) -> str:
    chance = random.Random(7)
    rows = []
    for place in range(points):
        turn = 2 * math.pi * place / points
        x, y = width / 2 * math.cos(turn), length / 2 * math.sin(turn)
        rows.append(f"{scale * (x + chance.gauss(0, 0.005)):.5f},{scale * (y + chance.gauss(0, 0.005)):.5f}")
    return "\n".join(rows)


def cube(side: float, *, open_side: bool = False) -> bytes:
    corners = [(x, y, z) for x in (0, side) for y in (0, side) for z in (0, side)]
    faces = [(0, 1, 3), (0, 3, 2), (4, 6, 7), (4, 7, 5), (0, 4, 5), (0, 5, 1), (2, 3, 7), (2, 7, 6), (0, 2, 6), (0, 6, 4),
             (1, 5, 7), (1, 7, 3)]  # fmt: skip
    faces = faces[2:] if open_side else faces
    body = b"".join(
        struct.pack("<12fH", 0, 0, 0, *(value for corner in face for value in corners[corner]), 0)
        for face in faces
    )
    return b"\0" * 80 + struct.pack("<I", len(faces)) + body


@pytest.mark.parametrize("name", ["scan", "gap", "model"])
def test_the_empty_page_asks_for_a_file(inside, name):
    text = text_of(inside.get(reverse(f"figures:{name}")))
    assert "appear here once the file is read" in text
    assert "errorlist" not in text


def test_a_scan_is_fitted_and_leads_to_its_halo(send, look):
    text = text_of(send("scan", {"file": named(ellipse(8.0, 6.0), "stone.csv")}))
    length, width, outline = values_of(text)
    assert abs(float(length.split()[0]) - 8.0) < 0.01
    assert abs(float(width.split()[0]) - 6.0) < 0.01
    assert outline == "Oval"
    assert "Read in mm, guessed from the size" in text
    assert '<option value="mm" selected>' in text
    link = re.search(r'href="(/figures/halo/[^"]+)">Use as the centre', text)[1].replace("&amp;", "&")
    assert "cut=oval" in link
    assert '<figure class="sheet hero"><svg' in text_of(look(link))


def test_the_unit_can_be_corrected_without_the_file(send):
    first = text_of(send("scan", {"file": named(ellipse(8.0, 6.0, scale=1000), "stone.csv")}))
    assert "Read in µm" in first
    points = re.search(r"<textarea[^>]*>(.*?)</textarea>", first, re.S)[1].strip()
    again = text_of(send("scan", {"points": points, "unit": "µm"}))
    assert "Read in µm, as you said" in again
    assert values_of(again) == values_of(first)


def test_a_free_outline_travels_in_the_address(send, look):
    rows = []
    for place in range(500):
        turn = 2 * math.pi * place / 500
        reach = 3.2 + 0.16 * math.cos(3 * turn + 0.4) + 0.08 * math.cos(5 * turn)
        rows.append(f"{reach * math.cos(turn):.4f} {reach * math.sin(turn):.4f}")
    text = text_of(send("scan", {"points": "\n".join(rows)}))
    link = re.search(r'href="(/figures/halo/[^"]+)">Use as the centre', text)[1].replace("&amp;", "&")
    assert "cut=outline" in link
    assert len(link) < 3900
    assert '<figure class="sheet hero"><svg' in text_of(look(link))


BOMB = '<?xml version="1.0"?><!DOCTYPE s [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;">]><svg><path d="&b;"/></svg>'
HOSTILE_SCANS = {
    "empty.csv": b"",
    "noise.csv": bytes(range(256)) * 40,
    "three.csv": b"1,2\n3,4\n5,6\n",
    "virus.exe": b"MZ\x90\0",
    "bomb.svg": BOMB.encode(),
    "outside.svg": b'<!DOCTYPE s SYSTEM "file:///etc/passwd"><svg xmlns="http://www.w3.org/2000/svg"/>',
    "broken.dxf": b"0\nSECTION\n2\nENTITIES\n0\nLINE\n8\n",
    "nan.csv": b"nan,nan\n" * 100,
    "huge.csv": b"1e300,1e300\n2e300,0\n" * 60,
}


@pytest.mark.parametrize("name", sorted(HOSTILE_SCANS))
def test_a_bad_scan_is_refused_in_words_beside_its_box(send, name):
    answer = send("scan", {"file": named(HOSTILE_SCANS[name], name)})
    text = text_of(answer)
    assert answer.status_code == 422
    slot = re.search(r'id="slot-file">(.*?)</div>', text, re.S)[1]
    assert "errorlist" in slot
    assert "Traceback" not in text
    assert "root:" not in text
    assert values_of(text) == []


def test_no_file_and_no_points(send):
    answer = send("scan", {})
    assert answer.status_code == 422
    assert "Choose a file or give its points." in text_of(answer)


def test_a_model_is_weighed_in_every_alloy(send):
    text = text_of(send("model", {"file": named(cube(20), "block.STL"), "alloy": "Ag925", "loss": "0"}))
    assert values_of(text) == ["82.88 g", "8000.00 mm³"]  # 8 cm³ of silver at 10.36
    assert "Closed, and every face agrees" in text
    assert text.count('data-label="cast g"') > 20


def test_a_model_with_a_hole_says_so(send):
    text = text_of(send("model", {"file": named(cube(20, open_side=True), "block.stl")}))
    assert "Not closed: 4 edges have a face on one side only" in text
    assert "a guess: the model is not sound" in text


def zip_bomb() -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("3D/3dmodel.model", b"<model>" + b" " * 50_000_000 + b"</model>")
    return out.getvalue()


HOSTILE_MODELS = {
    "empty.stl": b"",
    "short.stl": b"\0" * 80 + struct.pack("<I", 2_000_000_000),
    "text.obj": b"v 1 2\nf 1 2 3\n",
    "nan.stl": b"\0" * 80 + struct.pack("<I", 1) + struct.pack("<12fH", *([float("nan")] * 12), 0),
    "notazip.3mf": b"PK\x03\x04 nothing",
    "bomb.3mf": zip_bomb(),
    "lies.ply": b"ply\nformat ascii 1.0\nelement vertex 999999999\nproperty float x\nend_header\n",
    "program.exe": b"MZ",
    "../../etc/passwd": b"root",
}


@pytest.mark.parametrize("name", sorted(HOSTILE_MODELS))
def test_a_bad_model_is_refused_in_words_beside_its_box(send, name):
    answer = send("model", {"file": named(HOSTILE_MODELS[name], name)})
    assert answer.status_code == 422
    slot = re.search(r'id="slot-file">(.*?)</div>', text_of(answer), re.S)[1]
    assert "errorlist" in slot
    assert "Traceback" not in text_of(answer)


def test_a_file_above_the_limit_is_said_to_be_so(send, settings):
    settings.UPLOAD_FILE_MB = 1
    answer = send("model", {"file": named(b"\0" * 3_000_000, "large.stl")})
    assert answer.status_code == 422
    assert "larger than 1 MB" in text_of(answer)


def test_a_model_over_the_stone_shows_the_gap(send):
    values = {
        "stone_cut": "round", "stone_length": "6.5",
        "opening_file": named(ellipse(6.7, 6.7, points=720), "opening.csv"),
    }  # fmt: skip
    text = text_of(send("gap", values))
    least, greatest = (float(value.split()[0]) for value in values_of(text))
    assert 0.07 < least < greatest < 0.13
    assert "<svg" in text


def test_a_stone_that_would_not_go_in(send):
    values = {"stone_cut": "oval", "stone_length": "8", "stone_width": "6.1", "opening_cut": "oval",
              "opening_length": "8.2", "opening_width": "6"}  # fmt: skip
    text = text_of(send("gap", values))
    assert "The stone would not go in" in text


def test_half_a_question_is_asked_for_the_other_half(send):
    text = text_of(send("gap", {"stone_cut": "round", "stone_length": "6.5"}))
    slot = re.search(r'id="slot-opening_file">(.*?)</div>', text, re.S)[1]
    assert "Choose a file, or a cut and its measures." in slot


@pytest.mark.parametrize("name", ["scan", "gap", "model"])
def test_nobody_else_sends_files(client, db, name):
    assert client.post(reverse(f"figures:{name}"), {}).status_code == 302

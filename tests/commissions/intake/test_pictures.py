"""Pictures of a brief, each with the client's own words."""

from __future__ import annotations

import io

import pytest
from django.test import Client as Browser
from PIL import Image

from commissions.intake.models import Brief, BriefPicture
from studio.pictures.models import Picture
from studio.pictures.tasks import render_waiting
from tests.commissions.intake.answers import fill_in, jpeg


@pytest.fixture
def writer(client, db):
    fill_in(client, leave_out=("pictures",))
    return client


def named(file, name):
    file.name = name
    return file


def encoded(kind: str) -> io.BytesIO:
    file = io.BytesIO()
    image = Image.new("RGB", (640, 480), (120, 130, 140))
    if kind == "HEIF":
        import pillow_heif

        pillow_heif.from_pillow(image).save(file)
    else:
        image.save(file, kind)
    file.seek(0)
    return named(file, f"picture.{kind.lower()}")


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "HEIF"])
def test_the_four_kinds_are_taken(writer, kind):
    answer = writer.post("/brief/pictures/", {"files": [encoded(kind)], "add": "1"})
    assert answer.status_code == 302, answer.content.decode()
    assert BriefPicture.objects.count() == 1


def test_several_at_once_and_then_words_beside_each(writer):
    writer.post("/brief/pictures/", {"files": [jpeg(), jpeg(colour=(10, 20, 30))], "add": "1"})
    first, second = BriefPicture.objects.all()
    answer = writer.post("/brief/pictures/", {
        f"p{first.pk}-liked": "The low setting", f"p{first.pk}-not_this": "",
        f"p{second.pk}-liked": "", f"p{second.pk}-not_this": "",
    })  # fmt: skip
    assert "Picture 2: Say what you like in this picture" in answer.content.decode()
    assert "<title>Error:" in answer.content.decode()
    first.refresh_from_db()
    assert first.liked == "The low setting"  # what was right is kept
    assert "pictures" not in Brief.objects.get().answers
    answer = writer.post("/brief/pictures/", {
        f"p{first.pk}-liked": "The low setting", f"p{first.pk}-not_this": "",
        f"p{second.pk}-liked": "", f"p{second.pk}-not_this": "Not these heavy claws",
    })  # fmt: skip
    assert answer.status_code == 302 and answer.headers["Location"] == "/brief/metal/"
    check = writer.get("/brief/check/").content.decode()
    assert "The low setting" in check and "Not these heavy claws" in check


@pytest.mark.parametrize(
    ("body", "name"),
    [
        (b"<svg xmlns='http://www.w3.org/2000/svg'><script>1</script></svg>", "a.svg"),
        (b"PK\x03\x04 not a picture", "a.jpg"), (b"", "a.png"), (b"GIF89a/*<script>alert(1)*/", "a.gif"),
    ],
)  # fmt: skip
def test_what_is_no_picture_is_refused_in_words_and_nothing_is_left(writer, body, name):
    answer = writer.post("/brief/pictures/", {"files": [named(io.BytesIO(body), name)], "add": "1"})
    assert answer.status_code == 200
    assert "<title>Error:" in answer.content.decode()
    assert Picture.objects.count() == BriefPicture.objects.count() == 0


def test_twelve_and_no_more(writer):
    writer.post("/brief/pictures/", {"files": [jpeg(size=(64, 48)) for _one in range(12)], "add": "1"})
    assert BriefPicture.objects.count() == 12
    page = writer.post("/brief/pictures/", {"files": [jpeg(size=(64, 48))], "add": "1"}).content.decode()
    assert "12 pictures" in page
    assert BriefPicture.objects.count() == Picture.objects.count() == 12


def test_a_picture_can_be_taken_back_by_its_sender_alone(writer):
    writer.post("/brief/pictures/", {"files": [jpeg()], "add": "1"})
    pk = BriefPicture.objects.get().pk
    stranger = Browser()
    fill_in(stranger, leave_out=("pictures",))
    stranger.post(f"/brief/pictures/{pk}/remove/")
    assert BriefPicture.objects.count() == 1
    writer.post(f"/brief/pictures/{pk}/remove/")
    assert BriefPicture.objects.count() == Picture.objects.count() == 0


def test_only_the_sender_and_the_studio_see_a_picture(writer, owner, setter):
    writer.post("/brief/pictures/", {"files": [jpeg()], "add": "1"})
    pk = BriefPicture.objects.get().pk
    render_waiting()
    assert writer.get(f"/brief/pictures/{pk}/320/").status_code == 200
    assert Browser().get(f"/brief/pictures/{pk}/320/").status_code == 404
    stranger = Browser()
    fill_in(stranger, leave_out=("pictures",))
    assert stranger.get(f"/brief/pictures/{pk}/320/").status_code == 404


def test_a_file_that_is_too_large_is_refused_in_words_and_what_was_written_stays(writer, settings):
    writer.post("/brief/pictures/", {"files": [jpeg()], "add": "1"})
    pk = BriefPicture.objects.get().pk
    settings.UPLOAD_FILE_MB = 0
    answer = writer.post(
        "/brief/pictures/",
        {"files": [jpeg(size=(64, 48))], f"p{pk}-liked": "The low setting", f"p{pk}-not_this": ""},
    )
    page = answer.content.decode()
    assert answer.status_code == 200
    assert "A picture is larger than" in page and "The low setting" in page
    assert BriefPicture.objects.get().liked == "The low setting"

"""A picture leaves the house as a rendition, marked so that no browser mistakes or keeps it."""

import pytest
from django.http import Http404
from django.template import Context, Template
from django.test import RequestFactory

from studio.pictures import tasks
from studio.pictures.actions import receive
from studio.pictures.models import Picture, State
from studio.pictures.serving import answer
from tests.studio.pictures.conftest import upload

pytestmark = pytest.mark.django_db


def ask(picture, size=1000, accept="*/*"):
    return answer(RequestFactory().get("/", headers={"Accept": accept}), picture, size)


@pytest.fixture
def picture(photo):
    made = receive(upload=upload(photo), kind="bench", person_words="Mabli")
    tasks.render(made.pk)
    return Picture.objects.get(pk=made.pk)


def test_the_browser_gets_the_format_it_takes(picture):
    assert ask(picture, accept="image/webp,image/*")["Content-Type"] == "image/webp"
    assert ask(picture)["Content-Type"] == "image/jpeg"


def test_the_answer_is_private_and_is_what_it_says(picture):
    response = ask(picture)
    assert response["X-Content-Type-Options"] == "nosniff"
    assert response["Cache-Control"] == "private, no-store"
    assert b"".join(response.streaming_content)[:3] == b"\xff\xd8\xff"
    assert "ring" not in response["Content-Disposition"]


@pytest.mark.parametrize("size", [0, 999, 4032])
def test_only_the_renditions_can_be_asked_for(picture, size):
    with pytest.raises(Http404):
        ask(picture, size)


def test_a_picture_on_its_way_asks_for_patience(photo):
    made = receive(upload=upload(photo), kind="bench", person_words="Mabli")
    assert ask(made).status_code == 503


def test_a_refused_picture_is_not_there(picture):
    picture.state = State.REFUSED
    with pytest.raises(Http404):
        ask(picture)


def test_a_picture_that_waits_says_so_on_the_page(photo):
    made = receive(upload=upload(photo), kind="bench", person_words="Mabli")
    page = Template('{% load pictures %}{% picture row "nowhere" 1 alt="Halo" %}').render(
        Context({"row": made})
    )
    assert "being prepared" in page

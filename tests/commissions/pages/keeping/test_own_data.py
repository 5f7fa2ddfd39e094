"""A client sees what we keep about them and takes all of it along, and nothing of anybody else's."""

import hashlib

import pytest
from django.apps import apps
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext

from commissions.bench.models import Audience, Photo
from commissions.intake.models import BriefPicture
from commissions.money.models import Approval, FrozenPaper, QuoteLine
from commissions.pages.keeping import own, shares
from commissions.record.actions import open_commission, post_message
from studio.people.models import ClientAccess
from studio.pictures.models import Picture
from tests.commissions.pages.keeping.conftest import STREET_WORDS, a_brief, picture, taken_along
from tests.post import sign_in_client


def test_every_table_with_rows_of_clients_is_named_once():
    """A new table has to be named: taken along, or ours alone with the reason."""
    known = set(own.own_rows(access=ClientAccess(pk=1, email="a@b.example")))
    assert set(shares.SHARED) & set(shares.NOT_SHARED) == set()
    assert known - set(shares.SHARED) - set(shares.NOT_SHARED) == set()
    assert set(shares.SHARED) | set(shares.NOT_SHARED) <= known
    assert all(reason for reason in shares.NOT_SHARED.values())


def test_no_foreign_key_to_a_piece_is_deeper_than_the_search():
    """Were one deeper, its rows would be missed: a longer search finds no further table."""
    near = {model for model in apps.get_models() if own._ways(model, own.DEEPEST)}
    far = {model for model in apps.get_models() if own._ways(model, own.DEEPEST + 3)}
    assert near == far


def test_what_goes_along_is_there_and_is_right(told, joachim, owner):
    photo = Photo.objects.filter(commission=told).first() or Photo.objects.create(
        commission=told, picture=picture(7), at=told.opened_at, person=owner
    )
    Photo.objects.filter(pk=photo.pk).update(audience=Audience.CLIENT, caption="The halo set")
    bundle, data = taken_along(joachim)
    names = bundle.namelist()
    assert data["intake.client"][0]["full_name"] == "Joachim Seelenbrink"
    assert data["people.clientaccess"][0]["email"] == joachim.access.email
    assert {row["commission__reference"] for row in data["record.message"]} == {told.reference}
    assert data["money.approval"][0]["digest"] == Approval.objects.get(commission=told).digest
    assert data["delivery.address"][0]["lines"].startswith(STREET_WORDS)
    assert sum(row["minor"] for row in data["money.posting"]) > 0
    assert data["briefs"][0]["answers"]["look"]["words_for_it"] == "calm"
    # The picture is the very file that was sent.
    brief_picture = BriefPicture.objects.get(brief__reference=told.reference)
    sent = bundle.read(data["briefs"][0]["pictures"][0]["file"])
    assert hashlib.sha256(sent).hexdigest() == brief_picture.picture.sha256
    assert f"photographs/{told.reference}-{photo.pk}.jpg" in names
    assert any(name.startswith("letters/") for name in names)
    papers = FrozenPaper.objects.filter(commission=told).exclude(file_name="")
    for paper in papers:
        assert hashlib.sha256(bundle.read(f"papers/{paper.number}.pdf")).hexdigest() == paper.sha256
    assert "Joachim" not in names and "data.json" in bundle.read("README.txt").decode()


def test_nothing_of_anybody_else_and_nothing_of_our_costs_goes_along(told, joachim, delphine, owner):
    other = open_commission(client=delphine, title="Oval for Delphine", currency="CAD", person=owner)
    post_message(commission=other, body="Delphine writes", from_client=True)
    a_brief(client=delphine, reference="D3L-PHN")
    assert QuoteLine.objects.filter(quote__commission=told).exists()
    bundle, data = taken_along(joachim)
    text = b"".join(bundle.read(name) for name in bundle.namelist()).decode(errors="replace")
    for word in ("Delphine", "delphine@", other.reference, "cost_minor", "passphrase", "key_hash", "token"):
        assert word not in text, word
    _bundle, theirs = taken_along(delphine)
    assert [row["reference"] for row in theirs["record.commission"]] == [other.reference]
    internal = Photo.objects.filter(commission=told, audience=Audience.INTERNAL).count()
    assert len(data["bench.photo"]) == Photo.objects.filter(commission=told).count() - internal


def test_it_is_asked_for_with_the_passphrase_alone(told, joachim):
    for path in ("/yours/data/your-data.zip", "/yours/data/forget/"):
        assert Browser().get(path)["Location"].startswith("/in/?next=")
        assert "/in/passphrase/" in sign_in_client(Browser(), joachim).get(path)["Location"]
    page = sign_in_client(Browser(), joachim).get("/yours/data/")
    assert page.status_code == 200 and "no-store" in page["Cache-Control"]


def test_the_download_tells_nothing_by_its_name(told, joachim):
    answer = sign_in_client(Browser(), joachim, stepped_up=True).get("/yours/data/your-data.zip")
    assert answer["Content-Disposition"] == 'attachment; filename="your-data.zip"'
    assert "no-store" in answer["Cache-Control"]


def test_a_client_of_whom_only_a_brief_is_kept_takes_it_along(joachim):
    a_brief(client=joachim, reference="A1B-2CD", state="sent")
    _bundle, data = taken_along(joachim)
    assert data["briefs"][0]["reference"] == "A1B-2CD"
    assert data["record.commission"] == []


@pytest.mark.parametrize("path", ["/yours/data/"])
def test_the_number_of_queries_does_not_grow(told, joachim, owner, path):
    device = sign_in_client(Browser(), joachim)
    device.get(path)
    with CaptureQueriesContext(connection) as few:
        device.get(path)
    for number in range(30):
        post_message(commission=told, body=f"{number}", from_client=True)
    with CaptureQueriesContext(connection) as many:
        assert device.get(path).status_code == 200
    assert len(many) == len(few)
    assert Picture.objects.exists()

"""The ring record, its fingerprint, and the papers beside it."""

import re

import pytest
from django.test import Client as Browser

from commissions.delivery import actions, customs, queries, ring, wording
from commissions.delivery.models import RingRecord
from commissions.record.errors import Refused
from commissions.record.models import Commission
from tests.commissions.bench.conftest import with_stone
from tests.commissions.delivery.conftest import STREET_WORDS
from tests.post import sign_in_client


@pytest.fixture
def recorded(ready, owner):
    """A ring with its stone checked in, and its record."""
    with_stone(ready)
    return actions.make_ring_record(commission=ready, person=owner)


def test_only_a_finished_ring_has_a_record(commission, owner):
    with pytest.raises(Refused):
        actions.make_ring_record(commission=commission, person=owner)


def test_the_same_facts_are_kept_once_and_a_change_is_another_record(recorded, owner):
    commission = recorded.commission
    assert actions.make_ring_record(commission=commission, person=owner).pk == recorded.pk
    assert recorded.facts["ring_mg"] == 4580
    assert recorded.facts["stone"]["words"] == "natural diamond"
    assert re.fullmatch(r"[0-9A-F]{4}-[0-9A-F]{4}-[0-9A-F]{2}", ring.short(recorded.digest))
    commission.stones.update(origin="laboratory-grown")
    other = actions.make_ring_record(commission=commission, person=owner)
    assert other.digest != recorded.digest
    assert other.facts["stone"]["words"] == "laboratory-grown diamond"
    assert queries.ring_record(commission=commission).pk == other.pk


def test_a_third_party_compares_without_learning_whose_it_is(recorded, joachim):
    page = Browser().get(f"/ring/{ring.short(recorded.digest)}/")
    assert page.status_code == 200
    words = page.content.decode()
    assert "4.58" in words and "natural diamond" in words
    for private in (
        joachim.full_name,
        "Seelenbrink",
        recorded.commission.reference,
        "GBP",
        "£",
        STREET_WORDS,
    ):
        assert private not in words
    assert Browser().get(f"/ring/{recorded.digest}/").status_code == 200
    typed = Browser().get("/ring/", {"fingerprint": f" {ring.short(recorded.digest).lower()} "})
    assert typed["Location"] == f"/ring/{ring.short(recorded.digest).lower()}/"


@pytest.mark.parametrize("typed", ["0000-0000-00", "%", "zz", "7F3C"])
def test_what_is_not_known_is_not_found(recorded, typed):
    assert Browser().get(f"/ring/{typed}/").status_code == 404


def test_a_surprise_is_not_proved_to_anybody(recorded):
    Commission.objects.update(discreet=True)
    assert Browser().get(f"/ring/{recorded.digest}/").status_code == 404


def test_guessing_is_slowed_down(db):
    browser = Browser()
    answers = [browser.get(f"/ring/{number:010x}/").status_code for number in range(31)]
    assert answers == [404] * 30 + [429]


def test_before_the_parcel_leaves_the_client_has_no_paper_and_the_studio_drafts(
    recorded, joachim, jeweller, owner, client
):
    commission = recorded.commission
    page = sign_in_client(Browser(), joachim).get(f"/yours/{commission.reference}/delivery/")
    assert "Your papers" not in page.content.decode()
    path = f"/studio/commissions/{commission.reference}/delivery/papers/customs/"
    client.force_login(jeweller)
    assert client.get(path).status_code == 404
    assert client.get(path.replace("customs", "ring-record")).status_code == 200
    client.force_login(owner)
    answer = client.get(path)
    assert answer.content.startswith(b"%PDF-")
    assert answer["Content-Disposition"].startswith('inline; filename="draft-customs-')
    assert client.get(path.replace("customs", "nothing")).status_code == 404


def test_the_record_is_made_on_the_page(ready, owner, client):
    client.force_login(owner)
    path = f"/studio/commissions/{ready.reference}/delivery/"
    assert client.post(f"{path}record/").status_code == 302
    assert RingRecord.objects.count() == 1  # the same facts are kept once
    assert "Make the ring record anew" in client.get(path).content.decode()


@pytest.mark.parametrize(
    ("species", "origin", "code"),
    [
        ("diamond", "natural", "7102.39"),
        ("Diamond", "laboratory-grown", "7104.91"),
        ("sapphire", "natural", "7103.91"),
        ("sapphire", "laboratory-grown", "7104.99"),
        ("spinel", "natural", "7103.99"),
    ],
)
def test_headings_of_loose_stones(species, origin, code):
    """Headings as in the EU and US tariff listings (HS 2022)."""
    assert customs.loose_code(species=species, origin=origin)[0] == code


def test_an_unknown_origin_has_no_heading():
    assert customs.loose_code(species="diamond", origin="unknown") is None


@pytest.mark.parametrize("metal", ["Au", "Pt", "Pd"])
def test_headings_of_the_ring(metal):
    """7113.19 for gold and platinum metals, 7113.11 for silver, as in the EU and US tariff listings."""
    assert customs.RING_CODES[metal][0] == "7113.19"
    assert customs.RING_CODES["Ag"][0] == "7113.11"


@pytest.mark.parametrize(
    ("text", "grown", "wrong"),
    [
        ("Laboratory-grown diamond, round", True, 0),
        ("Round diamond in a halo", True, 1),
        ("Round diamond in a halo", False, 0),
        ("Lab-grown diamond", True, 2),
        ("A real laboratory-grown diamond", True, 1),
        ("Natural diamond", False, 0),
        ("Diamond, 1/2 ct", False, 1),
        ("Diamond, ½ carat", False, 1),
        ("Clarity enhanced diamond", False, 1),
    ],
)
def test_words_for_stones(text, grown, wrong):
    """ISO 18323 and 16 CFR 23.12: the origin stands beside the word, in full."""
    assert len(wording.problems(text=text, laboratory_grown=grown)) == wrong

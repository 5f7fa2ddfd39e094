"""The same stone, before and after; treatments named; working to a report; marks by country."""

import pytest
from django.test import Client as Browser

from commissions.bench import evidence
from commissions.delivery import actions, customs, ring
from commissions.delivery.models import SecondReading
from commissions.record.errors import Refused
from commissions.record.models import Commission
from commissions.sourcing.actions import work_to_report
from commissions.sourcing.models import CheckIn, Stone
from studio import clock
from tests.commissions.bench.conftest import with_stone
from tests.commissions.delivery.conftest import packing

MEASURES = {"length_hmm": 651, "width_hmm": 651, "depth_hmm": 402, "weight_mct": 1050}


def checked_in(commission, inscription="DEMO 6611-7013"):
    """The centre, chosen and checked in with its inscription."""
    stone = with_stone(commission)
    CheckIn.objects.create(
        stone=stone, outline=stone.outline, by_words="Mabli", at=clock.now(), inscription_typed=inscription,
        inscription_fits=True, **MEASURES,
    )  # fmt: skip
    return stone


def read(commission, person, **other):
    """The second reading."""
    return actions.read_again(
        commission=commission,
        person=person,
        **{"how": "read", "typed": "demo66117013", "agrees": None, "words": ""} | other,
    )


def disclose(commission, person, **other):
    """What is known of treatments."""
    return actions.disclose(
        commission=commission,
        person=person,
        **{"treated": "none", "words": "", "care_words": "", "source": "Report DEMO 6611"} | other,
    )


def missing(commission, person) -> str:
    """What the gate says."""
    with pytest.raises(Refused) as caught:
        actions.pack(commission=commission, person=person, **packing())
    return str(caught.value)


def test_before_and_after_stand_apart_on_record_and_proof(ready, owner):
    checked_in(ready)
    assert "not been read again after setting" in missing(ready, owner)
    read(ready, owner)
    said = missing(ready, owner)
    assert "read again" not in said and "treatments of the centre" in said
    disclose(ready, owner)
    record = actions.make_ring_record(commission=ready, person=owner)
    stone = record.facts["stone"]
    assert stone["inscription_before"] == "DEMO 6611-7013"
    assert (stone["inscription_after"], stone["after_fits"]) == ("demo66117013", True)
    page = Browser().get(f"/ring/{ring.short(record.digest)}/").content.decode()
    assert "DEMO 6611-7013" in page and "demo66117013" in page and "none known" in page
    assert actions.pack(commission=ready, person=owner, **packing()).pk


@pytest.mark.parametrize(
    ("given", "fits"),
    [
        ({"typed": "DEMO 66117018"}, False),
        ({"how": "plot", "agrees": True}, True),
        ({"how": "plot", "agrees": False}, False),
        ({"how": "not", "words": "Bezel all round"}, False),
    ],
)
def test_what_does_not_agree_does_not_leave(ready, owner, given, fits):
    checked_in(ready)
    disclose(ready, owner)
    assert read(ready, owner, **given).fits is fits
    if not fits:
        assert "not packed until it is known which stone this is" in missing(ready, owner)
        read(ready, owner)
    assert actions.pack(commission=ready, person=owner, **packing()).pk


def test_the_page_shows_no_first_reading_and_keeps_a_refusal_beside_the_form(ready, owner, client):
    checked_in(ready)
    client.force_login(owner)
    path = f"/studio/commissions/{ready.reference}/delivery/"
    assert "6611-7013" not in client.get(path).content.decode()
    answer = client.post(f"{path}read-again/", {"how": "read", "typed": ""})
    assert answer.status_code == 409 and "Type what you read" in answer.content.decode()
    assert not SecondReading.objects.exists()
    assert client.post(f"{path}read-again/", {"how": "read", "typed": "DEMO66117013"}).status_code == 302
    assert client.post(f"{path}treatments/", {"treated": "treated", "source": "Report"}).status_code == 200
    typed = {"treated": "treated", "words": "laser-drilled", "source": "Report"}
    assert client.post(f"{path}treatments/", typed).status_code == 302
    assert "laser-drilled" in client.get(path).content.decode()


def test_a_treatment_is_named_with_its_source(ready, owner):
    checked_in(ready)
    for given in ({"treated": "treated"}, {"source": " "}):
        with pytest.raises(Refused):
            disclose(ready, owner, **given)
    disclose(ready, owner, treated="treated", words="Clarity enhanced")
    assert "hides a treatment" in missing(ready, owner)


@pytest.fixture
def unmeasured(commission):
    """The client's own stone, chosen on the strength of its report."""
    return Stone.objects.create(
        commission=commission, name="Own 6.51", origin="natural", outline={"cut": "round", "diameter_mm": 6.51},
        owner="client", report_number="DEMO 1", chosen_at=clock.now(), made_at=clock.now(), **MEASURES,
    )  # fmt: skip


def test_working_to_a_report_is_the_owners_recorded_choice(unmeasured, owner, jeweller):
    commission = unmeasured.commission
    (row,) = evidence.centre_is_measured(commission=commission)
    assert "not been checked in" in row.words
    with pytest.raises(Refused, match="Only the owner"):
        work_to_report(stone=unmeasured, reason="It stays in the bank", person=jeweller)
    with pytest.raises(Refused, match="Say why"):
        work_to_report(stone=unmeasured, reason=" ", person=owner)
    work_to_report(stone=unmeasured, reason="It stays in the bank", person=owner)
    assert list(evidence.centre_is_measured(commission=commission)) == []
    assert ring.facts_of(commission=commission)["stone"]["set_to_report"] is True
    # Another report is another stone on paper: the choice does not carry over.
    Stone.objects.update(report_number="DEMO 2")
    assert len(list(evidence.centre_is_measured(commission=commission))) == 1


@pytest.mark.parametrize("given", [{"owner": "us"}, {"report_number": ""}])
def test_no_report_no_choice_and_never_for_a_stone_of_ours(unmeasured, owner, given):
    Stone.objects.update(**given)
    unmeasured.refresh_from_db()
    with pytest.raises(Refused):
        work_to_report(stone=unmeasured, reason="In a hurry", person=owner)


def test_the_choice_is_made_on_a_page_that_says_what_it_means(unmeasured, owner, jeweller, client):
    path = f"/studio/stones/{unmeasured.pk}/to-report/"
    client.force_login(jeweller)
    assert client.get(path).status_code == 403
    client.force_login(owner)
    assert "figures that nobody here has measured" in client.get(path).content.decode()
    assert client.post(path, {"reason": ""}).status_code == 200
    assert client.post(path, {"reason": "It stays in the bank"}).status_code == 302
    piece = client.get(f"/studio/commissions/{unmeasured.commission.reference}/").content.decode()
    assert "It stays in the bank" in piece


def test_marks_are_asked_of_where_it_is_made_and_where_it_goes(commission, owner, settings, monkeypatch):
    monkeypatch.setattr(customs, "alloy_of", lambda commission: "18ct yellow")
    commission.weighings.create(kind="mount", net_mg=4310, person=owner, at=clock.now(), noted_at=clock.now())
    rows = customs.mark_needs(commission=commission)
    assert [(row.country, row.need) for row in rows] == [
        ("United Kingdom", "required"),
        ("Germany", "not known"),
    ]
    assert all("assay office" in row.caution for row in rows)
    assert "The rules of Germany are not known here" in rows[1].words
    settings.STUDIO_COUNTRY = "NO"
    rows = customs.mark_needs(commission=Commission.objects.get())
    assert "Hallmarking Convention" in rows[0].words

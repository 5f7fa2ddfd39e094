"""The packing gate, the carrier, the arrival."""

import datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from commissions.delivery import actions, queries
from commissions.delivery.models import Shipment
from commissions.delivery.packing import CHECKS, SHOTS
from commissions.money.actions import post_receipt
from commissions.money.models import Posting
from commissions.record.actions import open_commission
from commissions.record.errors import Refused
from commissions.record.models import Commission, Question
from studio import clock
from tests.commissions.delivery.conftest import (
    CARRIER,
    RING_MG,
    at_handover,
    confirm,
    limit,
    packing,
    photograph,
    photographed,
    send,
)


def refusal(call, **arguments) -> list[str]:
    """The words with which an action refuses."""
    with pytest.raises(Refused) as caught:
        call(**arguments)
    return [row.words for row in caught.value.missing]


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.key)
def test_every_no_keeps_the_parcel_here(ready, owner, check):
    if check.only_surprise:
        Commission.objects.update(discreet=True)
        ready.refresh_from_db()
    given = packing(answers={row.key: "yes" for row in CHECKS})
    given["answers"][check.key] = "no"
    assert refusal(actions.pack, commission=ready, person=owner, **given) == [check.words]
    assert not Shipment.objects.exists()


def test_a_line_left_out_is_a_no(ready, owner):
    words = refusal(actions.pack, commission=ready, person=owner, **packing(answers={}))
    assert words == [check.words for check in CHECKS if not check.only_surprise]
    # Every *no* says what to do about it.
    assert all(":" in row for row in words)


@pytest.mark.parametrize(("apart", "passes"), [(20, True), (-20, True), (21, False), (-21, False)])
def test_the_ring_weighs_what_the_check_sheet_says(ready, owner, apart, passes):
    given = packing(ring_mg=RING_MG + apart)
    if passes:
        assert actions.pack(commission=ready, person=owner, **given).ring_mg == RING_MG + apart
    else:
        (words,) = refusal(actions.pack, commission=ready, person=owner, **given)
        assert f"{(RING_MG + apart) / 1000:.2f} g" in words and "4.58 g" in words


def test_a_ring_never_weighed_is_not_packed(commission, owner):
    at_handover(commission, owner, weighed="mount")
    confirm(commission)
    limit(owner)
    photographed(commission, owner)
    (words, record) = refusal(actions.pack, commission=commission, person=owner, **packing())
    assert "no weight of the finished ring" in words
    assert "ring record is not made" in record


@pytest.mark.parametrize("shot", SHOTS, ids=lambda shot: shot[0])
def test_every_photograph_is_asked_for(commission, owner, shot):
    at_handover(commission, owner)
    confirm(commission)
    limit(owner)
    actions.make_ring_record(commission=commission, person=owner)
    photographed(commission, owner, shots={key for key, _words in SHOTS} - {shot[0]})
    (words,) = refusal(actions.pack, commission=commission, person=owner, **packing())
    assert shot[1].lower() in words


def test_the_policy_has_the_last_word_on_the_value(ready, owner):
    (words,) = refusal(actions.pack, commission=ready, person=owner, **packing(insured_minor=1_000_001))
    assert "10,000.01" in words and "10,000.00" in words and "Policy 1" in words
    limit(owner, minor=1_000_001)
    assert actions.pack(commission=ready, person=owner, **packing(insured_minor=1_000_001)).pk


def test_a_limit_of_another_currency_is_none(commission, owner):
    at_handover(commission, owner)
    confirm(commission)
    limit(owner, currency="EUR")
    photographed(commission, owner)
    actions.make_ring_record(commission=commission, person=owner)
    (words,) = refusal(actions.pack, commission=commission, person=owner, **packing())
    assert "in GBP" in words
    assert "insured for nothing" in " ".join(
        refusal(actions.pack, commission=commission, person=owner, **packing(insured_minor=0))
    )


def test_an_address_counts_for_seven_days(ready, owner):
    with clock.standing_at(clock.now() + datetime.timedelta(days=7, minutes=1)):
        (words,) = refusal(actions.pack, commission=ready, person=owner, **packing())
    assert "within seven days" in words


def test_a_seal_has_a_number(ready, owner):
    assert refusal(actions.pack, commission=ready, person=owner, **packing(seal=" ")) == [
        "The seal has no number yet: seal the box and copy the number."
    ]


def test_a_ring_is_packed_once(packed, owner):
    assert refusal(actions.pack, commission=packed.commission, person=owner, **packing()) == [
        "This ring is packed already."
    ]


def test_only_a_checked_ring_is_packed(commission, owner):
    assert "passed its checks" in " ".join(
        refusal(actions.pack, commission=commission, person=owner, **packing())
    )


def test_no_weekend_no_yesterday(packed, owner):
    saturday = clock.today() + datetime.timedelta(days=(5 - clock.today().weekday()) % 7)
    for day in (saturday, saturday + datetime.timedelta(days=1)):
        assert "weekend" in refusal(send, shipment=packed, person=owner, expected_on=day)[0]
    past = clock.today() - datetime.timedelta(days=7 + max(0, clock.today().weekday() - 4))
    assert "has passed" in refusal(send, shipment=packed, person=owner, expected_on=past)[0]


def test_a_carrier_takes_no_more_than_its_terms_say(packed, owner):
    limit(owner, minor=250_000, carrier=CARRIER)
    (words,) = refusal(send, shipment=packed, person=owner, carrier="meridian secure (INVENTED)")
    assert "2,500.00" in words
    limit(owner, minor=560_000, carrier="Another (invented)")
    assert send(packed, owner, carrier="Another (invented)").dispatched_at


@pytest.mark.parametrize("currency", ["", "EUR"])
def test_a_carrier_whose_terms_nobody_read_gets_no_parcel(packed, owner, currency):
    if currency:
        limit(owner, carrier="Unread (invented)", currency=currency)
    (words,) = refusal(send, shipment=packed, person=owner, carrier="Unread (invented)")
    assert "No limit of Unread (invented) is kept in GBP" in words
    packed.refresh_from_db()
    assert packed.dispatched_at is None


def test_a_parcel_leaves_once(sent, owner):
    assert refusal(send, shipment=sent, person=owner) == ["This parcel has left already."]
    open_now = Question.objects.filter(commission=sent.commission, answered_at=None)
    assert [(row.key, row.addressee) for row in open_now.filter(key__startswith="delivery.")] == [
        ("delivery.arrival", "supplier")
    ]


def test_arrival_needs_dispatch_and_proof(packed, owner):
    assert (
        "has not left yet"
        in refusal(actions.confirm_arrival, shipment=packed, proof="signed", by_words="Joachim")[0]
    )
    send(packed, owner)
    assert (
        "what proves" in refusal(actions.confirm_arrival, shipment=packed, proof=" ", by_words="Joachim")[0]
    )


def test_arrival_happens_once_and_becomes_a_sale(sent, owner):
    commission = sent.commission
    post_receipt(
        commission=commission, minor=300_000, currency="GBP", reference="paid", by_words="Ottoline",
        on=clock.today(),
    )  # fmt: skip
    actions.confirm_arrival(shipment=sent, proof="signed", by_words="Joachim")
    commission.refresh_from_db()
    assert commission.stage == "care"
    postings = Posting.objects.filter(entry__kind="handover", commission=commission)
    assert sorted((row.account.code, row.minor) for row in postings if row.minor) == [
        ("held", 300_000),
        ("sales-rings", -300_000),
    ]
    assert (
        "has arrived already"
        in refusal(actions.confirm_arrival, shipment=sent, proof="again", by_words="Joachim")[0]
    )
    assert postings.values("entry").distinct().count() == 1


def test_the_gate_answers_in_words_on_its_page(ready, owner, client):
    client.force_login(owner)
    address = f"/studio/commissions/{ready.reference}/delivery/"
    typed = {check.key: "yes" for check in CHECKS} | {"ring": "4.90", "seal": "K-1", "insured": "5600"}
    answer = client.post(f"{address}pack/", typed)
    assert answer.status_code == 409
    page = answer.content.decode()
    assert "4.90 g" in page and 'value="4.90"' in page
    assert client.post(f"{address}pack/", {**typed, "ring": "4.59"}).status_code == 302
    assert queries.shipment_of(commission=ready).insured_minor == 560_000


def test_photographs_of_the_parcel_stay_in_the_house(commission, owner, setter, client, joachim):
    at_handover(commission, owner)
    client.force_login(owner)
    address = f"/studio/commissions/{commission.reference}/delivery/"
    answer = client.post(f"{address}photo/", {"shot": "inner", "photo": photograph()})
    assert answer.status_code == 302
    row = commission.parcel_photos.get()
    assert (
        client.post(
            f"{address}photo/", {"shot": "inner", "photo": photograph("not.jpg").__class__("a.jpg", b"no")}
        ).status_code
        == 200
    )
    assert commission.parcel_photos.count() == 1
    client.force_login(setter)
    assert client.get(f"{address}photo/{row.pk}/400/").status_code == 403


def test_limits_are_the_owners(owner, jeweller, client):
    client.force_login(jeweller)
    assert client.get("/studio/dispatch/limits/").status_code == 403
    client.force_login(owner)
    typed = {"carrier": "", "currency": "GBP", "most": "12,500.00", "source": "Policy 7", "as_of": "1 9 2026"}
    assert client.post("/studio/dispatch/limits/", {**typed, "most": "much"}).status_code == 200
    assert queries.limit_for(carrier="", currency="GBP") is None
    assert client.post("/studio/dispatch/limits/", typed).status_code == 302
    assert queries.limit_for(carrier="", currency="GBP").minor == 1_250_000
    assert "12,500.00" in client.get("/studio/dispatch/limits/").content.decode()


def test_the_list_asks_as_often_for_thirty_as_for_one(owner, joachim, client):
    client.force_login(owner)

    def another():
        row = open_commission(client=joachim, title="Ring", currency="GBP", person=owner)
        at_handover(row, owner)
        row = Commission.objects.get(pk=row.pk)
        Shipment.objects.create(commission=row, seal="K")
        actions.lay_care_dates(commission=row, start=clock.today())

    another()
    client.get("/studio/dispatch/")
    with CaptureQueriesContext(connection) as one:
        client.get("/studio/dispatch/")
    for _number in range(29):
        another()
    with CaptureQueriesContext(connection) as thirty:
        page = client.get("/studio/dispatch/").content.decode()
    assert "30 on the way out" in page
    assert len(thirty) == len(one)

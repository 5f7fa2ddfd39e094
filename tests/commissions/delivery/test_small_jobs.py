"""A resize or a repair: a commission of its own that points to the ring, along the shorter part of the one route."""

from decimal import Decimal

import pytest
from django.test import Client as Browser

from commissions.bench import actions as bench
from commissions.bench import queries as jobs
from commissions.bench.actions import templates
from commissions.bench.models import StepTemplate
from commissions.delivery import actions, queries
from commissions.delivery.models import KeptPaper
from commissions.money import actions as money
from commissions.money import bundle
from commissions.record.actions import advance
from commissions.record.errors import Refused
from commissions.record.models import Commission, Question
from commissions.record.route import SMALL_ROUTE, Stage
from studio import clock
from tests.commissions.bench.test_check import all_passed, all_shots
from tests.commissions.delivery.conftest import RING_MG, confirm, packing, photographed, send
from tests.commissions.delivery.test_worries import worry
from tests.post import sign_in_client


@pytest.fixture
def job(arrived, owner):
    """Joachim's ring is to be made larger."""
    return actions.open_job(
        ring=arrived.commission,
        work="resize",
        words="From 54 to 55, as measured",
        size_hmm=5500,
        person=owner,
    )


def agreed(job, person):
    """Offered free of charge, and agreed."""
    quote = actions.offer_job(
        commission=job,
        net_minor=0,
        tax_code="",
        tax_rate=Decimal(0),
        note="",
        valid_until=None,
        person=person,
    )
    shown = bundle.digest(bundle.bundle(commission=job, quote=quote))
    money.approve(quote=quote, shown_digest=shown, consent="yes", method="test", by_words="Joachim")
    job.refresh_from_db()
    return quote


def taken_in(job, person):
    """The ring is here."""
    return actions.take_in_ring(
        commission=job,
        ring_mg=RING_MG,
        condition="One claw worn, no stone missing",
        seal="R-1",
        person=person,
    )


def template():
    """The steps of a small job."""
    templates.ensure_templates()
    return StepTemplate.objects.get(name="Resize or repair")


def begun(job, person):
    """On the bench."""
    bench.begin(commission=job, template=template(), person=person)
    job.refresh_from_db()


def made(job, person, other):
    """Through the bench and its check."""
    while True:
        step = jobs.current_step(commission=job)
        if jobs.next_step(commission=job, after=step) is None or job.stage == Stage.CHECKING:
            break
        if step.stage == Stage.SETTING:
            bench.count_stones(
                commission=job, step=step, issued=18, set=18, returned=0, broken=0, lost=0, person=person
            )
        bench.finish_step(commission=job, step=step, person=person)
        job.refresh_from_db()
    bench.weigh(
        commission=job, step=None, kind="ring", gross_mg=RING_MG + 120, tare_mg=0, scale="", person=person
    )
    all_passed(job, person)
    all_shots(job, person)
    bench.pass_check(commission=job, person=other)
    job.refresh_from_db()


def test_it_points_to_its_ring_and_is_a_surprise_where_the_ring_is(arrived, owner):
    Commission.objects.update(discreet=True)
    ring = Commission.objects.get()
    job = actions.open_job(ring=ring, work="repair", words="A claw", person=owner)
    assert (job.ring, job.client, job.currency, job.discreet) == (ring, ring.client, ring.currency, True)
    assert job.stage == Stage.AGREEMENT and job.reference != ring.reference
    assert list(job.moves.values_list("frm", "to", "door")) == [("", "agreement", "record.open_small_job")]
    ring.refresh_from_db()
    assert ring.stage == Stage.CARE


def test_only_a_ring_that_is_with_its_wearer_and_one_job_at_a_time(arrived, job, owner, delphine):
    from commissions.record.actions import open_commission

    fresh = open_commission(client=delphine, title="Ring", currency="GBP", person=owner)
    with pytest.raises(Refused, match="with its wearer"):
        actions.open_job(ring=fresh, work="repair", words="A claw", person=owner)
    with pytest.raises(Refused, match=job.reference):
        actions.open_job(ring=arrived.commission, work="repair", words="A claw", person=owner)
    with pytest.raises(Refused, match="circumference"):
        actions.open_job(ring=arrived.commission, work="resize", words="Larger", person=owner)


def test_the_route_has_no_way_into_the_making_of_a_ring(job, owner):
    for stage, door in ((Stage.DESIGN, "design.start_revision"), (Stage.MODEL, "money.start_work")):
        with pytest.raises(Refused, match="does not lead"):
            advance(commission=job, to=stage, door=door, person=owner)
    assert job.route == SMALL_ROUTE


def test_the_bench_waits_for_the_price_and_for_the_ring(job, owner):
    with pytest.raises(Refused) as caught:
        bench.begin(commission=job, template=template(), person=owner)
    assert "The ring is not here yet" in str(caught.value)
    taken_in(job, owner)
    with pytest.raises(Refused, match="has not agreed"):
        bench.begin(commission=job, template=template(), person=owner)
    with pytest.raises(Refused, match="already"):
        taken_in(job, owner)
    agreed(job, owner)
    begun(job, owner)
    assert job.stage == Stage.MOUNTING


def test_what_is_agreed_names_ring_work_and_size_under_the_fingerprint(job, owner, arrived):
    quote = agreed(job, owner)
    part = bundle.bundle(commission=job, quote=quote)["job"]
    assert part == {
        "ring": arrived.commission.reference,
        "work": "resize",
        "words": "From 54 to 55, as measured",
        "size_hmm": 5500,
    }
    assert "job" not in bundle.bundle(commission=arrived.commission, quote=quote)


def test_from_the_worry_to_the_wearer_and_back_into_the_record(arrived, joachim, owner, jeweller):
    ring = arrived.commission
    row = worry(ring, sign="size")
    actions.advise(worry=row, choice="send", words="It can be made larger by one size.", person=jeweller)
    job = actions.open_job(
        ring=ring, work="resize", words="From 54 to 55", size_hmm=5500, person=owner, worry=row
    )
    assert not Question.objects.filter(
        commission=ring, key__startswith="advice:", answered_at__isnull=True
    ).exists()
    agreed(job, owner)
    taken_in(job, jeweller)
    begun(job, jeweller)
    made(job, jeweller, owner)
    assert job.stage == Stage.HANDOVER
    photographed(job, owner)
    confirm(job)
    given = packing(ring_mg=RING_MG + 120)
    with pytest.raises(Refused, match="ring record"):
        actions.pack(commission=job, person=owner, **given)
    before = queries.ring_record(commission=ring)
    after = actions.make_ring_record(commission=job, person=owner)
    assert after.commission == ring and after.digest != before.digest
    assert (after.facts["ring_mg"], after.facts["circumference_mm"]) == (RING_MG + 120, 55.0)
    assert [change["reference"] for change in after.facts["changes"]] == [job.reference]
    shipment = send(actions.pack(commission=job, person=owner, **given), owner)
    assert KeptPaper.objects.filter(commission=job, kind="ring-record").count() == 1
    actions.confirm_arrival(shipment=shipment, proof="signed", by_words="Joachim")
    job.refresh_from_db()
    # Two dates of its own and no yearly ones: those are the ring's.
    assert job.care_dates.count() == 2 and ring.care_dates.count() == 4
    for care in job.care_dates.all():
        actions.finish_care(care=care, findings="Fits", by_words="Joachim")
    job.refresh_from_db()
    assert job.state == "completed"
    page = sign_in_client(Browser(), joachim).get(f"/yours/{ring.reference}/care/").content.decode()
    assert job.reference in page and "Resize" in page


def test_what_was_agreed_cannot_be_edited_under_the_bench(job, owner):
    from django.db import DatabaseError, transaction

    with pytest.raises(DatabaseError), transaction.atomic():
        job.small_job.__class__.objects.update(words="Something else")


def test_the_pages_of_a_job(job, arrived, owner, jeweller, joachim, client):
    path = f"/studio/commissions/{job.reference}/job/"
    client.force_login(jeweller)
    assert client.post(f"{path}price/", {"price": "0"}).status_code == 403
    assert client.post(f"{path}ring/", {"ring": "4.58"}).status_code == 200
    assert client.post(f"{path}ring/", {"ring": "4.58", "condition": "As new"}).status_code == 302
    client.force_login(owner)
    assert "Choose a tax code" in client.post(f"{path}price/", {"price": "80"}).content.decode()
    assert client.post(f"{path}price/", {"price": "0", "note": "We pay the way back."}).status_code == 302
    page = client.get(path).content.decode()
    assert "Free of charge" in page and "As new" in page
    assert client.get(f"/studio/commissions/{arrived.commission.reference}/job/").status_code == 404
    piece = client.get(f"/studio/commissions/{job.reference}/").content.decode()
    assert "Casting" not in piece and arrived.commission.reference in piece
    device = sign_in_client(Browser(), joachim, stepped_up=True)
    money_page = device.get(f"/yours/{job.reference}/money/").content.decode()
    assert "From 54 to 55" in money_page and "55.00" in money_page
    for part in ("", "delivery/", "money/agree/", "messages/", "papers/"):
        assert device.get(f"/yours/{job.reference}/{part}").status_code == 200, part
    ring_page = device.get(f"/yours/{job.reference}/").content.decode()
    assert "Casting" not in ring_page and "Agreement" in ring_page


def test_a_job_is_opened_from_the_page(arrived, owner, client):
    client.force_login(owner)
    reference = arrived.commission.reference
    row = worry(arrived.commission, words="Too tight in the evening", sign="size")
    path = f"/studio/commissions/{reference}/job/new/?worry={row.pk}"
    assert "Too tight in the evening" in client.get(path).content.decode()
    assert client.post(path, {"work": "resize", "words": "Larger"}).status_code == 200
    answer = client.post(path, {"work": "resize", "words": "Larger", "size": "55"})
    job = Commission.objects.get(ring=arrived.commission)
    assert answer["Location"] == f"/studio/commissions/{job.reference}/job/"
    assert client.post(path, {"work": "repair", "words": "Again"}).status_code == 409
    assert job.small_job.size_hmm == 5500
    assert job.moves.get().evidence == {"ring": reference, "worry": row.pk}
    assert job.opened_at <= clock.now()

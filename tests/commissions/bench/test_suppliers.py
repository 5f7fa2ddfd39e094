"""Work that leaves the house: its date is on the list, and its link names neither client nor price."""

import datetime

import pytest

from commissions.bench import actions, queries
from commissions.record.errors import Overtaken, Refused
from commissions.record.route import Stage, Turn
from studio import clock
from tests.commissions.bench.conftest import work_up_to


@pytest.fixture
def out(job, jeweller):
    """A mount and twenty stones with an outside setter."""
    return actions.send_out(
        commission=job,
        task="setter",
        supplier="Brightwell Setting",
        words="Set the halo",
        person=jeweller,
        due_on=clock.today() + datetime.timedelta(days=7),
        sent_mg=4310,
        sent_stones=20,
        sent_mct=190,
    )


def test_it_is_the_suppliers_turn_until_it_is_back(job, out, jeweller):
    actions_open = [
        row.key for row in job.questions.filter(answered_at__isnull=True, addressee=Turn.SUPPLIER)
    ]
    assert actions_open == [f"bench.supplier:{out.pk}"]
    with pytest.raises(Refused, match="Still with Brightwell Setting"):
        actions.finish_step(commission=job, step=queries.current_step(commission=job), person=jeweller)
    actions.take_back(
        job=out, person=jeweller, returned_mg=4500, returned_stones=20, shortfall="stones are in it now"
    )
    assert not job.questions.filter(answered_at__isnull=True, addressee=Turn.SUPPLIER).exists()
    with pytest.raises(Overtaken):
        actions.take_back(job=out, person=jeweller, returned_mg=4500, returned_stones=20, shortfall="again")


def test_a_step_outside_the_house_is_ours_until_it_is_sent_and_again_once_it_is_back(client, job, jeweller):
    work_up_to(job, jeweller, Stage.CASTING)
    way = f"/studio/commissions/{job.reference}/suppliers/"
    assert (job.turn, job.next_act, job.next_path) == (Turn.US, "Send it to the caster: Cast", way)
    client.force_login(jeweller)
    phone = f"/studio/bench/{job.reference}/"
    assert "Send it out" in client.get(phone).content.decode()
    given = {"supplier": "Ferrow", "words": "Cast", "due_on": clock.today(), "sent_mg": 9400}
    sent = actions.send_out(commission=job, task="caster", person=jeweller, **given)
    second = actions.send_out(commission=job, task="caster", person=jeweller, **given)
    assert (job.turn, job.next_act) == (Turn.SUPPLIER, "Back from Ferrow: caster")
    page = client.get(phone).content.decode()
    assert "With Ferrow since" in page and "Take it back" in page
    actions.take_back(job=sent, person=jeweller, returned_mg=9400)
    job.refresh_from_db()
    assert job.turn == Turn.SUPPLIER  # half of it is still there
    actions.take_back(job=second, person=jeweller, returned_mg=9400)
    job.refresh_from_db()
    assert (job.turn, job.next_act) == (Turn.US, "Look at what came back: Cast")
    assert "Back from the caster" in client.get(phone).content.decode()


@pytest.mark.parametrize(
    ("mg", "stones", "shortfall", "words"),
    [
        (4310, 21, "", "more cannot come back"),
        (4310, 19, "", "what is missing"),
        (4300, 20, "", "what is missing"),
        (4400, 20, "", "More metal came back"),
    ],
)
def test_what_differs_needs_a_word(mg, stones, shortfall, words, out, jeweller):
    with pytest.raises(Refused, match=words):
        actions.take_back(
            job=out, person=jeweller, returned_mg=mg, returned_stones=stones, shortfall=shortfall
        )


def test_the_link_shows_task_and_stones_and_nothing_of_the_client(client, job, out, jeweller, joachim):
    token = actions.make_link(job=out, person=jeweller)
    page = client.get(f"/studio/outside/{token}/")
    text = page.content.decode()
    assert page.status_code == 200
    assert page["Cache-Control"] == "no-store"
    for word in ("Set the halo", "20, 0.190 ct", job.reference):
        assert word in text
    for word in (joachim.full_name, "Seelenbrink", "joachim@", job.title, "GBP", "/studio/commissions/"):
        assert word not in text


def test_the_link_ends_with_a_newer_one_with_its_day_and_with_the_work(client, out, jeweller):
    first = actions.make_link(job=out, person=jeweller)
    second = actions.make_link(job=out, person=jeweller)
    assert client.get(f"/studio/outside/{first}/").status_code == 404
    assert client.get(f"/studio/outside/{second}/").status_code == 200
    type(out).objects.filter(pk=out.pk).update(link_until=clock.now() - datetime.timedelta(seconds=1))
    assert client.get(f"/studio/outside/{second}/").status_code == 404
    third = actions.make_link(job=out, person=jeweller)
    actions.take_back(job=out, person=jeweller, returned_mg=4310, returned_stones=20)
    assert client.get(f"/studio/outside/{third}/").status_code == 404
    out.refresh_from_db()
    with pytest.raises(Refused, match="needs no link"):
        actions.make_link(job=out, person=jeweller)


def test_only_the_hash_of_a_link_is_kept(out, jeweller):
    token = actions.make_link(job=out, person=jeweller)
    out.refresh_from_db()
    assert token not in out.link_hash
    assert len(out.link_hash) == 64


def test_the_pages_send_and_take_back(client, job, jeweller):
    client.force_login(jeweller)
    way = f"/studio/commissions/{job.reference}/suppliers/"
    due = (clock.today() + datetime.timedelta(days=5)).isoformat()
    sent = {
        "task": "caster",
        "supplier": "Ferrow Casting",
        "words": "Cast in 18 ct",
        "due_on": due,
        "sent_mg": "9.4",
    }
    assert client.post(way, sent).status_code == 302
    row = queries.supplier_jobs(commission=job).get()
    assert (row.sent_mg, row.sent_stones) == (9400, 0)
    assert "Ferrow Casting" in client.get(f"{way}{row.pk}/slip/").content.decode()
    assert "/studio/outside/" in client.post(f"{way}{row.pk}/link/").content.decode()
    back = client.post(f"{way}{row.pk}/back/", {"returned_mg": "9.0"})
    assert back.status_code == 409
    assert (
        client.post(f"{way}{row.pk}/back/", {"returned_mg": "9.0", "shortfall": "sprue kept"}).status_code
        == 302
    )


def test_nothing_sent_and_a_date_that_has_passed_are_refused(job, jeweller):
    with pytest.raises(Refused) as refused:
        actions.send_out(
            commission=job,
            task="caster",
            supplier="X",
            words="",
            person=jeweller,
            due_on=clock.today() - datetime.timedelta(days=1),
        )
    assert len(refused.value.missing) == 2

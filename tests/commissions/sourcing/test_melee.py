"""Lots of small stones: count and weight as movements, the scale before the table, origins apart."""

import pytest
from django.db import DatabaseError, connection, transaction
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from hypothesis import given, settings
from hypothesis import strategies as st

from commissions.record.errors import Refused
from commissions.sourcing import queries
from commissions.sourcing.actions import move_lot, open_lot
from commissions.sourcing.models import LotKind, LotMove, MeleeLot
from commissions.sourcing.queries.melee import Balance, Heap

pytestmark = pytest.mark.django_db

TYPED = {
    "name": "N 1.30 Antwerp",
    "species": "diamond",
    "origin": "natural",
    "size": "1.30",
    "count": "100",
    "weight": "0,980",
    "screening": "ours",
    "screening_words": "Glows as natural",
}


def a_lot(by, **changes):
    """A hundred naturals of 1.30 mm: near 0.0098 ct each by the chart."""
    facts = {"name": "N 1.30", "size_hmm": 130, "count": 100, "weight_mct": 980, "origin": "natural"}
    return open_lot(person=by, **{**facts, **changes})


def moved(lot, by, kind, count, weight, commission=None, **more):
    more = {"holder": "Ivo", "reason": "counted", **more}
    return move_lot(
        lot=lot, kind=kind, count=count, weight_mct=weight, person=by, commission=commission, **more
    )


def test_a_lot_that_fits_the_chart_is_taken_in(owner):
    lot = a_lot(owner)
    assert queries.balance(lot=lot).drawer == Heap(count=100, weight_mct=980)


@pytest.mark.parametrize("weight", [98, 9800])
def test_a_slipped_point_is_caught(owner, weight):
    with pytest.raises(Refused, match="decimal point"):
        a_lot(owner, weight_mct=weight, reason="The paper says so")
    assert not MeleeLot.objects.exists()


def test_a_lot_that_does_not_fit_needs_a_reason(owner):
    with pytest.raises(Refused):
        a_lot(owner, weight_mct=1500)
    assert "Deep stones" in a_lot(owner, weight_mct=1500, reason="Deep stones").check_words


def test_stones_go_out_and_come_back_or_are_accounted_for(owner, commission):
    lot = a_lot(owner)
    moved(lot, owner, "issue", 20, 196, commission)
    moved(lot, owner, "set", 17, 167, commission)
    moved(lot, owner, "broken", 1, 10, commission)
    moved(lot, owner, "return", 2, 19, commission)
    now = queries.balance(lot=lot, commission=commission)
    assert now == Balance(drawer=Heap(count=82, weight_mct=803), out=Heap(count=0, weight_mct=0))
    row = queries.issued_to(commission=commission)[0]
    assert (row.issued, row.open) == (Heap(count=20, weight_mct=196), Heap(count=0, weight_mct=0))
    assert (row.set.count, row.broken.count, row.returned.count, row.size) == (17, 1, 2, "1.30")
    assert queries.reconcile(commission=commission).adds_up


@pytest.mark.parametrize(
    ("kind", "count", "weight"),
    [("issue", 101, 900), ("issue", 10, 981), ("return", 1, 1), ("set", 1, 1), ("adjust", -101, 0)],
)
def test_nothing_falls_below_nought(owner, commission, kind, count, weight):
    lot = a_lot(owner)
    with pytest.raises(Refused):
        moved(lot, owner, kind, count, weight, commission)
    assert LotMove.objects.count() == 1


def test_another_jobs_stones_cannot_be_set_here(owner, commission, delphine):
    from commissions.record.actions import open_commission

    other = open_commission(client=delphine, title="Other", currency="GBP", person=owner)
    lot = a_lot(owner)
    moved(lot, owner, "issue", 20, 196, commission)
    with pytest.raises(Refused):
        moved(lot, owner, "set", 1, 10, other)


def test_origins_are_never_mixed_in_one_ring(owner, commission):
    moved(a_lot(owner), owner, "issue", 10, 98, commission)
    grown = a_lot(owner, name="L 1.30", origin="laboratory-grown")
    with pytest.raises(Refused, match="never mixed"):
        moved(grown, owner, "issue", 1, 10, commission)


def test_a_second_parcel_is_a_lot_of_its_own(owner):
    lot = a_lot(owner)
    with pytest.raises(Refused):
        a_lot(owner)
    with pytest.raises(Refused):
        moved(lot, owner, "receive", 50, 490)


@pytest.mark.parametrize("kind", ["lost", "broken", "adjust"])
def test_a_loss_says_what_happened(owner, commission, kind):
    lot = a_lot(owner)
    moved(lot, owner, "issue", 5, 49, commission)
    with pytest.raises(Refused):
        moved(lot, owner, kind, 1, 10, commission, reason=" ")


def test_a_movement_is_never_changed(owner):
    a_lot(owner)
    with pytest.raises(DatabaseError), transaction.atomic():
        LotMove.objects.update(count=5)
    with pytest.raises(DatabaseError), transaction.atomic():
        LotMove.objects.all().delete()


def test_the_drawer_is_told_by_origin_as_a_halo_takes_it(owner, commission):
    lot = a_lot(owner)
    a_lot(owner, name="N 1.30 second", count=50, weight_mct=490)
    a_lot(owner, name="L 1.30", origin="laboratory-grown")
    moved(lot, owner, "issue", 20, 196, commission)
    assert queries.drawer_stock(species="diamond", origin="natural") == {"1.30": 130}


STEPS = st.lists(
    st.tuples(st.sampled_from(LotKind.values), st.integers(1, 30), st.integers(0, 300)), max_size=25
)


@settings(max_examples=100, deadline=None)
@given(steps=STEPS)
def test_drawer_job_and_what_is_gone_always_add_up(steps):
    now, received, gone = Balance(drawer=Heap(count=0, weight_mct=0), out=Heap(count=0, weight_mct=0)), 0, 0
    for kind, count, weight in steps:
        drawer, out = now.after(kind=kind, count=count, weight_mct=weight)
        now = Balance(drawer=drawer, out=out)
        received += count if kind in ("receive", "adjust") else 0
        gone += count if kind in ("set", "broken", "lost") else 0
    assert now.drawer.count + now.out.count + gone == received


def test_a_lot_is_taken_in_from_its_form_and_moved(owner, commission, studio):
    answer = studio.post("/studio/stones/lots/", TYPED)
    lot = MeleeLot.objects.get()
    assert answer["Location"] == f"/studio/stones/lots/{lot.pk}/"
    move = {
        "kind": "issue",
        "reference": commission.reference.lower(),
        "count": "20",
        "weight": "0.196",
        "holder": "Ivo",
    }
    assert studio.post(answer["Location"], move).status_code == 302
    assert queries.balance(lot=lot).out == Heap(count=20, weight_mct=196)
    wrong = studio.post(answer["Location"], {**move, "reference": "NOPE"})
    assert "reference" in wrong.context["form"].errors
    assert 'value="0.196"' in wrong.content.decode()


@pytest.mark.parametrize(("field", "wrong"), [("count", "many"), ("size", "0.2"), ("weight", "light")])
def test_wrong_input_stays(studio, field, wrong):
    answer = studio.post("/studio/stones/lots/", {**TYPED, field: wrong})
    assert field in answer.context["form"].errors
    assert f'value="{wrong}"' in answer.content.decode()
    assert not MeleeLot.objects.exists()


def test_questions_to_the_database_do_not_grow_with_lots(studio, owner):
    counts = []
    for batch in (1, 29):
        for place in range(batch):
            a_lot(owner, name=f"{batch}-{place}")
        with CaptureQueriesContext(connection) as seen:
            assert studio.get("/studio/stones/lots/").status_code == 200
        counts.append(len(seen))
    assert counts[0] == counts[1]


def test_the_drawer_is_the_studios(setter):
    assert Browser().get("/studio/stones/lots/").status_code == 302
    browser = Browser()
    browser.force_login(setter)
    assert browser.get("/studio/stones/lots/").status_code == 403

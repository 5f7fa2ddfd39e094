"""Every gram has a holder; a job's account states its base."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from commissions.bench import actions, queries
from commissions.bench.models import MetalMovement, MovementKind
from commissions.record.errors import Overtaken, Refused
from commissions.record.route import Stage
from tests.cast import person, ring_client
from tests.commissions.bench.conftest import with_metal, with_stone, work_up_to


@pytest.fixture
def lot(owner):
    """20 g of 18 ct yellow."""
    return actions.open_lot(name="September wire", alloy="18 ct yellow", mg=20_000, person=owner)


def test_the_account_of_a_job_states_each_base(job, lot, jeweller):
    """Regression on the studio's own worked case: 9.80 g = 4.62 + 4.31 + 0.71 + loss 0.16; 1.6, 3.1 and 3.7 %."""
    for kind, mg in (("issue", 9800), ("return", 4620), ("piece", 4310), ("filings", 710)):
        actions.move_metal(lot=lot, kind=kind, mg=mg, commission=job, person=jeweller)
    (row,) = queries.job_accounts(commission=job)
    account = row.account
    assert (account.loss_mg, account.worked_mg) == (160, 5180)
    shares = (account.loss_of_issued_pct, account.loss_of_worked_pct, account.loss_of_mount_pct)
    assert [round(share, 1) for share in shares] == [1.6, 3.1, 3.7]


def test_nobody_gives_what_he_has_not(job, lot, jeweller):
    with pytest.raises(Refused, match=r"Only 20.00 g"):
        actions.move_metal(lot=lot, kind="issue", mg=20_001, commission=job, person=jeweller)
    actions.move_metal(lot=lot, kind="issue", mg=5000, commission=job, person=jeweller)
    with pytest.raises(Refused, match=r"Only 5.00 g"):
        actions.move_metal(lot=lot, kind="return", mg=5001, commission=job, person=jeweller)
    with pytest.raises(Refused, match="Say for which job"):
        actions.move_metal(lot=lot, kind="issue", mg=1, person=jeweller)


def test_a_clients_metal_goes_into_that_clients_ring_alone(job, joachim, delphine, jeweller):
    own = actions.open_lot(name="Old mount", alloy="18 ct yellow", mg=3840, person=jeweller, client=joachim)
    actions.move_metal(lot=own, kind="issue", mg=3000, commission=job, person=jeweller)
    other = actions.open_lot(
        name="Other mount", alloy="18 ct yellow", mg=3840, person=jeweller, client=delphine
    )
    with pytest.raises(Refused, match="that client's ring alone"):
        actions.move_metal(lot=other, kind="issue", mg=1, commission=job, person=jeweller)


def test_a_mistake_is_put_right_once_by_its_reverse(job, lot, jeweller):
    wrong = actions.move_metal(lot=lot, kind="issue", mg=5000, commission=job, person=jeweller)
    with pytest.raises(Refused, match="Say why"):
        actions.reverse_metal(movement=wrong, person=jeweller, reason=" ")
    actions.reverse_metal(movement=wrong, person=jeweller, reason="Other job")
    assert queries.metal_balance(lot=lot, holder="stock") == 20_000
    assert queries.alloys_issued(commission=job) == []
    with pytest.raises(Overtaken):
        actions.reverse_metal(movement=wrong, person=jeweller, reason="Again")


def test_what_has_gone_on_is_not_reversed_under_it(job, lot, jeweller):
    out = actions.move_metal(lot=lot, kind="issue", mg=5000, commission=job, person=jeweller)
    actions.move_metal(lot=lot, kind="filings", mg=700, commission=job, person=jeweller)
    with pytest.raises(Refused, match="has gone on"):
        actions.reverse_metal(movement=out, person=jeweller, reason="Wrong lot")


@pytest.fixture
def filed(job, lot, jeweller):
    """Five grams of 18 ct out, 0.70 g of filings in."""
    actions.move_metal(lot=lot, kind="issue", mg=5000, commission=job, person=jeweller)
    actions.move_metal(lot=lot, kind="filings", mg=700, commission=job, person=jeweller)
    return lot


def test_a_refiners_lot_is_closed_against_fine_grams(filed, jeweller):
    """0.700 g of 750 hold 0.525 g fine; 1.400 g of melt at 380 hold 0.532 g: 101.3 % with the sweeps in it."""
    parcel = actions.send_to_refiner(
        name="Autumn", refiner="Grey", lots=[filed], sweeps_mg=2000, scale="A", person=jeweller
    )
    (row,) = queries.refinings()
    assert (row.filings_mg, row.expected_fine_mg, row.settlement) == (700, 525, None)
    (lot,) = queries.metal_lots()
    assert (lot.stock, lot.job, lot.filings, lot.refiner) == (15_000, 4300, 0, 700)
    given = {"parcel": parcel, "person": jeweller, "received_mg": 1400}
    with pytest.raises(Refused, match=r"hold 0\.532 g fine"):
        actions.settle_refining(**given, assay_ppt=380, fine_mg=533)
    actions.settle_refining(**given, assay_ppt=380, fine_mg=532, fee="GBP 12.00")
    with pytest.raises(Overtaken):
        actions.settle_refining(**given, assay_ppt=380, fine_mg=532)
    (row,) = queries.refinings()
    assert (row.difference_mg, round(row.share_pct, 1)) == (7, 101.3)
    (lot,) = queries.metal_lots()
    assert (lot.filings, lot.refiner) == (0, 0)


def test_a_clients_filings_are_refined_alone(filed, job, joachim, jeweller):
    own = actions.open_lot(name="Old ring", alloy="18 ct yellow", mg=3000, person=jeweller, client=joachim)
    actions.move_metal(lot=own, kind="issue", mg=1000, commission=job, person=jeweller)
    actions.move_metal(lot=own, kind="filings", mg=100, commission=job, person=jeweller)
    given = {"name": "X", "refiner": "Grey", "person": jeweller}
    for lots, sweeps in (([filed, own], 0), ([own], 500)):
        with pytest.raises(Refused, match="refined alone"):
            actions.send_to_refiner(**given, lots=lots, sweeps_mg=sweeps)
    assert actions.send_to_refiner(**given, lots=[own]).client == joachim


def test_precious_metals_are_not_refined_together(filed, job, jeweller):
    other = actions.open_lot(name="Pt", alloy="Pt950Ru", mg=9000, person=jeweller)
    actions.move_metal(lot=other, kind="issue", mg=1000, commission=job, person=jeweller)
    actions.move_metal(lot=other, kind="filings", mg=100, commission=job, person=jeweller)
    with pytest.raises(Refused, match="one precious metal"):
        actions.send_to_refiner(name="X", refiner="Grey", lots=[filed, other], person=jeweller)
    with pytest.raises(Refused, match="one precious metal"):
        actions.send_to_refiner(name="X", refiner="Grey", lots=[], person=jeweller, sweeps_mg=10)


def test_an_account_is_closed_with_its_bases_and_a_word_where_much_is_missing(job, lot, jeweller):
    for kind, mg in (("issue", 9800), ("return", 4620), ("filings", 710)):
        actions.move_metal(lot=lot, kind=kind, mg=mg, commission=job, person=jeweller)
    with pytest.raises(Refused, match="mount in 18ct yellow is not booked"):
        actions.close_account(commission=job, person=jeweller)
    actions.move_metal(lot=lot, kind="piece", mg=4110, commission=job, person=jeweller)
    with pytest.raises(Refused, match="more than 5 % of the metal worked"):  # 0.36 of 5.18 g
        actions.close_account(commission=job, person=jeweller)
    assert actions.close_account(commission=job, person=jeweller, reason="Dropped down the sink") == 360
    note = MetalMovement.objects.get(kind="loss").note
    for words in (
        "3.7 % of the metal issued",
        "6.9 % of the metal worked",
        "8.8 % of the finished mount",
        "sink",
    ):
        assert words in note
    assert queries.on_jobs() == []
    with pytest.raises(Refused, match="account is closed"):
        actions.close_account(commission=job, person=jeweller, reason="again")


def test_a_weight_of_the_bench_is_booked_once_with_its_tare_and_scale(client, job, lot, jeweller):
    actions.move_metal(lot=lot, kind="issue", mg=9800, commission=job, person=jeweller)
    for kind, gross in (("mount", 14_900), ("mount", 14_310), ("returns", 14_620)):
        actions.weigh(
            commission=job,
            step=None,
            kind=kind,
            gross_mg=gross,
            tare_mg=10_000,
            scale="bench 2",
            person=jeweller,
        )
    client.force_login(jeweller)
    way = f"/studio/commissions/{job.reference}/metal/"
    rows = queries.unbooked(commission=job)
    assert [(row.net_mg, kind.value) for row, kind in rows] == [(4310, "piece"), (4620, "return")]
    page = client.get(way).content.decode()
    assert page.count("Book it</button>") == 3  # these two, and the form
    for row, _kind in rows:
        assert client.post(f"{way}book/", {"weighing": row.pk, "lot": lot.pk}).status_code == 302
    moved = MetalMovement.objects.get(kind="piece")
    assert (moved.mg, moved.tare_mg, moved.scale, moved.weighing_id) == (
        4310,
        10_000,
        "bench 2",
        rows[0][0].pk,
    )
    assert client.post(f"{way}book/", {"weighing": rows[0][0].pk, "lot": lot.pk}).status_code == 404


def test_the_tare_is_taken_off_and_who_took_it_is_written(client, job, lot, jeweller, setter):
    client.force_login(jeweller)
    way = f"/studio/commissions/{job.reference}/metal/"
    typed = {
        "kind": "issue",
        "lot": lot.pk,
        "grams": "19.8",
        "tare": "10",
        "scale": "bench 2",
        "holder": setter.pk,
    }
    wrong = client.post(way, {**typed, "tare": "20"})
    assert wrong.status_code == 422 and "more than the tare" in wrong.content.decode()
    assert client.post(way, typed).status_code == 302
    (row,) = queries.on_jobs()
    assert (row.reference, row.mg, row.holders) == (job.reference, 9800, ["Ivo Thornquill"])
    moved = MetalMovement.objects.get(kind="issue")
    assert (moved.mg, moved.tare_mg, moved.scale) == (9800, 10_000, "bench 2")


def test_the_pages_send_to_the_refiner_and_settle(client, filed, jeweller):
    client.force_login(jeweller)
    sent = {"refine": "1", "refine-name": "Autumn", "refine-refiner": "Grey", "refine-lots": [filed.pk]}
    assert client.post("/studio/metal/", sent).status_code == 302
    (row,) = queries.refinings()
    way = f"/studio/metal/refiner/{row.parcel.pk}/"
    assert "g of fine Au" in client.get(way).content.decode()
    wrong = client.post(way, {"received_mg": "0.7", "assay_ppt": "1001", "fine_mg": "0.5"})
    assert wrong.status_code == 422
    assert client.post(way, {"received_mg": "0.7", "assay_ppt": "745", "fine_mg": "0.52"}).status_code == 302
    assert "99.0 % of what the filings should hold" in client.get(way).content.decode()


@pytest.mark.parametrize("count", [1, 30])
def test_the_page_of_metal_asks_as_often_for_thirty_as_for_one(
    count, client, job, jeweller, django_assert_num_queries
):
    for number in range(count):
        lot = actions.open_lot(name=f"Lot {number}", alloy="18 ct yellow", mg=9000, person=jeweller)
        actions.move_metal(lot=lot, kind="issue", mg=1000, commission=job, person=jeweller)
        actions.move_metal(lot=lot, kind="filings", mg=100, commission=job, person=jeweller)
        actions.send_to_refiner(name=f"Parcel {number}", refiner="Grey", lots=[lot], person=jeweller)
        actions.move_metal(lot=lot, kind="filings", mg=100, commission=job, person=jeweller)
    client.force_login(jeweller)
    client.get("/studio/")  # the first page of a session writes the session down
    with django_assert_num_queries(12):
        page = client.get("/studio/metal/")
    assert page.content.count(b"/studio/metal/refiner/") == count
    with django_assert_num_queries(11):
        client.get(f"/studio/commissions/{job.reference}/metal/")


def test_marking_waits_for_the_metal_that_was_agreed(job, jeweller, monkeypatch):
    work_up_to(job, jeweller, Stage.FINISHING)
    step = queries.current_step(commission=job)
    with pytest.raises(Refused, match="No metal has been weighed out"):
        actions.finish_step(commission=job, step=step, person=jeweller)
    with_metal(job, jeweller)
    monkeypatch.setattr("commissions.bench.evidence.alloy_of", lambda *, commission: "18ct white Pd")
    with pytest.raises(Refused, match="18ct yellow was weighed out, and 18ct white Pd was agreed"):
        actions.finish_step(commission=job, step=step, person=jeweller)


@pytest.mark.parametrize(
    ("answer", "alloy", "sheet", "words"),
    [
        ("yes", "18ct white Ni", "", "contains nickel, and an allergy is on the brief"),
        ("unknown", "18ct white Ni", "", "an allergy is not ruled out"),
        ("no", "18ct white Ni", "", ""),
        ("yes", "18ct yellow", "", ""),
        ("yes", "18ct white Pd", "", "does not tell whether nickel is in it"),
        ("yes", "18ct white Pd", "unknown", "does not tell whether nickel is in it"),
        ("yes", "18ct white Pd", "contains", "contains nickel"),
        ("yes", "18ct white Pd", "none", ""),
    ],
)
def test_an_allergy_keeps_nickel_out_of_the_crucible(answer, alloy, sheet, words, job, jeweller, monkeypatch):
    from types import SimpleNamespace

    from commissions.bench import evidence

    brief = SimpleNamespace(answers={"allergy": {"allergy": answer}})
    monkeypatch.setattr(evidence, "brief_by_reference", lambda *, reference: brief)
    monkeypatch.setattr(evidence, "alloy_of", lambda *, commission: alloy)
    if sheet:
        lot = actions.open_lot(name="Grain", alloy=alloy, mg=9000, person=jeweller, nickel=sheet)
        actions.move_metal(lot=lot, kind="issue", mg=9000, commission=job, person=jeweller)
    missing = list(evidence.alloy_is_allowed(commission=job))
    assert [words in row.words for row in missing] == ([True] if words else [])


def test_a_stone_outside_its_tolerance_is_not_set(job, jeweller):
    from commissions.bench import gates

    with_stone(job, within_tolerance=False, inscription_fits=False)
    words = [row.words for row in gates.to_start(commission=job, stage=Stage.SETTING)]
    assert any("outside the tolerance" in word for word in words)
    assert any("not the one on its report" in word for word in words)


def test_the_pages_book_and_refuse(client, job, lot, jeweller):
    client.force_login(jeweller)
    way = f"/studio/commissions/{job.reference}/metal/"
    assert client.post(way, {"lot": lot.pk, "kind": "issue", "grams": "9,80"}).status_code == 302
    refused = client.post(way, {"lot": lot.pk, "kind": "return", "grams": "10"})
    assert refused.status_code == 409
    assert "Only 9.80 g" in refused.content.decode()
    assert "20.00" not in client.get("/studio/metal/").content.decode()
    assert (
        client.post(
            "/studio/metal/", {"lot-name": "New", "lot-alloy": "18ct yellow", "lot-grams": "3", "new": "1"}
        ).status_code
        == 302
    )


class Balances(TestCase):
    """Whatever is tried, no holder falls below nothing and no gram appears."""

    @settings(max_examples=25, deadline=None)
    @given(
        tries=st.lists(
            st.tuples(st.sampled_from([kind.value for kind in MovementKind]), st.integers(1, 30_000)),
            max_size=15,
        )
    )
    def test_no_gram_appears_and_none_is_owed(self, tries):
        from commissions.record.actions import open_commission

        someone = person(email="m@studio.example", full_name="Mabli Sandrake", role="jeweller")
        ring = open_commission(client=ring_client(), title="R", currency="GBP", person=someone)
        lot = actions.open_lot(name="L", alloy="18ct yellow", mg=20_000, person=someone)
        for kind, mg in tries:
            try:
                actions.move_metal(lot=lot, kind=kind, mg=mg, commission=ring, person=someone)
            except Refused:
                continue
        balances = [
            queries.metal_balance(lot=lot, holder=holder)
            for holder in ("stock", "job", "filings", "refiner", "piece", "loss", "refined")
        ]
        came_in = sum(row.mg for row in MetalMovement.objects.filter(frm="outside"))
        went_out = sum(row.mg for row in MetalMovement.objects.filter(to="outside"))
        assert min(balances) >= 0
        assert sum(balances) == came_in - went_out

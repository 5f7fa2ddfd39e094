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


def test_refining_closes_the_loop(job, lot, jeweller):
    actions.move_metal(lot=lot, kind="issue", mg=5000, commission=job, person=jeweller)
    actions.move_metal(lot=lot, kind="filings", mg=700, commission=job, person=jeweller)
    actions.move_metal(lot=lot, kind="refine-out", mg=700, person=jeweller)
    actions.move_metal(lot=lot, kind="refine-back", mg=650, person=jeweller, note="Assay 748, fee 12.00")
    (row,) = queries.metal_lots()
    assert (row.stock, row.job, row.filings, row.refiner) == (15_650, 4300, 0, 50)


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
            for holder in ("stock", "job", "filings", "refiner", "piece")
        ]
        came_in = sum(row.mg for row in MetalMovement.objects.filter(frm="outside"))
        went_out = sum(row.mg for row in MetalMovement.objects.filter(to="outside"))
        assert min(balances) >= 0
        assert sum(balances) == came_in - went_out

"""A change reaches the job card, the bench and the check once the client has approved it, and never before."""

import pytest

from commissions.money.actions import end_change, send_change
from commissions.money.actions.changing import approve_change, digest_of
from commissions.money.models import ChangeNote, ChangeStatus
from commissions.money.queries import approved_changes, standing_approval
from studio import papers
from tests.commissions.bench.conftest import to_the_bench
from tests.commissions.money.helpers import agreed_price

WHAT = "Shank three tenths wider"


@pytest.fixture
def note(commission, owner):
    """A change note that waits for its answer, on a job that has begun."""
    agreed_price(commission=commission, owner=owner)
    to_the_bench(commission, owner)
    return send_change(
        commission=commission,
        what=WHAT,
        why="More metal under the head",
        asked_by="client",
        net_minor=0,
        metal_mg=400,
        person=owner,
    )


@pytest.fixture
def read(note, owner, client, monkeypatch):
    """What stands on the job card, the phone and the check sheet now."""
    printed = []

    class Drawn:
        content = b"%PDF"

    def make(*, template, context, request=None):
        from django.template.loader import render_to_string

        printed.append(render_to_string(template, context))
        return Drawn()

    monkeypatch.setattr(papers, "make", make)
    client.force_login(owner)
    reference = note.commission.reference
    bench, card = f"/studio/bench/{reference}", f"/studio/commissions/{reference}/job-card/"

    def look():
        assert client.get(card).status_code == 200
        return {
            "card": printed[-1],
            "phone": client.get(f"{bench}/").content.decode(),
            "check": client.get(f"{bench}/check/").content.decode(),
        }

    return look


def test_a_change_that_waits_reaches_nobody(note, read):
    assert approved_changes(commission=note.commission) == []
    for where, page in read().items():
        assert WHAT not in page, where


@pytest.mark.parametrize("by_client", [True, False])
def test_a_change_that_was_refused_reaches_nobody(note, read, by_client):
    end_change(note=note, by_client=by_client, by_words="x")
    for where, page in read().items():
        assert WHAT not in page, where


def test_an_approved_change_reaches_all_three_without_its_price(note, read):
    ChangeNote.objects.filter(pk=note.pk).update(net_minor=98765)
    note.refresh_from_db()
    approve_change(
        note=note,
        shown_digest=digest_of(note=note, approval=standing_approval(commission=note.commission)),
        consent="yes",
        method="test",
        by_words="Joachim",
    )
    note.refresh_from_db()
    assert note.status == ChangeStatus.APPROVED
    for where, page in read().items():
        assert WHAT in page, where
        assert "0.40 g" in page.replace("\xa0", " "), where
        assert "987.65" not in page, where

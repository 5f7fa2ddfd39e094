"""Papers as they were handed over: kept once, drawn from what was so on that day, the same for ever."""

import hashlib
import re

import pytest
from django.db import connection
from django.template.loader import render_to_string
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext

from commissions.delivery import actions, papers, queries
from commissions.delivery.models import KeptPaper
from commissions.delivery.tasks import draw_papers
from commissions.record.models import Commission
from studio import clock, filing
from tests.commissions.delivery.conftest import RING_MG
from tests.post import sign_in_client


def of(commission, kind) -> KeptPaper:
    """The newest kept paper of a kind."""
    return KeptPaper.objects.filter(commission=commission, kind=kind).latest("id")


def test_what_leaves_with_the_parcel_is_kept_once(sent):
    rows = queries.kept_papers(commission=sent.commission)
    assert [(row.kind, row.edition) for row in rows] == [(kind, 1) for kind in papers.NAMES]
    assert all(row.sha256 == "" for row in rows)
    again = actions.keep_papers(commission=sent.commission, kinds=papers.NAMES, cause=f"parcel:{sent.pk}")
    assert again == [] and rows.count() == 5


def test_the_sweep_draws_them_and_the_bytes_never_change(sent, settings):
    assert draw_papers() == 5
    assert draw_papers() == 0
    row = of(sent.commission, "care-plan")
    content = actions.draw_paper(paper=row)
    assert content.startswith(b"%PDF-") and hashlib.sha256(content).hexdigest() == row.sha256
    settings.STUDIO_NAME = "Quite another name"
    assert actions.draw_paper(paper=row) == content
    (filing.folder() / row.file_name).write_bytes(content + b" ")
    with pytest.raises(filing.Damaged):
        actions.draw_paper(paper=row)


def test_a_paper_says_what_was_so_on_that_day_however_late_it_is_drawn(sent, monkeypatch):
    made = []
    monkeypatch.setattr(
        papers.papers, "make", lambda *, template, context: made.append(render_to_string(template, context))
    )
    Commission.objects.filter(pk=sent.commission.pk).update(title="Something else")
    sent.commission.weighings.create(
        kind="ring", net_mg=9999, person=sent.packed_by, at=clock.now(), noted_at=clock.now()
    )
    for kind in ("ring-record", "customs"):
        row = of(sent.commission, kind)
        papers.draw(kind=kind, commission=sent.commission, data=row.data, language="en-gb", kept=row)
        assert f"{RING_MG / 1000:.2f}" in made[-1] and "10.00" not in made[-1]


def test_the_care_plan_comes_again_with_its_dates(arrived):
    rows = KeptPaper.objects.filter(commission=arrived.commission, kind="care-plan")
    assert [row.edition for row in rows] == [1, 2]
    assert rows[0].data == {"care": []}
    assert len(rows[1].data["care"]) == 4
    (first, *_) = [item for item in papers.shelf(commission=arrived.commission) if item["newest"]]
    assert first["row"].kind == "ring-record"


def test_a_newer_record_brings_a_newer_edition(arrived, owner):
    commission = arrived.commission
    commission.weighings.create(
        kind="ring", net_mg=RING_MG + 3, person=owner, at=clock.now(), noted_at=clock.now()
    )
    actions.make_ring_record(commission=commission, person=owner)
    assert [row.edition for row in KeptPaper.objects.filter(kind="ring-record")] == [1, 2]
    assert of(commission, "valuation").edition == 2
    assert of(commission, "customs").edition == 1


@pytest.mark.parametrize("kind", papers.NAMES)
def test_a_paper_is_a_pdf_for_its_client_alone(sent, joachim, delphine, kind):
    commission = sent.commission
    row = of(commission, kind)
    path = f"/yours/{commission.reference}/delivery/papers/{row.pk}/"
    answer = sign_in_client(Browser(), joachim).get(path)
    if kind == "customs":
        assert answer.status_code == 404
        return
    assert answer.status_code == 200 and answer.content.startswith(b"%PDF-")
    assert answer["Content-Disposition"] == f'inline; filename="{kind}-{commission.reference}.pdf"'
    assert sign_in_client(Browser(), delphine).get(path).status_code == 404
    assert Browser().get(path).status_code == 302


@pytest.mark.parametrize("kind", papers.CLIENTS)
def test_of_a_surprise_only_the_neutral_paper_opens_without_the_passphrase(sent, joachim, kind):
    commission = sent.commission
    Commission.objects.update(discreet=True)
    path = f"/yours/{commission.reference}/delivery/papers/{of(commission, kind).pk}/"
    answer = sign_in_client(Browser(), joachim).get(path)
    if kind == "delivery-note":
        assert answer.status_code == 200
    else:
        assert answer.status_code == 302 and "next=" in answer["Location"]
    shown = sign_in_client(Browser(), joachim, stepped_up=True).get(path)
    assert shown.status_code == 200
    assert re.fullmatch(
        rf'inline; filename="paper-\d-{commission.reference}.pdf"', shown["Content-Disposition"]
    )


def test_every_paper_lies_on_one_shelf(sent, owner, jeweller, joachim, client):
    reference = sent.commission.reference
    page = sign_in_client(Browser(), joachim).get(f"/yours/{reference}/papers/").content.decode()
    assert all(str(papers.NAMES[kind]) in page for kind in papers.CLIENTS)
    assert "Sheet for customs" not in page
    client.force_login(owner)
    assert "Sheet for customs" in client.get(f"/studio/commissions/{reference}/papers/").content.decode()
    client.force_login(jeweller)
    page = client.get(f"/studio/commissions/{reference}/papers/").content.decode()
    assert "Ring record" in page and "Valuation" not in page and "customs" not in page


def test_the_shelf_asks_as_often_for_thirty_papers_as_for_one(sent, joachim):
    device = sign_in_client(Browser(), joachim)
    path = f"/yours/{sent.commission.reference}/papers/"
    device.get(path)
    with CaptureQueriesContext(connection) as few:
        device.get(path)
    for number in range(25):
        actions.keep_papers(commission=sent.commission, kinds=["care-plan"], cause=f"test:{number}")
    with CaptureQueriesContext(connection) as many:
        page = device.get(path).content.decode()
    assert page.count("Care plan") == 26
    assert len(many) == len(few)

"""From the agreed design to the settled first instalment, through the pages."""

import re

import pytest
from django.test import Client as Browser

from commissions.money import queries
from commissions.money.models import Quote
from tests.commissions.money.helpers import prices, sign_in, to_stones


@pytest.fixture(autouse=True)
def one_factor(settings):
    settings.SECOND_FACTOR_REQUIRED = False


@pytest.fixture
def priced(commission, owner):
    prices(owner=owner)
    to_stones(commission=commission, owner=owner)
    return commission


def form_of(page: str) -> dict[str, str]:
    """What a browser would send of the first form that has lines: every box as it stands."""
    fields = {}
    for tag in re.findall(r"<(?:input|textarea|select)[^>]*>", page):
        name = re.search(r'name="([^"]+)"', tag)
        if not name or 'type="checkbox"' in tag:
            continue
        value = re.search(r'value="([^"]*)"', tag)
        fields[name[1]] = value[1] if value else ""
    for name, body in re.findall(r'<select name="([^"]+)".*?>(.*?)</select>', page, re.S):
        chosen = re.search(r'value="([^"]*)" selected', body)
        fields[name] = chosen[1] if chosen else ""
    for name, body in re.findall(r'<textarea name="([^"]+)"[^>]*>(.*?)</textarea>', page, re.S):
        fields[name] = body.strip()
    return fields


def test_the_thread_of_money(priced, owner, client, joachim):
    reference = priced.reference
    client.force_login(owner)
    address = f"/studio/commissions/{reference}/money/"

    page = client.get(f"{address}quotation/").content.decode()
    typed = form_of(page)
    assert "Setting the halo stones" in typed.values()
    kept = client.post(f"{address}quotation/", {**typed, "keep": "1"})
    assert kept.status_code == 302, kept.content.decode()[:3000]
    quote = Quote.objects.get()
    assert quote.lines.filter(kind="centre").get().total_minor == 262500
    assert client.get(address).status_code == 200

    typed = {
        name: value
        for name, value in form_of(client.get(address).content.decode()).items()
        if "valid" in name
    }
    assert client.post(f"{address}send/", typed).status_code == 302
    quote.refresh_from_db()
    assert quote.status == "sent"
    priced.refresh_from_db()
    assert (priced.stage, priced.turn) == ("agreement", "client")

    theirs = Browser()
    sign_in(theirs, joachim.access)
    yours = f"/yours/{reference}/money/"
    assert "Go on to agree" in theirs.get(yours).content.decode()
    assert theirs.get(f"{yours}agree/").status_code == 302, "agreeing asks for the passphrase"
    sign_in(theirs, joachim.access, stepped_up=True)
    page = theirs.get(f"{yours}agree/").content.decode()
    assert "Approve and agree to pay GBP" in page.replace("\xa0", " ")
    digest = re.search(r'name="digest" value="(\w{64})"', page)[1]
    again = {"size": "54", "consent": "on"}
    assert theirs.post(f"{yours}agree/", {**again, "digest": "0" * 64}).status_code == 409
    assert queries.standing_approval(commission=priced) is None
    assert theirs.post(f"{yours}agree/", {**again, "digest": digest}).status_code == 302
    approval = queries.standing_approval(commission=priced)
    assert approval.digest == digest
    assert "Approve and agree to pay" in approval.consent
    assert approval.confirmed == {"size": "54"}
    assert queries.approval_differences(commission=priced) == []

    page = theirs.get(yours).content.decode()
    assert "How to pay" in page
    first = quote.instalments.get(number=1)
    assert (
        client.post(
            f"{address}receipt/",
            {
                "minor": f"{first.minor / 100:.2f}",
                "reference": "B-1",
                "on_day": "1",
                "on_month": "9",
                "on_year": "2026",
            },
        ).status_code
        == 302
    )
    assert queries.settled(commission=priced) == first.minor
    priced.refresh_from_db()
    assert (priced.turn, priced.next_act) == ("us", "Begin at the bench")
    for where in ("/studio/money/", "/studio/money/ledger/", address, f"/studio/commissions/{reference}/"):
        assert client.get(where).status_code == 200, where
    entry = priced.entries.get()
    assert "B-1" in client.get(f"/studio/money/entries/{entry.pk}/").content.decode()
    for browser, where in (
        (client, f"{address}quotation-1.pdf"),
        (client, f"{address}receipt-{entry.pk}.pdf"),
        (theirs, f"/yours/{reference}/money/quotation-1.pdf"),
        (theirs, f"/yours/{reference}/money/receipt-{entry.pk}.pdf"),
    ):
        answer = browser.get(where)
        assert answer.content.startswith(b"%PDF"), where
    assert client.get(f"{address}receipt-{entry.pk}.pdf").content == answer.content, "a paper is made once"


def test_a_stone_that_changes_voids_what_the_page_showed(priced, owner, joachim, client):
    from commissions.money.actions import draft_quote, send_quote
    from commissions.money.views.quotation import _worked
    from commissions.sourcing.models import Stone

    quote = draft_quote(commission=priced, lines=_worked(priced).lines, person=owner)
    send_quote(quote=quote, person=owner)
    sign_in(client, joachim.access, stepped_up=True)
    page = client.get(f"/yours/{priced.reference}/money/agree/").content.decode()
    digest = re.search(r'name="digest" value="(\w{64})"', page)[1]
    Stone.objects.filter(commission=priced).update(length_hmm=640)
    answer = client.post(f"/yours/{priced.reference}/money/agree/", {"digest": digest})
    assert answer.status_code == 409
    assert "Something has changed" in answer.content.decode()


@pytest.mark.parametrize("last", ["", "agree/", "pay/", "quotation-1.pdf"])
def test_only_the_client_sees_their_money(priced, owner, delphine, client, last):
    address = (
        f"/yours/{priced.reference}/money/{last}"
        if last != "agree/"
        else f"/yours/{priced.reference}/money/agree/"
    )
    assert client.get(address).status_code == 302
    sign_in(client, delphine.access, stepped_up=True)
    assert client.get(address).status_code == 404


@pytest.mark.parametrize(
    "address",
    [
        "/studio/money/",
        "/studio/money/ledger/",
        "/studio/money/taxes/",
        "/studio/money/bank/",
        "/studio/money/prices/GBP/",
    ],
)
def test_only_owners_see_money(owner, jeweller, client, address):
    assert client.get(address).status_code == 302
    client.force_login(jeweller)
    assert client.get(address).status_code == 403
    client.force_login(owner)
    assert client.get(address).status_code == 200


def test_what_is_wrong_in_the_table_is_said_and_what_was_typed_stays(priced, owner, client):
    client.force_login(owner)
    address = f"/studio/commissions/{priced.reference}/money/quotation/"
    typed = form_of(client.get(address).content.decode())
    typed["line-0-price"] = "twelve"
    page = client.post(address, {**typed, "keep": "1"})
    assert page.status_code == 422
    words = page.content.decode()
    assert "Line 1, price of one: Write a figure" in words
    assert 'value="twelve"' in words
    preview = client.post(address, typed, headers={"HX-Request": "true"})
    assert preview.status_code == 200
    assert "Line 1, price of one" in preview.content.decode()

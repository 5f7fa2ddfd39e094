"""After the agreement: changes, statements read twice, the end of a commission, what the owner exports."""

import re

import pytest

from commissions.money import actions, queries
from commissions.money import bundle as bundles
from commissions.money.cancellation import statement
from commissions.money.models import BankLine, ChangeNote, Entry, TaxCode
from commissions.money.statements import Mapping, Unreadable, read_camt, read_csv
from commissions.money.views.quotation import _worked
from commissions.record.actions import withdraw
from commissions.record.errors import Refused
from tests.commissions.money.helpers import prices, sign_in, to_stones


@pytest.fixture(autouse=True)
def one_factor(settings):
    settings.SECOND_FACTOR_REQUIRED = False


@pytest.fixture
def agreed(commission, owner):
    prices(owner=owner)
    to_stones(commission=commission, owner=owner)
    quote = actions.draft_quote(commission=commission, lines=_worked(commission).lines, person=owner)
    actions.send_quote(quote=quote, person=owner)
    commission.refresh_from_db()
    quote.refresh_from_db()
    actions.approve(
        quote=quote,
        shown_digest=bundles.digest(bundles.bundle(commission=commission, quote=quote)),
        consent="test",
        method="test",
        by_words="Joachim",
    )
    return commission


def send(agreed, owner, net=11833):
    return actions.send_change(
        commission=agreed,
        what="Shank 0.3 mm wider",
        why="More metal under the head",
        asked_by="client",
        net_minor=net,
        tax=TaxCode.objects.get(code="GB-20"),
        person=owner,
    )


def test_a_change_counts_only_when_it_is_approved(agreed, owner, client, joachim):
    before = queries.agreed_sums(commission=agreed)["gross"]
    note = send(agreed, owner)
    assert note.tax_minor == 2367
    assert queries.agreed_sums(commission=agreed)["gross"] == before
    assert queries.approval_differences(commission=agreed) == []
    address = f"/yours/{agreed.reference}/money/change/1/"
    sign_in(client, joachim.access)
    assert client.get(address).status_code == 302
    sign_in(client, joachim.access, stepped_up=True)
    page = client.get(address).content.decode()
    assert "Approve with obligation to pay GBP 142.00 more" in page.replace("\xa0", " ")
    assert client.post(address, {"digest": "0" * 64}).status_code == 409
    digest = re.search(r'name="digest" value="(\w{64})"', page)[1]
    assert client.post(address, {"digest": digest}).status_code == 302
    assert queries.agreed_sums(commission=agreed)["gross"] == before + 14200
    assert queries.approval_differences(commission=agreed) == []
    plan = queries.plan_rows(quote=queries.accepted_quote(commission=agreed))
    assert sum(row.outstanding for row in plan) == before + 14200
    with pytest.raises(Refused):
        actions.end_change(note=ChangeNote.objects.get(), by_client=True, by_words="x")


def test_a_change_that_makes_it_cheaper_lowers_the_last_instalment(agreed, owner):
    before = queries.agreed_sums(commission=agreed)["gross"]
    note = send(agreed, owner, net=-10000)
    from commissions.money.actions.changing import digest_of

    actions.approve_change(
        note=note,
        shown_digest=digest_of(note=note, approval=queries.standing_approval(commission=agreed)),
        consent="yes",
        method="test",
        by_words="Joachim",
    )
    plan = queries.plan_rows(quote=queries.accepted_quote(commission=agreed))
    assert sum(row.outstanding for row in plan) == before - 12000
    actions.post_receipt(commission=agreed, minor=before - 12000, currency="GBP", reference="B", by_words="O")
    plan = queries.plan_rows(quote=queries.accepted_quote(commission=agreed))
    assert [row.outstanding for row in plan] == [0, 0, 0, 0]


def test_an_event_asks_for_its_instalment_once(agreed):
    assert actions.event_happened(commission=agreed, event="stones-set") == 1
    assert actions.event_happened(commission=agreed, event="stones-set") == 0
    with pytest.raises(KeyError):
        actions.event_happened(commission=agreed, event="full moon")


CSV = (
    "Date;Amount;Reference;Name\n01/09/2026;1.000,50;{reference} first;J. Seelenbrink\n"
    "02/09/2026;-20,00;wire;Supplier\n02/09/2026;75,00;thanks;Somebody\n"
    "02/09/2026;75,00;thanks;Somebody\n"
)
MAPPING = Mapping(date="Date", amount="Amount", reference="Reference", counterpart="Name")


def test_a_statement_read_twice_books_nothing_twice(agreed, owner, client):
    content = CSV.format(reference=agreed.reference.lower()).encode()
    rows = read_csv(content=content, mapping=MAPPING, currency="GBP")
    first = actions.import_rows(rows=rows, person=owner)
    assert (first.matched, first.unmatched, first.out, first.known) == (1, 2, 1, 0)
    again = actions.import_rows(rows=read_csv(content=content, mapping=MAPPING, currency="GBP"), person=owner)
    assert (again.matched, again.unmatched, again.out, again.known) == (0, 0, 0, 4)
    assert queries.settled(commission=agreed) == 100050
    line = BankLine.objects.filter(state="unmatched").first()
    client.force_login(owner)
    assert client.get("/studio/money/statements/").status_code == 200
    answer = client.post(f"/studio/money/statements/{line.pk}/", {"reference": agreed.reference})
    assert answer.status_code == 302
    assert queries.settled(commission=agreed) == 107550
    with pytest.raises(Refused, match="matched this one already"):
        actions.match_line(line=line, commission=agreed, person=owner)
    assert queries.held(commission=agreed) == 107550


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"Day;Amount\n1;2\n", "no column"),
        (b"Date;Amount;Reference;Name\n31/02/2026;1;a;b\n", "no date"),
        (b"Date;Amount;Reference;Name\n01/02/2026;one;a;b\n", "no amount"),
    ],
)
def test_a_statement_that_cannot_be_read_says_why(content, words):
    with pytest.raises(Unreadable, match=words):
        read_csv(content=content, mapping=MAPPING, currency="GBP")


@pytest.mark.parametrize(
    "content",
    [
        b"<a><b></a>",
        b'<?xml version="1.0"?><Document xmlns="urn:iso:std:iso:20022:tech:xsd:pain.001.001.03"/>',
        b'<!DOCTYPE a [<!ENTITY x "y">]><Document xmlns="urn:iso:std:iso:20022:tech:xsd:camt.053.001.02">&x;</Document>',
    ],
)
def test_what_is_no_statement_is_refused(content):
    with pytest.raises(Unreadable):
        read_camt(content=content)


def test_the_cancellation_statement_keeps_only_what_is_lost(agreed, owner, client):
    actions.post_receipt(commission=agreed, minor=150000, currency="GBP", reference="B", by_words="O")
    actions.commit(
        commission=agreed,
        kind="stone",
        words="Stone",
        minor=80000,
        key="S",
        by_words="O",
        recoverable_minor=60000,
    )
    actions.commit(
        commission=agreed, kind="work", words="Casting", minor=9000, key="C", by_words="O", paid=True
    )
    found = statement(commission=agreed)
    assert (found.kept, found.refund, found.uncovered) == (29000, 121000, 0)
    with pytest.raises(Refused):
        actions.settle_cancellation(commission=agreed, person=owner)
    withdraw(commission=agreed, reason="changed their mind", person=owner)
    actions.settle_cancellation(commission=agreed, person=owner)
    actions.settle_cancellation(commission=agreed, person=owner)
    assert queries.held(commission=agreed) == 0
    assert queries.refund_due(commission=agreed) == 121000
    with pytest.raises(Refused):
        actions.pay_refund(commission=agreed, minor=121001, reference="R", person=owner)
    actions.pay_refund(commission=agreed, minor=121000, reference="R", person=owner)
    actions.pay_refund(commission=agreed, minor=121000, reference="R", person=owner)
    assert queries.settled(commission=agreed) == 29000
    assert Entry.objects.filter(kind="refund").count() == 1
    client.force_login(owner)
    assert client.get(f"/studio/commissions/{agreed.reference}/money/cancellation/").status_code == 200


def test_an_expired_offer_is_marked_and_cannot_be_taken(commission, owner):
    import datetime

    from commissions.money.models import Quote

    prices(owner=owner)
    to_stones(commission=commission, owner=owner)
    quote = actions.draft_quote(commission=commission, lines=_worked(commission).lines, person=owner)
    actions.send_quote(quote=quote, person=owner, valid_until=datetime.date(2020, 1, 1))
    quote.refresh_from_db()
    with pytest.raises(Refused, match="has ended"):
        actions.approve(quote=quote, shown_digest="x", consent="x", method="x", by_words="x")
    assert Quote.objects.get().status == "expired"


def test_a_change_of_bank_details_waits_two_days(owner, agreed, client, joachim, settings):
    first = actions.change_bank_details(currency="GBP", holder="The studio", lines="A", person=owner)
    second = actions.change_bank_details(currency="GBP", holder="A thief", lines="B", person=owner)
    assert (second.live_at - second.made_at).total_seconds() == 48 * 3600
    assert queries.bank_details(currency="GBP") == first
    sign_in(client, joachim.access, stepped_up=True)
    page = client.get(f"/yours/{agreed.reference}/money/pay/").content.decode()
    assert "The studio" in page
    assert "A thief" not in page
    assert "Our bank details change on" in page
    settings.CLOCK_OFFSET_SECONDS = 48 * 3600 + 60
    assert queries.bank_details(currency="GBP") == second


@pytest.mark.parametrize("name", ["ledger.csv", "ledger.beancount"])
def test_the_owner_takes_the_ledger_along(agreed, owner, jeweller, client, name):
    actions.post_receipt(
        commission=agreed, minor=150000, currency="GBP", reference="B", by_words="O", memo='=1+"2"'
    )
    client.force_login(jeweller)
    assert client.get(f"/studio/money/{name}").status_code == 403
    client.force_login(owner)
    text = b"".join(client.get(f"/studio/money/{name}").streaming_content).decode()
    assert "1500.00" in text


def test_every_paper_can_be_made_and_is_made_once(agreed, owner, client, joachim, delphine):
    from commissions.money.actions.changing import digest_of
    from commissions.money.more_papers import papers_of

    note = send(agreed, owner)
    actions.approve_change(
        note=note,
        shown_digest=digest_of(note=note, approval=queries.standing_approval(commission=agreed)),
        consent="yes",
        method="test",
        by_words="Joachim",
    )
    actions.post_receipt(commission=agreed, minor=100000, currency="GBP", reference="B", by_words="O")
    actions.recognise_at_handover(commission=agreed, by_words="O")
    papers = papers_of(commission=agreed)
    assert {row["kind"] for row in papers} == {"agreement", "change", "request", "invoice", "statement"}
    sign_in(client, joachim.access)
    assert client.get(f"/yours/{agreed.reference}/money/").status_code == 200
    for row in papers:
        address = f"/yours/{agreed.reference}/money/papers/{row['kind']}-{row['pk']}.pdf"
        first = client.get(address)
        assert first.content.startswith(b"%PDF"), row
        assert client.get(address).content == first.content
    assert client.get(f"/yours/{agreed.reference}/money/papers/receipt-1.pdf").status_code == 404
    sign_in(client, delphine.access)
    assert client.get(address).status_code == 404


def test_another_metal_is_priced_beside_the_first(agreed, owner, client):
    client.force_login(owner)
    address = f"/studio/commissions/{agreed.reference}/money/options/"
    same = client.get(address).context["rows"]
    assert [row["more"] for row in same] == [0] * len(same)
    rows = {row["name"]: row for row in client.get(address, {"metal": "24ct Au"}).context["rows"]}
    assert rows["Metal"]["more"] > 0
    assert rows["Together"]["more"] == rows["Metal"]["more"]


def test_what_a_job_was_to_cost_and_has_cost(agreed):
    actions.commit(commission=agreed, kind="stone", words="Stone", minor=250000, key="S", by_words="O")
    rows = {row.name: row for row in queries.profit(commission=agreed)}
    assert rows["Stones"].actual == 250000
    assert rows["Stones"].over == 250000 - rows["Stones"].forecast
    assert rows["Together"].quoted == queries.agreed_sums(commission=agreed)["net"]

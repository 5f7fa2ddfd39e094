"""The hosted card page, against a stand-in of our own that signs as such a page would."""

import json
import threading
from decimal import Decimal
from http.server import BaseHTTPRequestHandler, HTTPServer
from urllib.parse import parse_qsl, urlsplit
from urllib.request import urlopen

import pytest

from commissions.money import actions, queries
from commissions.money import bundle as bundles
from commissions.money.cards import sign
from commissions.money.models import CardPayment, Entry
from commissions.money.views.quotation import _worked
from studio import clock
from tests.commissions.money.helpers import prices, sign_in, to_stones

SECRET = "a secret of the tests"


class StandIn(BaseHTTPRequestHandler):
    """A card page on the loopback: it checks how it was called and answers with the notification it would send."""

    def do_GET(self):
        query, _, signature = urlsplit(self.path).query.rpartition("&signature=")
        good = signature == sign(secret=SECRET, time="", body=query.encode())
        asked = dict(parse_qsl(query))
        body = json.dumps(
            {
                "token": asked["token"],
                "minor": int(asked["minor"]),
                "currency": asked["currency"],
                "paid": True,
            }
        ).encode()
        self.send_response(200 if good else 403)
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, *_words):
        return


@pytest.fixture
def card_page(settings):
    server = HTTPServer(("127.0.0.1", 0), StandIn)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    settings.CARD_PAGE_ADDRESS = f"http://127.0.0.1:{server.server_port}/pay"
    settings.CARD_PAGE_SECRET = SECRET
    yield server
    server.shutdown()


@pytest.fixture
def agreed(commission, owner):
    prices(owner=owner)
    to_stones(commission=commission, owner=owner)
    quote = actions.draft_quote(
        commission=commission,
        lines=_worked(commission).lines,
        person=owner,
        second_currency="USD",
        second_rate=Decimal("1.315"),
        second_source="invented",
    )
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


def tell(client, body: bytes, *, time=None, signature=None):
    time = time or str(int(clock.now().timestamp()))
    return client.post(
        "/yours/card/notice/",
        data=body,
        content_type="application/json",
        headers={
            "X-Payment-Time": time,
            "X-Payment-Signature": signature or sign(secret=SECRET, time=time, body=body),
        },
    )


def test_a_payment_by_card_is_entered_once_and_only_as_it_was_asked_for(agreed, card_page, client, joachim):
    sign_in(client, joachim.access, stepped_up=True)
    assert "Go to the card page" in client.get(f"/yours/{agreed.reference}/money/pay/").content.decode()
    answer = client.post(f"/yours/{agreed.reference}/money/card/")
    with urlopen(answer["Location"]) as page:
        body = page.read()
    payment = CardPayment.objects.get()
    said = json.loads(body)

    assert tell(client, body, signature="0" * 64).status_code == 400
    assert tell(client, body, time=str(int(clock.now().timestamp()) - 3600)).status_code == 400
    for change in ({"minor": payment.minor - 1}, {"currency": "USD"}, {"token": "guessed"}):
        assert tell(client, json.dumps({**said, **change}).encode()).status_code == 409, change
    assert tell(client, b"[]").status_code == 400
    assert tell(client, json.dumps({**said, "paid": False}).encode()).status_code == 204
    assert Entry.objects.count() == 0

    for _ in range(3):
        assert tell(client, body).status_code == 204
    assert Entry.objects.count() == 1
    assert queries.settled(commission=agreed) == payment.minor
    agreed.refresh_from_db()
    assert agreed.next_act == "Begin at the bench"


def test_without_a_card_page_nothing_of_it_is_there(agreed, client, joachim):
    sign_in(client, joachim.access, stepped_up=True)
    assert "card page" not in client.get(f"/yours/{agreed.reference}/money/pay/").content.decode()
    assert tell(client, b"{}").status_code == 404


def test_the_second_currency_is_for_information_at_its_frozen_rate(agreed, client, joachim):
    quote = queries.accepted_quote(commission=agreed)
    assert quote.in_second(100) == 132
    sign_in(client, joachim.access)
    assert "1 GBP = 1.315 USD" in client.get(f"/yours/{agreed.reference}/money/").content.decode()

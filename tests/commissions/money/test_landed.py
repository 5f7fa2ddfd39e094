"""What customs at the client's end may ask for stands on the quotation, with its source and a caution."""

import datetime
import re
from decimal import Decimal

import pytest

from commissions.money import actions
from commissions.money import bundle as bundles
from commissions.money.landed import landed
from commissions.money.models import Quote
from commissions.money.views.quotation import _worked
from commissions.record.errors import Refused
from tests.commissions.money.helpers import agreed_price, prices, sign_in, to_stones
from tests.commissions.money.test_thread import form_of

TERMS = {
    "landed_duty": Decimal("2.5"),
    "landed_tax": Decimal(19),
    "landed_source": "the tariff (invented), heading 7113",
    "landed_on": datetime.date(2026, 9, 1),
}


@pytest.fixture(autouse=True)
def one_factor(settings):
    settings.SECOND_FACTOR_REQUIRED = False


def test_duty_and_tax_by_hand():
    """By hand: 2.5 % of 5,000.00 is 125.00; 19 % of 5,125.00 is 973.75; together 1,098.75."""
    found = landed(quote=Quote(**TERMS), net=500000)
    assert (found.duty, found.tax, found.both) == (12500, 97375, 109875)
    assert landed(quote=Quote(), net=500000) is None
    assert landed(quote=Quote(landed_tax=Decimal(19)), net=100).both == 19


def test_it_stands_where_the_client_reads_and_on_the_paper(commission, owner, joachim, client):
    quote = agreed_price(commission=commission, owner=owner, **TERMS)
    sign_in(client, joachim.access)
    page = client.get(f"/yours/{commission.reference}/money/").content.decode()
    assert "On arrival in Germany you may owe about" in page
    assert "customs alone decides what is due" in page
    assert "heading 7113, 1 September 2026" in re.sub(r"\s+", " ", page)
    answer = client.get(f"/yours/{commission.reference}/money/quotation-1.pdf")
    assert answer.content.startswith(b"%PDF")
    value = bundles.bundle(commission=commission, quote=quote)
    assert value["quote"]["landed"][0] == "2.500"


def test_an_estimate_needs_its_source(commission, owner):
    prices(owner=owner)
    to_stones(commission=commission, owner=owner)
    with pytest.raises(Refused, match="source"):
        actions.draft_quote(
            commission=commission,
            lines=_worked(commission).lines,
            person=owner,
            **{**TERMS, "landed_source": ""},
        )


def test_the_editor_keeps_it_and_the_next_version_begins_with_it(commission, owner, client):
    prices(owner=owner)
    to_stones(commission=commission, owner=owner)
    client.force_login(owner)
    address = f"/studio/commissions/{commission.reference}/money/quotation/"
    typed = form_of(client.get(address).content.decode())
    last = f"line-{int(typed['line-TOTAL_FORMS']) - 1}"
    typed |= {"landed_duty": "2,5", "landed_tax": "19", f"{last}-words": "A box", f"{last}-price": "12.00"}
    refused = client.post(address, {**typed, "keep": "1"})
    assert refused.status_code == 422
    assert "Say where the rates stand." in refused.content.decode()
    assert f"Line {int(last.split('-')[1]) + 1}, tax: Choose a tax code." in refused.content.decode()
    typed |= {
        "landed_source": "the tariff",
        "landed_on_day": "1",
        "landed_on_month": "9",
        "landed_on_year": "2026",
        f"{last}-tax_code": typed["line-0-tax_code"],
        f"{last}-quantity": "1",
    }
    kept = client.post(address, {**typed, "keep": "1"})
    assert kept.status_code == 302
    quote = Quote.objects.get()
    assert (quote.landed_duty, quote.landed_tax) == (Decimal("2.5"), Decimal(19))
    actions.send_quote(quote=quote, person=owner)
    page = client.get(address).content.decode()
    assert 'value="the tariff"' in page
    assert 'value="A box"' in page

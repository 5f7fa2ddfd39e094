"""A ring that has gone its whole way, and everything that a client can have of it."""

from __future__ import annotations

import datetime
from decimal import Decimal

from commissions.delivery import actions
from commissions.delivery.tasks import ask_kind_words
from commissions.money import actions as money
from commissions.money import bundle
from commissions.money.lines import NewLine
from commissions.record.actions import open_question, post_message
from commissions.record.models import Commission
from commissions.record.route import Turn
from commissions.sourcing.models import Stone
from studio import clock
from tests.commissions.delivery.conftest import (
    CARRIER,
    at_handover,
    confirm,
    limit,
    packing,
    photographed,
    picture,
    send,
)
from tests.commissions.delivery.test_identity import disclose
from tests.commissions.delivery.test_kind_words import given, released
from tests.commissions.money.helpers import to_stones

GROSS = 120_000


def agreed(commission: Commission, owner) -> None:
    """Design, stone, price, agreement, a change, and the money."""
    to_stones(commission=commission, owner=owner)
    commission.refresh_from_db()
    line = NewLine(
        kind="making", words="Ring", unit_minor=Decimal(100_000), tax_code="UK20", tax_rate=Decimal(20)
    )
    quote = money.draft_quote(commission=commission, lines=[line], person=owner, plan="in full")
    money.send_quote(quote=quote, person=owner)
    quote.refresh_from_db()
    shown = bundle.digest(bundle.bundle(commission=commission, quote=quote))
    money.approve(quote=quote, shown_digest=shown, consent="yes", method="test", by_words="Joachim")
    money.post_receipt(
        commission=commission, minor=GROSS, currency="GBP", reference="paid", by_words="Ottoline",
        on=clock.today(),
    )  # fmt: skip
    money.send_change(
        commission=commission, what="A wider shank", why="It looks better", asked_by="client", net_minor=0,
        person=owner,
    )  # fmt: skip


def handed_over(commission: Commission, owner) -> None:
    """Packed, sent, arrived; every paper kept."""
    at_handover(commission, owner)
    disclose(commission, owner)
    actions.make_ring_record(commission=commission, person=owner)
    confirm(commission)
    limit(owner)
    limit(owner, carrier=CARRIER)
    photographed(commission, owner)
    shipment = send(actions.pack(commission=commission, person=owner, **packing()), owner)
    actions.confirm_arrival(shipment=shipment, proof="signed", by_words="Joachim")
    commission.refresh_from_db()


def years_after(commission: Commission, owner) -> None:
    """Kind words, a worry with its answer, a message, a small job, and something to approve."""
    photo = released(commission, owner)
    with clock.standing_at(clock.now() + datetime.timedelta(days=46)):
        ask_kind_words()
        given(commission, photos=[photo.pk])
    worry = actions.raise_worry(
        commission=commission,
        sign="loose",
        words="The diamond in the halo moves",
        pictures=[picture(77)],
        access=commission.client.access,
    )
    actions.advise(worry=worry, choice="send", words="Send the ring.", person=owner)
    actions.open_job(ring=commission, work="repair", words="A claw of the halo", person=owner, worry=worry)
    post_message(commission=commission, body="About your ring", from_client=False, person=owner)
    open_question(
        commission=commission, key="approve:test", addressee=Turn.CLIENT, words="Approve",
        client_words="Approve the setting",
    )  # fmt: skip


def whole_way(commission: Commission, owner) -> Commission:
    """The ring, with its wearer, who knows nothing."""
    agreed(commission, owner)
    handed_over(commission, owner)
    years_after(commission, owner)
    Stone.objects.filter(commission=commission).update(
        return_by=clock.today() + datetime.timedelta(days=3), owner="supplier"
    )
    Commission.objects.update(discreet=True)
    commission.refresh_from_db()
    return commission


def arguments_of(commission: Commission) -> dict[str, dict]:
    """For every client's address that asks for more than the reference: what to ask it for here."""
    worry = commission.worries.get()
    letter = commission.revisions.latest("id").letter
    papers = {row.kind: row.pk for row in commission.kept_papers.order_by("id")}
    return {
        "design-yours:comment": {"pk": 1},
        "design-yours:comments": {"letter": letter},
        "design-yours:true-size": {"letter": letter},
        "money-yours:change": {"number": commission.change_notes.get().number},
        "money-yours:quotation-pdf": {"version": commission.quotes.get().version},
        "money-yours:paper-pdf": {"kind": "agreement", "pk": commission.approvals.get().pk},
        "money-yours:receipt-pdf": {"pk": commission.entries.filter(kind="receipt").get().pk},
        "delivery-yours:paper": {"pk": papers["ring-record"]},
        "delivery-yours:worry": {"pk": worry.pk},
        "pages:client-answer": {"pk": commission.questions.get(key="approve:test").pk},
    }

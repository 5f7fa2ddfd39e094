"""What stands on the papers of money: template and contents, made from rows that no longer change."""

from __future__ import annotations

import base64
from collections.abc import Callable

from django.utils import translation

from commissions.design import drawings
from commissions.design.queries import client_facts_of
from commissions.intake.models import BriefPicture
from commissions.intake.places import country_name
from commissions.money import bundle as bundles
from commissions.money import queries
from commissions.money.accounts import MONEY_IN
from commissions.money.landed import landed
from commissions.money.models import Entry, FrozenPaper, PaperKind, Quote
from commissions.record.models import Commission
from commissions.sourcing.queries import chosen
from studio.papers import make as make_pdf
from studio.pictures.queries import rendition

TEMPLATES = {
    PaperKind.QUOTATION: "print/quotation.html",
    PaperKind.RECEIPT: "print/receipt.html",
    PaperKind.AGREEMENT: "print/agreement.html",
    PaperKind.CHANGE: "print/change.html",
    PaperKind.REQUEST: "print/request.html",
    PaperKind.STATEMENT: "print/statement.html",
    PaperKind.CANCELLATION: "print/cancellation.html",
    PaperKind.INVOICE: "print/invoice.html",
}


def quotation(*, quote: Quote) -> dict:
    """A quotation as it will be signed: lines, plan, drawing, stone, size, engraving, date, terms, fingerprint."""
    commission = quote.commission
    value = bundles.bundle(commission=commission, quote=quote)
    digest = bundles.digest(value)
    revision = quote.revision
    facts = []
    drawing = screen = ""
    if revision:
        facts = client_facts_of(revision)
        drawing = drawings.as_svg(drawings.top(revision, variant="client"), scale=5)
        screen = drawings.as_svg(drawings.top(revision, variant="client"))
    totals = queries.totals(quote=quote)
    return {
        "quote": quote,
        "commission": commission,
        "reference": commission.reference,
        "lines": list(quote.lines.all()),
        "totals": totals,
        "settled": queries.settled(commission=commission),
        "landed": landed(quote=quote, net=totals["net"]),
        "country": country_name(quote.country),
        "plan": list(quote.instalments.all()),
        "revision": revision,
        "facts": facts,
        "drawing": drawing,
        "screen": screen,
        "stone": chosen(commission=commission),
        "bundle": value,
        "digest": digest,
        "fingerprint": bundles.short(digest),
        "engraving": value["engraving"],
        "terms_version": value["terms"],
    }


def pictures_of(*, commission: Commission) -> list[dict]:
    """The client's own pictures that they like something in, at most six, as JPEG inside the paper."""
    rows = (
        BriefPicture.objects.filter(brief__reference=commission.reference)
        .exclude(liked="")
        .select_related("picture")[:6]
    )
    shown = []
    for row in rows:
        content = rendition(picture=row.picture, edge=1000)
        if content:
            source = f"data:image/jpeg;base64,{base64.b64encode(content).decode()}"
            shown.append({"src": source, "words": row.liked})
    return shown


def receipt(*, entry: Entry) -> dict:
    """A receipt: what came in, for what, and what is still open."""
    commission = entry.commission
    rows = [row for row in entry.postings.all() if row.account.code in MONEY_IN]
    bank = next(row for row in rows if row.commission_id)
    quote = queries.accepted_quote(commission=commission)
    approval = queries.standing_approval(commission=commission)
    plan = queries.plan_rows(quote=quote) if quote else []
    return {
        "entry": entry,
        "commission": commission,
        "reference": commission.reference,
        "minor": bank.minor,
        "currency": bank.account.currency,
        "tax": -sum(row.minor for row in entry.postings.all() if row.account.code == "tax-due"),
        "conversion": getattr(entry, "conversion", None),
        "settled": queries.settled(commission=commission),
        "agreed": sum(row.instalment.minor for row in plan),
        "open": sum(row.outstanding for row in plan),
        "fingerprint": bundles.short(approval.digest) if approval else "",
    }


def pdf_of(*, paper: FrozenPaper, contents: Callable[[], dict]) -> bytes:
    """
    The paper as a PDF in the client's language, with its number.

    Its *contents* are gathered in that language as well, whoever opens it first.
    """
    language = paper.commission.client.access.language
    with translation.override(language):
        return make_pdf(
            template=TEMPLATES[PaperKind(paper.kind)],
            context={**contents(), "paper": paper, "language": language},
        ).content

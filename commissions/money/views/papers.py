"""Papers of money: for the studio and for the client whose they are."""

from __future__ import annotations

from django.http import Http404
from django.views.decorators.http import require_GET

from commissions.money import more_papers, papers
from commissions.money.actions.papers import freeze
from commissions.money.models import Entry, PaperKind, Quote, QuoteStatus
from commissions.money.views.common import as_pdf, commission_or_404, own
from studio.people.access import staff


def _quotation(request, commission, version: int):
    quote = (
        Quote.objects.filter(commission=commission, version=version)
        .exclude(status=QuoteStatus.DRAFT)
        .select_related("revision")
        .first()
    )
    if quote is None:
        raise Http404
    return as_pdf(
        request,
        make=lambda: freeze(
            commission=commission,
            kind=PaperKind.QUOTATION,
            subject=f"quote:{quote.pk}",
            draw=lambda paper: papers.pdf_of(
                paper=paper,
                contents=lambda: {
                    **papers.quotation(quote=quote),
                    "pictures": papers.pictures_of(commission=commission),
                },
            ),
            data={"quote": quote.pk, "version": quote.version},
        )[1],
        name=f"quotation-{commission.reference}-{version}",
    )


def _receipt(request, commission, pk: int):
    entry = (
        Entry.objects.filter(pk=pk, commission=commission, kind="receipt")
        .prefetch_related("postings__account")
        .first()
    )
    if entry is None:
        raise Http404
    return as_pdf(
        request,
        make=lambda: freeze(
            commission=commission,
            kind=PaperKind.RECEIPT,
            subject=f"entry:{entry.pk}",
            draw=lambda paper: papers.pdf_of(paper=paper, contents=lambda: papers.receipt(entry=entry)),
            data={"entry": entry.pk},
        )[1],
        name=f"receipt-{commission.reference}-{pk}",
    )


def _other(request, commission, kind: str, pk: int):
    found = more_papers.find(commission=commission, kind=kind, pk=pk)
    if found is None:
        raise Http404
    return as_pdf(
        request,
        make=lambda: freeze(
            commission=commission,
            kind=kind,
            subject=found.subject,
            draw=lambda paper: papers.pdf_of(paper=paper, contents=found.contents),
        )[1],
        name=f"{kind}-{commission.reference}-{pk}",
    )


@staff("owner")
@require_GET
def paper_pdf(request, reference: str, kind: str, pk: int):
    """Any other paper of a commission as the client has it."""
    return _other(request, commission_or_404(reference), kind, pk)


@own
@require_GET
def your_paper_pdf(request, commission, kind: str, pk: int):
    """The client's own paper."""
    return _other(request, commission, kind, pk)


@staff("owner")
@require_GET
def quotation_pdf(request, reference: str, version: int):
    """A quotation as the client has it."""
    return _quotation(request, commission_or_404(reference), version)


@staff("owner")
@require_GET
def receipt_pdf(request, reference: str, pk: int):
    """A receipt as the client has it."""
    return _receipt(request, commission_or_404(reference), pk)


@own
@require_GET
def your_quotation_pdf(request, commission, version: int):
    """The client's own quotation."""
    return _quotation(request, commission, version)


@own
@require_GET
def your_receipt_pdf(request, commission, pk: int):
    """The client's own receipt."""
    return _receipt(request, commission, pk)

"""What the pages of delivery share."""

from __future__ import annotations

from django.http import Http404, HttpResponse

from commissions.record.queries import by_reference
from studio.papers import Paper, PapersUnavailable
from studio.pictures.actions import discard, receive
from studio.pictures.errors import PictureRefused
from studio.pictures.models import Picture


def commission_or_404(reference: str):
    """The commission with this reference."""
    commission = by_reference(reference=reference)
    if commission is None:
        raise Http404
    return commission


def own_or_404(request, reference: str):
    """The client's own commission; another's does not exist for them."""
    commission = commission_or_404(reference)
    if commission.client.access_id != request.client_access.pk:
        raise Http404
    request.client_commission = commission
    return commission


def as_pdf(*, make, name: str) -> HttpResponse:
    """What *make* gives (a paper or its bytes) as a browser shows it; the install line where no PDF can be made."""
    try:
        made = make()
    except PapersUnavailable as unavailable:
        return HttpResponse(str(unavailable), status=503, content_type="text/plain")
    return HttpResponse(
        made.content if isinstance(made, Paper) else made,
        content_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="{name}"', "X-Content-Type-Options": "nosniff"},
    )


def received(form, *, kind: str, who: str, field: str = "photos") -> list[Picture] | None:
    """
    The photographs of a form, taken in; None where one is refused, with the error beside the field.

    To be called outside a transaction: files are written.
    """
    taken: list[Picture] = []
    for upload in form.cleaned_data.get(field) or []:
        try:
            taken.append(receive(upload=upload, kind=kind, person_words=who))
        except PictureRefused as refused:
            form.add_error(field, f"{upload.name}: {refused.words}")
            for picture in taken:
                discard(picture=picture)
            return None
    return taken

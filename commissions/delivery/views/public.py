"""What everybody may see: the page that proves a ring record, and the kind words of clients."""

from __future__ import annotations

from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET

from commissions.delivery import queries, ring
from studio.people import throttle
from studio.pictures.serving import answer

TRIES = 30
"""Comparisons that one address may ask for in a quarter of an hour."""


@require_GET
def ask(request):
    """The form; a typed fingerprint leads to its own address."""
    typed = "".join(request.GET.get("fingerprint", "").split())[:80]
    letters = "".join(c for c in typed if c.isalnum() or c == "-")
    return redirect("ring:verify", letters) if letters else render(request, "delivery/verify.html", {})


@require_GET
def verify(request, fingerprint: str):
    """The facts of a record, without whose it is; the same answer for unknown and for not yet."""
    if throttle.too_many(what="fingerprint", who=request.META.get("REMOTE_ADDR", ""), limit=TRIES):
        return HttpResponse("Too many tries: wait a quarter of an hour.", status=429)
    record = queries.ring_record_by_fingerprint(typed=fingerprint)
    context = {"asked": True, "record": record}
    if record:
        newest = queries.ring_record(commission=record.commission)
        context |= {
            "facts": record.facts,
            "fingerprint": ring.short(record.digest),
            "newer": newest.pk != record.pk,
        }
    response = render(request, "delivery/verify.html", context, status=200 if record else 404)
    response["X-Robots-Tag"] = "noindex"
    return response


@require_GET
def kind_words(request):
    """What clients say, under the name they chose, with the photographs they gave free."""
    response = render(request, "delivery/kind_public.html", {"rows": queries.public_kind_words()})
    # What is taken down must be gone at the next look, from every place between.
    response["Cache-Control"] = "no-store"
    return response


@require_GET
def kind_photo(request, pk: int, size: int):
    """One photograph that everybody may see today."""
    photo = queries.public_photo(pk=pk)
    if photo is None:
        raise Http404
    return answer(request, photo.picture, size)

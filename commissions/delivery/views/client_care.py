"""The client's pages of the years after: checks, worries, kind words."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from commissions.delivery import actions, forms, papers, queries
from commissions.delivery.models import CareDate, Choice
from commissions.delivery.safety import ADVICE_WORDS, FIRST
from commissions.delivery.views.common import own_or_404, received
from commissions.record.errors import Refused
from commissions.record.queries import small_jobs
from studio.people import throttle
from studio.people.access import client as client_page
from studio.pictures.serving import answer

ACTS_PER_WINDOW = 20
"""Worries and checks that one client may send in a quarter of an hour."""


def _too_many(request) -> bool:
    return throttle.too_many(what="care", who=str(request.client_access.pk), limit=ACTS_PER_WINDOW)


@client_page
@require_http_methods(["GET", "POST"])
def care(request, reference: str):
    """The years after: dates, what to look for, what was found, what worried and what we said."""
    commission = own_or_404(request, reference)
    posted = request.method == "POST"
    form = forms.CareDone(request.POST if posted else None, request.FILES if posted else None)
    if posted and form.is_valid():
        row = get_object_or_404(CareDate, pk=request.POST.get("care") or 0, commission=commission)
        if _too_many(request):
            return render(request, "intake/slow_down.html", status=429)
        name = commission.client.full_name
        pictures = received(form, kind="care", who=name)
        if pictures is not None:
            actions.finish_care(
                care=row, findings=form.cleaned_data["findings"], by_words=name, pictures=pictures
            )
            return redirect("delivery-yours:care", reference=reference)
    rows = list(queries.care_of(commission=commission))
    return render(
        request,
        "delivery/care.html",
        {
            "commission": commission,
            "made": commission.ring or commission,
            "rows": rows,
            "worries": queries.worries_of(commission=commission),
            "jobs": list(small_jobs(ring=commission)),
            "papers": papers.shelf(commission=commission),
            "next": next((row for row in rows if not row.done_at), None),
            "asked_for_words": queries.is_asked(commission=commission),
            "kind_words": queries.kind_words_of(commission=commission),
            "form": form,
        },
        status=422 if form.errors else 200,
    )


@client_page
@require_http_methods(["GET", "POST"])
def new_worry(request, reference: str):
    """Say what worries you, with a photograph; what to do first stands beside every choice."""
    commission = own_or_404(request, reference)
    if commission.ring_id:
        return redirect("delivery-yours:new-worry", reference=commission.ring.reference)
    posted = request.method == "POST"
    form = forms.WorryForm(request.POST if posted else None, request.FILES if posted else None)
    if posted and form.is_valid():
        if _too_many(request):
            return render(request, "intake/slow_down.html", status=429)
        pictures = received(form, kind="care", who=commission.client.full_name)
        if pictures is not None:
            try:
                worry = actions.raise_worry(
                    commission=commission,
                    sign=form.cleaned_data["sign"],
                    words=form.cleaned_data["words"],
                    pictures=pictures,
                    access=request.client_access,
                )
            except Refused as refusal:
                form.add_error(None, str(refusal))
            else:
                return redirect("delivery-yours:worry", reference=reference, pk=worry.pk)
    if posted and form.errors and request.FILES:
        form.add_error("photos", _("Choose the photographs once more: a page cannot keep them."))
    return render(
        request,
        "delivery/worry_new.html",
        {"commission": commission, "form": form, "first": FIRST},
        status=422 if form.errors else 200,
    )


@client_page
@require_GET
def worry(request, reference: str, pk: int):
    """One worry: what to do first, what was sent, what we say; opening it is reading it."""
    commission = own_or_404(request, reference)
    row = queries.worry_of(commission=commission, pk=pk)
    if row is None:
        raise Http404
    actions.advice_was_read(worry=row)
    return render(
        request,
        "delivery/worry.html",
        {
            "commission": commission,
            "worry": row,
            "first": FIRST[row.sign],
            "advice_words": ADVICE_WORDS.get(row.answer.choice) if row.answer else "",
            "stop": bool(row.answer and row.answer.choice != Choice.WEAR),
        },
    )


@client_page
@require_GET
def photo(request, reference: str, pk: int, size: int):
    """One photograph of the client's own worn ring."""
    row = queries.care_photo(commission=own_or_404(request, reference), pk=pk)
    if row is None:
        raise Http404
    return answer(request, row.picture, size)


@client_page
@require_http_methods(["GET", "POST"])
def kind_words(request, reference: str):
    """A few words, once; afterwards what of them is public, and how to take it down."""
    commission = own_or_404(request, reference)
    row = queries.kind_words_of(commission=commission)
    if row is None and not queries.is_asked(commission=commission):
        return redirect("delivery-yours:care", reference=reference)
    photos = queries.choosable_photos(commission=commission)
    if row is not None:
        now = queries.consents_now(row=row)
        shown = {key: consent for key, consent in now.items() if consent.given}
        page = {
            "commission": commission,
            "row": row,
            "words": shown.get(None),
            "photos": [{"photo": photo, "consent": shown.get(photo.pk)} for photo in photos],
        }
        return render(request, "delivery/kind_given.html", page)
    form = forms.KindForm(request.POST if request.method == "POST" else None, photos=photos)
    if request.method == "POST" and "decline" in request.POST:
        actions.decline_kind_words(commission=commission)
        return redirect("delivery-yours:care", reference=reference)
    if request.method == "POST" and form.is_valid():
        try:
            actions.give_kind_words(commission=commission, access=request.client_access, **form.facts())
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            return redirect("delivery-yours:kind-words", reference=reference)
    ticked = set(form["photos"].value() or []) if "photos" in form.fields else set()
    page = {
        "commission": commission,
        "form": form,
        "photos": [{"photo": photo, "ticked": str(photo.pk) in ticked} for photo in photos],
    }
    return render(request, "delivery/kind_form.html", page, status=422 if form.errors else 200)


@client_page
@require_POST
def consent(request, reference: str):
    """Take down the words or one photograph, or allow it again."""
    commission = own_or_404(request, reference)
    row = queries.kind_words_of(commission=commission)
    pk = request.POST.get("photo", "")
    if row is None or not (pk == "" or pk.isdecimal()):
        raise Http404
    try:
        actions.change_consent(
            row=row,
            photo_pk=int(pk) if pk else None,
            given=request.POST.get("given") == "yes",
            access=request.client_access,
        )
    except Refused as refusal:
        messages.error(request, str(refusal))
    return redirect("delivery-yours:kind-words", reference=reference)

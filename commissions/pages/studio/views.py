"""The studio's pages that join rooms: Today, Commissions, one piece, its thread."""

from __future__ import annotations

import contextlib

from django.contrib import messages
from django.http import Http404
from django.shortcuts import redirect, render
from django.urls import NoReverseMatch, reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from commissions.money.queries import standing_approval
from commissions.pages.papers import shelves
from commissions.pages.studio import forms, piece, queries
from commissions.record import actions
from commissions.record import queries as record
from commissions.record.errors import Refused
from commissions.record.route import Stage, State, Turn
from studio import clock
from studio.people.access import staff


def _commission(reference: str):
    commission = record.by_reference(reference=reference)
    if commission is None:
        raise Http404
    return commission


@staff()
@require_GET
def today(request):
    """What needs us, what waits for whom, what falls due."""
    groups = queries.today_groups()
    briefs = queries.briefs_to_answer()
    ours = len(groups[0].rows) + len(briefs)
    return render(
        request,
        "pages/today.html",
        {
            "groups": groups,
            "briefs": briefs,
            "ours": ours,
            "ours_more": groups[0].more,
            "due": queries.falling_due(),
            "wishes": queries.wishes_to_be_forgotten() if request.user.is_owner else 0,
            "date": clock.today(),
        },
    )


@staff()
@require_GET
def commissions(request):
    """One table sorted by date needed and turn."""
    asked = {key: request.GET.get(key, "").strip() for key in ("after", "turn", "stage", "words", "state")}
    asked["state"] = asked["state"] if asked["state"] in State.values else State.OPEN
    rows, after = queries.commissions_page(**asked)
    context = {
        "rows": rows,
        "next": after,
        "asked": asked,
        "turns": [(t, queries.TURNS[t]) for t in Turn],
        "stages": Stage.choices,
        "states": State.choices,
    }
    template = "pages/commission_rows.html" if request.htmx and asked["after"] else "pages/commissions.html"
    response = render(request, template, context)
    response["Vary"] = "HX-Request"
    return response


@staff()
@require_GET
def one_piece(request, reference: str):
    """One commission: whose turn, what was agreed, its route, and every room's part of it."""
    commission = _commission(reference)
    return render(request, "pages/piece.html", piece.context_of(commission=commission, person=request.user))


@staff()
@require_http_methods(["GET", "POST"])
def messages_page(request, reference: str):
    """The thread with the client."""
    commission = _commission(reference)
    form = forms.Reply(request.POST or None)
    if request.method == "POST" and form.is_valid():
        actions.post_message(
            commission=commission, body=form.cleaned_data["body"], from_client=False, person=request.user
        )
        return redirect("pages:messages", reference=reference)
    thread = list(commission.messages.select_related("person"))
    actions.mark_seen(commission=commission, from_client=True)
    return render(request, "pages/messages.html", {"commission": commission, "thread": thread, "form": form})


@staff("owner", "jeweller")
@require_GET
def papers(request, reference: str):
    """Every paper of one commission as its client has it; sums are the owner's."""
    commission = _commission(reference)
    found = shelves(commission=commission, studio=True, sums=request.user.is_owner)
    return render(request, "pages/papers.html", {"commission": commission, "shelves": found})


@staff("owner", "jeweller")
@require_POST
def hold(request, reference: str):
    """Pause a commission, or lift the pause."""
    commission = _commission(reference)
    if "lift" in request.POST:
        actions.lift_holds(commission=commission, by_words=str(request.user))
        messages.success(request, "The hold is lifted.")
        return redirect("pages:piece", reference=reference)
    form = forms.PlaceHold(request.POST)
    if form.is_valid():
        try:
            actions.place_hold(commission=commission, person=request.user, **form.cleaned_data)
        except Refused as refusal:
            messages.error(request, str(refusal))
        return redirect("pages:piece", reference=reference)
    context = piece.context_of(commission=commission, person=request.user)
    return render(request, "pages/piece.html", {**context, "hold_form": form}, status=422)


@staff("owner")
@require_http_methods(["GET", "POST"])
def promise(request, reference: str):
    """Promise a date, or change the promise with its reason; once the ring is agreed, by a notice to the client."""
    commission = _commission(reference)
    if standing_approval(commission=commission):
        # What was agreed moves by the client's yes alone.
        return redirect("bench:date", reference)
    form = forms.Promise(request.POST or None)
    if request.method == "POST" and form.is_valid():
        actions.promise(commission=commission, by_words=str(request.user), **form.cleaned_data)
        return redirect("pages:piece", reference=reference)
    return render(request, "pages/promise.html", {"commission": commission, "form": form})


@staff("owner")
@require_http_methods(["GET", "POST"])
def withdraw(request, reference: str):
    """End a commission that will not be made: asked once more, since it cannot be undone."""
    commission = _commission(reference)
    form = forms.Withdraw(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            actions.withdraw(commission=commission, reason=form.cleaned_data["reason"], person=request.user)
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, "The commission is withdrawn. What is owed stands in its ledger.")
            return redirect("pages:piece", reference=reference)
    return render(request, "pages/withdraw.html", {"commission": commission, "form": form})


# What the owner keeps in order; a way stands here as soon as its room offers it.
HOUSE = [
    ("outbox:letters", "Outbox", "Every letter that left or waits to leave"),
    ("bench:templates", "Steps of a job", "The templates that a new job begins with"),
    (
        "bench:capacity",
        "Hours at the bench",
        "Hours promised against hours there, and what each date has to spare",
    ),
    ("money:prices", "Prices", "What metal, stones and hours cost, with their dates"),
    ("money:taxes", "Tax table", "Codes and rates by country, with source and date"),
    ("money:rule", "When sales are booked", "The rule for sales and their tax, and since when it holds"),
    ("people:people", "People", "Who is here, and who was"),
    ("trail:trail", "Trail", "What was done, by whom"),
    ("keeping:keeping", "What is kept", "How long everything is kept, and who asks to be forgotten"),
]


@staff()
@require_GET
def studio_page(request):
    """Figures, templates, prices, people: what is needed now and then."""
    links = []
    for name, words, about in HOUSE:
        with contextlib.suppress(NoReverseMatch):
            links.append({"address": reverse(name), "words": words, "about": about})
    return render(request, "pages/studio.html", {"house_links": links})

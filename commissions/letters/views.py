"""The letters of a commission, and the desk where a draft becomes one."""

from __future__ import annotations

import datetime

from django.contrib import messages
from django.http import Http404
from django.shortcuts import redirect, render
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from commissions.letters import actions, composing, forms, queries, stopping
from commissions.record.errors import Refused
from commissions.record.queries import by_reference
from studio.outbox import queries as outbox
from studio.people.access import staff

DAY = datetime.timedelta(hours=20)


def _commission(reference: str):
    commission = by_reference(reference=reference)
    if commission is None:
        raise Http404
    return commission


def _draft(reference: str, pk: int):
    draft = queries.draft_of(commission=_commission(reference), pk=pk)
    if draft is None:
        raise Http404
    return draft


@require_GET
@staff("owner", "jeweller")
def letters(request, reference: str):
    """Every letter of a commission with what became of it."""
    commission = _commission(reference)
    return render(
        request,
        "letters/letters.html",
        {
            "commission": commission,
            "rows": queries.about(commission=commission),
            "unreachable": outbox.unreachable(email=commission.client.access.email),
            "photos": queries.wishes_photos(commission=commission),
            "progress": queries.wishes_progress(commission=commission),
        },
    )


@require_http_methods(["GET", "POST"])
@staff("owner", "jeweller")
def draft(request, reference: str, pk: int):
    """Read a draft, change its words, choose its photos, send it or decide not to."""
    found = _draft(reference, pk)
    if not found.open:
        return render(request, "letters/decided.html", {"commission": found.commission, "draft": found})
    choosable = queries.choosable(commission=found.commission)
    form = forms.Editor(
        request.POST or None,
        draft=found,
        choosable=choosable,
        initial={"subject": found.subject, "words": found.words, "photos": found.chosen},
    )
    if request.method == "POST" and form.is_valid():
        answer = _decide(request, found, form)
        if answer is not None:
            return answer
    return render(request, "letters/draft.html", _desk(request, found, form, choosable))


def _decide(request, found, form):
    typed = {key: form.cleaned_data[key] for key in ("subject", "words")}
    chosen = [pk for pk in found.chosen if pk in form.cleaned_data["photos"]]
    chosen += [pk for pk in form.cleaned_data["photos"] if pk not in chosen]
    try:
        if "send" in request.POST:
            actions.send(draft=found, **typed, chosen=chosen, person=request.user)
            messages.success(request, "The letter is on its way.")
            return redirect("letters:letters", reference=found.commission.reference)
        if "keep" in request.POST:
            actions.keep(draft=found, **typed, chosen=chosen)
            messages.success(request, "Kept. Nothing was sent.")
            return redirect("letters:draft", reference=found.commission.reference, pk=found.pk)
    except Refused as refused:
        form.add_error(None, str(refused))
    return None


def _typed(found, form, choosable) -> dict:
    """What stands in the boxes now, valid or not: a preview must not wait for the last comma."""
    if not form.is_bound:
        return {"subject": found.subject, "words": found.words, "chosen": found.chosen}
    known = {photo.pk for photo in choosable}
    chosen = [int(value) for value in form["photos"].value() or [] if str(value).isdigit()]
    return {
        "subject": str(form["subject"].value() or "")[:120],
        "words": str(form["words"].value() or "")[:4000],
        "chosen": [pk for pk in chosen if pk in known],
    }


def _desk(request, found, form, choosable) -> dict:
    typed = _typed(found, form, choosable)
    return {
        "commission": found.commission,
        "draft": found,
        "form": form,
        "photos": [{"photo": photo, "chosen": photo.pk in typed["chosen"]} for photo in choosable],
        "pictures_allowed": queries.may_carry_photos(commission=found.commission),
        "letter": composing.preview(draft=found, **typed, person=request.user),
        "to": found.commission.client.access.email,
        "sent_today": queries.sent_within(commission=found.commission, within=DAY),
        "unreachable": outbox.unreachable(email=found.commission.client.access.email),
    }


@require_POST
@staff("owner", "jeweller")
def preview(request, reference: str, pk: int):
    """The letter as it would be sent with what stands in the boxes now."""
    found = _draft(reference, pk)
    choosable = queries.choosable(commission=found.commission)
    form = forms.Editor(request.POST, draft=found, choosable=choosable)
    letter = composing.preview(draft=found, **_typed(found, form, choosable), person=request.user)
    return render(request, "letters/preview.html", {"letter": letter})


@require_POST
@staff("owner", "jeweller")
def decline(request, reference: str, pk: int):
    """Decide that no letter goes out about an event."""
    found = _draft(reference, pk)
    try:
        actions.decline(draft=found, person=request.user)
        messages.success(request, "No letter goes out about this.")
    except Refused as refused:
        messages.error(request, str(refused))
    return redirect("letters:letters", reference=reference)


@require_http_methods(["GET", "POST"])
@staff("owner", "jeweller")
def reply(request, reference: str):
    """File what a client answered by letter into the thread."""
    commission = _commission(reference)
    form = forms.Reply(request.POST or None)
    if request.method == "POST" and form.is_valid():
        actions.file_reply(commission=commission, body=form.cleaned_data["body"], person=request.user)
        messages.success(request, "It stands in the thread now.")
        return redirect("letters:letters", reference=reference)
    return render(request, "letters/reply.html", {"commission": commission, "form": form})


@require_POST
@staff("owner", "jeweller")
def wish(request, reference: str):
    """Note whether the client wants photos in their letters."""
    commission = _commission(reference)
    form = forms.WishForm(request.POST)
    if form.is_valid():
        wished = {name: value for name, value in form.cleaned_data.items() if value is not None}
        actions.wish(access=commission.client.access, by_words=str(request.user), **wished)
        messages.success(request, "Noted.")
    return redirect("letters:letters", reference=reference)


@csrf_exempt
@require_http_methods(["GET", "POST"])
def stop(request, word: str):
    """
    Stop letters about progress without a sign-in. Looking changes nothing; the mail program's press does.

    The press comes from the mail program's own server, which knows no token of ours.
    """
    access = stopping.access_of(word=word)
    if access is None:
        raise Http404
    if request.method == "POST":
        actions.wish(access=access, progress=False, by_words="the client, by letter")
    return render(request, "letters/stop.html", {"stopped": request.method == "POST"})

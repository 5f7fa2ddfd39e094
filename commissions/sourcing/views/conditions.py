"""The stone's condition: written here, read and signed by the client."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from commissions.record.errors import Refused
from commissions.record.queries import by_reference
from commissions.sourcing import actions, forms, papers, queries
from commissions.sourcing.models import PaperKind
from commissions.sourcing.views.checking import stone_or_404
from studio.papers import PapersUnavailable
from studio.people.access import client as client_page
from studio.people.access import staff, stepped_up
from studio.pictures.serving import answer


def _shown(condition, *, basis: str, photos) -> dict:
    """What both sides read, from what was frozen, and where it stands now against the stone's *basis*."""
    shown = {row["photo"] for row in condition.content["shown"]["photos"]}
    return {
        **papers.read(condition),
        "signature": queries.signature(condition=condition),
        "current": condition.basis == basis,
        "papers": queries.papers_of(condition=condition),
        "photos": [row for row in photos if row.pk in shown],
    }


@staff("owner", "jeweller")
@require_http_methods(["GET", "POST"])
def condition(request, pk: int):
    """Write a stone's condition and put it to the client."""
    stone = stone_or_404(pk)
    form = forms.ConditionForm(request.POST or None, initial=_proposed(stone))
    if request.method == "POST" and form.is_valid():
        try:
            actions.send_condition(stone=stone, person=request.user, **form.cleaned_data)
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, "The client is asked to read and sign it.")
            return redirect("sourcing:condition", pk=pk)
    basis, photos = queries.standing_of(stone=stone), list(queries.photos_of(stone=stone))
    return render(
        request,
        "sourcing/condition.html",
        {
            "stone": stone,
            "form": form,
            "plot": queries.plot(stone=stone),
            "photos": photos,
            "shots_missing": queries.shots_missing(stone=stone),
            "rows": [_shown(row, basis=basis, photos=photos) for row in queries.conditions(stone=stone)],
            "same": queries.same_stone(stone=stone),
            "same_asked": stone.commission_id and queries.same_is_asked(stone=stone),
        },
    )


@staff("owner", "jeweller")
@require_POST
def ask_same(request, pk: int):
    """Ask the client whether it is the stone they sent."""
    try:
        actions.ask_same_stone(stone=stone_or_404(pk), person=request.user)
    except Refused as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(request, "The client sees the photographs and is asked.")
    return redirect("sourcing:condition", pk=pk)


def _proposed(stone) -> dict:
    """What the form begins with: the words of the last condition, or else the risks named from plot and claws."""
    last = queries.newest_condition(stone=stone)
    if last is not None:
        return {name: last.content[name] for name in forms.ConditionForm.base_fields if name in last.content}
    named = queries.risks(stone=stone)
    return {"risk": "\n".join(named), "damage": "" if named else "None seen at ten times."}


def _paper(row, kind: str) -> HttpResponse:
    try:
        _paper_row, content = actions.keep_paper(condition=row, kind=kind)
    except PapersUnavailable as lacking:
        return HttpResponse(str(lacking), status=503, content_type="text/plain")
    except papers.NotReadyYet:
        words = _("A photograph is still being prepared. Load the page again in a moment.")
        return HttpResponse(words, status=503, content_type="text/plain", headers={"Retry-After": "5"})
    return HttpResponse(
        content,
        content_type="application/pdf",
        headers={
            "Content-Disposition": f'inline; filename="{papers.file_name(row, kind)}"',
            "Cache-Control": "private, no-store",
        },
    )


@staff("owner", "jeweller")
@require_GET
def condition_pdf(request, pk: int, number: int, kind: str = PaperKind.SENT):
    """A condition on paper, as it was sent or as it was signed."""
    row = queries.conditions(stone=stone_or_404(pk)).filter(number=number).first()
    if row is None or (kind == PaperKind.SIGNED and queries.signature(condition=row) is None):
        raise Http404
    return _paper(row, kind)


def _own_stone(request, reference: str):
    commission = by_reference(reference=reference)
    if commission is None or commission.client.access_id != request.client_access.pk:
        raise Http404
    stone = queries.of_client(commission=commission)
    if stone is None:
        raise Http404
    return stone


def _own_condition(request, reference: str):
    row = queries.newest_condition(stone=_own_stone(request, reference))
    if row is None:
        raise Http404
    return row


@client_page
@stepped_up
@require_http_methods(["GET", "POST"])
def yours_condition(request, reference: str):
    """The client reads the condition of the stone and signs it, or asks."""
    row = _own_condition(request, reference)
    form = forms.ConditionSaid(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            actions.answer_condition(
                condition=row,
                signed=request.POST.get("kind") == "sign",
                shown_digest=request.POST.get("digest", ""),
                words=form.cleaned_data["words"],
                method="passphrase after a one-time code",
                by_words=row.stone.commission.client.full_name,
                access=request.client_access,
            )
        except Refused as refusal:
            form.add_error("words" if request.POST.get("kind") == "ask" else None, str(refusal))
        else:
            return redirect("sourcing-yours:condition", reference=reference)
    stone = row.stone
    shown = _shown(row, basis=queries.standing_of(stone=stone), photos=queries.photos_of(stone=stone))
    context = {"commission": stone.commission, "stone": stone, "form": form, **shown}
    return render(request, "sourcing/yours_condition.html", context)


@client_page
@require_GET
def yours_condition_pdf(request, reference: str):
    """The client's own copy of the condition: with their signature once there is one."""
    row = _own_condition(request, reference)
    return _paper(row, PaperKind.SIGNED if queries.signature(condition=row) else PaperKind.SENT)


@client_page
@require_http_methods(["GET", "POST"])
def yours_same(request, reference: str):
    """The client looks at the photographs and says whether it is the stone they sent."""
    stone = _own_stone(request, reference)
    asked = queries.same_is_asked(stone=stone)
    form = forms.SameSaid(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            actions.answer_same_stone(
                stone=stone,
                same=request.POST.get("same") == "yes",
                words=form.cleaned_data["words"],
                by_words=stone.commission.client.full_name,
                access=request.client_access,
            )
        except Refused as refusal:
            form.add_error("words", str(refusal))
        else:
            return redirect("sourcing-yours:same", reference=reference)
    context = {
        "commission": stone.commission,
        "stone": stone,
        "asked": asked,
        "said": queries.same_stone(stone=stone),
        "photos": queries.photos_of(stone=stone).filter(shown_at__isnull=False),
        "form": form,
    }
    return render(request, "sourcing/yours_same.html", context)


@client_page
@require_GET
def yours_photo(request, reference: str, photo: int, size: int):
    """One photograph of the client's stone that was shown to them."""
    row = queries.photo_of(stone=_own_stone(request, reference), pk=photo)
    if row is None or row.shown_at is None:
        raise Http404
    return answer(request, row.picture, size)

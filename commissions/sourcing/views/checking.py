"""A stone comes in: scale, callipers, loupe and camera."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from commissions.record.errors import Refused
from commissions.sourcing import actions, forms, queries
from commissions.sourcing.models import Stone
from studio.people.access import staff
from studio.pictures.errors import PictureRefused
from studio.pictures.serving import answer


def stone_or_404(pk: int) -> Stone:
    """The stone with its commission, or 404."""
    return get_object_or_404(Stone.objects.select_related("commission__client__access"), pk=pk)


def _page(stone: Stone, **more) -> dict:
    return {
        "stone": stone,
        "rows": queries.check_ins(stone=stone),
        "photos": queries.photos_of(stone=stone),
        "shots_missing": queries.shots_missing(stone=stone),
        "form": forms.CheckInForm(stone=stone),
        "photo_form": forms.PhotoForm(),
        "seat": queries.seat_of(commission=stone.commission)
        if stone.commission and stone.chosen_at
        else None,
        "off_form": forms.WriteOffForm(),
        "here": stone.state not in queries.GONE,
        **more,
    }


@staff("owner", "jeweller")
@require_http_methods(["GET", "POST"])
def check_in(request, pk: int):
    """Weigh, measure twice, read the inscription blind."""
    stone = stone_or_404(pk)
    form = forms.CheckInForm(request.POST or None, stone=stone)
    if request.method == "POST" and form.is_valid():
        try:
            actions.check_in(stone=stone, person=request.user, **form.facts())
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            return redirect("sourcing:check-in", pk=pk)
    return render(request, "sourcing/check_in.html", _page(stone, form=form))


@staff("owner", "jeweller")
@require_POST
def add_photo(request, pk: int):
    """Keep one photograph of a stone."""
    stone = stone_or_404(pk)
    form = forms.PhotoForm(request.POST, request.FILES)
    if form.is_valid():
        fields = form.cleaned_data
        try:
            actions.add_photo(
                stone=stone,
                upload=fields["upload"],
                shot=fields["shot"],
                caption=fields["caption"],
                person=request.user,
            )
        except PictureRefused as refusal:
            form.add_error("upload", refusal.words)
        else:
            messages.success(request, "The photograph is kept; the client does not see it yet.")
            return redirect("sourcing:check-in", pk=pk)
    return render(request, "sourcing/check_in.html", _page(stone, photo_form=form), status=422)


@staff()
@require_GET
def photo_file(request, pk: int, photo: int, size: int):
    """One rendition of a photograph of a stone."""
    row = queries.photo_of(stone=stone_or_404(pk), pk=photo)
    if row is None:
        raise Http404
    return answer(request, row.picture, size)


@staff("owner", "jeweller")
@require_POST
def hand_over(request, pk: int):
    """Write down who holds a stone."""
    try:
        actions.hand_over(
            stone=stone_or_404(pk),
            holder=request.POST.get("holder", "")[:80],
            reason=request.POST.get("reason", "")[:200],
            person=request.user,
        )
    except Refused as refusal:
        messages.error(request, str(refusal))
    return redirect("sourcing:held")


@staff("owner", "jeweller")
@require_GET
def held(request):
    """Who holds which stone now."""
    return render(request, "sourcing/held.html", {"rows": queries.held_by(), "melee": queries.melee_out()})

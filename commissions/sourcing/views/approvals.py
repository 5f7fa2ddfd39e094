"""A stone on approval: its slip, longer, bought, back; and a stone that is broken or lost."""

from __future__ import annotations

from django.contrib import messages
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from commissions.record.errors import Refused
from commissions.sourcing import actions, forms, queries
from commissions.sourcing.views.checking import stone_or_404
from studio.people.access import staff

DOORS = {
    "extend": (
        forms.ExtendForm,
        lambda stone, person, data: actions.extend_approval(stone=stone, person=person, **data),
    ),
    "buy": (forms.BuyForm, lambda stone, person, data: actions.buy_stone(stone=stone, person=person, **data)),
    "return": (
        forms.ReturnForm,
        lambda stone, person, data: actions.send_back(stone=stone, person=person, **data),
    ),
}
"""What may be done to a stone on approval: its form, and the action it is given to."""


@staff("owner", "jeweller")
@require_http_methods(["GET", "POST"])
def approval(request, pk: int):
    """The slip of one stone, what happened to it, and the three ways on."""
    stone = stone_or_404(pk)
    act = request.POST.get("act", "")
    shown = {name: form(prefix=name) for name, (form, _door) in DOORS.items()}
    if request.method == "POST" and act in DOORS:
        form_class, door = DOORS[act]
        form = form_class(request.POST, prefix=act)
        shown[act] = form
        if form.is_valid():
            try:
                door(stone, request.user, form.facts())
            except Refused as refusal:
                form.add_error(None, str(refusal))
            else:
                return redirect("sourcing:approval", pk=pk)
    return render(
        request,
        "sourcing/approval.html",
        {
            "stone": stone,
            "events": queries.events(stone=stone),
            "check_in": queries.newest_check_in(stone=stone),
            "forms": shown,
            "here": stone.state not in queries.GONE,
            "on_approval": stone.owner == "supplier" and stone.state not in (*queries.GONE, "set"),
            "left": queries.left_of(stone=stone),
        },
        status=422 if any(form.is_bound and form.errors for form in shown.values()) else 200,
    )


@staff("owner", "jeweller")
@require_POST
def drop(request, pk: int):
    """Take a stone that was on paper alone off the list."""
    stone = stone_or_404(pk)
    try:
        actions.drop_candidate(stone=stone, person=request.user)
    except Refused as refusal:
        messages.error(request, str(refusal))
    if stone.commission:
        return redirect("sourcing:commission", reference=stone.commission.reference)
    return redirect("sourcing:stones")


@staff("owner")
@require_POST
def write_off(request, pk: int):
    """Write that a stone is broken or lost."""
    stone = stone_or_404(pk)
    form = forms.WriteOffForm(request.POST)
    if not form.is_valid():
        messages.error(request, " ".join(error for errors in form.errors.values() for error in errors))
        return redirect(f"{reverse('sourcing:check-in', args=[pk])}#gone")
    try:
        actions.write_off(stone=stone, person=request.user, **form.cleaned_data)
    except Refused as refusal:
        messages.error(request, str(refusal))
    return redirect("sourcing:check-in", pk=pk)

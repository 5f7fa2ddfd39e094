"""The plot of a stone, and the stone turned under its claws."""

from __future__ import annotations

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from commissions.design.queries import agreed, newest
from commissions.record.errors import Refused
from commissions.sourcing import actions, forms, queries
from commissions.sourcing.models import PlotMark
from commissions.sourcing.turning import reach_suggested_hmm, steps_of
from commissions.sourcing.views.checking import stone_or_404
from gemcalc.errors import BadInput
from studio.people.access import staff


def _page(stone, **more) -> dict:
    commission = stone.commission
    revision = (agreed(commission=commission) or newest(commission=commission)) if commission else None
    steps = steps_of(outline=queries.outline_of_stone(stone=stone)) if revision else []
    start = (
        {"step": str(steps[0][0] or 0), "reach": f"{reach_suggested_hmm(revision) / 100:.2f}"}
        if steps
        else {}
    )
    return {
        "stone": stone,
        "revision": revision,
        "plot": queries.plot(stone=stone),
        "turned": queries.turned(stone=stone),
        "steps": steps,
        "form": forms.MarkForm(),
        "north_form": forms.NorthForm(initial={"north": stone.plot_north}),
        "turn_form": forms.TurnForm(stone=stone, initial=start) if steps else None,
        **more,
    }


@staff("owner", "jeweller")
@require_http_methods(["GET", "POST"])
def plot(request, pk: int):
    """Plot marks by tapping the outline, or by clock position and distance."""
    stone = stone_or_404(pk)
    form = forms.MarkForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        actions.plot_mark(stone=stone, person=request.user, **form.facts())
        return redirect("sourcing:plot", pk=pk)
    return render(request, "sourcing/plot.html", _page(stone, form=form))


@staff("owner", "jeweller")
@require_POST
def strike(request, pk: int, mark: int):
    """Take a mark off the plot."""
    row = get_object_or_404(PlotMark, pk=mark, stone_id=pk)
    try:
        actions.strike_mark(mark=row, person=request.user)
    except Refused as refusal:
        messages.error(request, str(refusal))
    return redirect("sourcing:plot", pk=pk)


@staff("owner", "jeweller")
@require_POST
def north(request, pk: int):
    """Say how the plot's twelve o'clock is found on the stone."""
    stone = stone_or_404(pk)
    form = forms.NorthForm(request.POST)
    if form.is_valid():
        actions.say_north(stone=stone, words=form.cleaned_data["north"], person=request.user)
        return redirect("sourcing:plot", pk=pk)
    return render(request, "sourcing/plot.html", _page(stone, north_form=form), status=422)


@staff("owner", "jeweller")
@require_POST
def turn(request, pk: int):
    """Choose the turn that hides most."""
    stone = stone_or_404(pk)
    form = forms.TurnForm(request.POST, stone=stone)
    if form.is_valid():
        try:
            actions.turn_stone(stone=stone, person=request.user, **form.facts())
        except (Refused, BadInput) as refusal:
            form.add_error(None, str(refusal))
        else:
            return redirect("sourcing:plot", pk=pk)
    return render(request, "sourcing/plot.html", _page(stone, turn_form=form), status=422)

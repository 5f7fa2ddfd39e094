"""Drafting the next revision: typed, computed, looked at, kept."""

from __future__ import annotations

import json

from django.contrib import messages
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from commissions.design import actions, comments, computing, drawings, forms, queries, typed
from commissions.design.models import Revision
from commissions.design.views.common import commission_of
from commissions.record.errors import Refused
from gemcalc.errors import BadInput
from studio.people.access import staff

# Which box of the form a figure's own error belongs to.
BOXES = {
    "centre.cut": "cut",
    "centre.diameter_mm": "length_mm",
    "centre.length_mm": "length_mm",
    "centre.width_mm": "width_mm",
    "depth_mm": "depth_mm",
    "melee.sizes_mm": "sizes",
    "melee.stock": "stock",
    "rules.clearance_mm": "clearance_mm",
    "width_mm": "shank_width_mm",
    "thickness_mm": "shank_thickness_mm",
    "inside_diameter_mm": "size",
}


def _base(commission, case: str) -> tuple[dict | None, str]:
    """The parameters a draft starts from (None for none yet) and its note; *case* is a halo's case as JSON."""
    standing = queries.draft(commission=commission) or queries.newest(commission=commission)
    parameters, note = (standing.parameters, standing.note) if standing else (None, "")
    if not case:
        return parameters, note
    try:
        wish = json.loads(case)
        if not isinstance(wish, dict):
            raise ValueError
        return typed.with_case(parameters or _standard(), wish), note
    except (ValueError, KeyError, TypeError, AttributeError):
        raise BadInput("the case that came along cannot be read: fit it again", field="case") from None


def _standard() -> dict:
    return computing.standard(
        centre={"cut": "round", "diameter_mm": 6.5},
        depth_mm=4.0,
        circumference_mm=54.0,
        metal="18ct yellow",
    )


def _start(request, commission) -> dict:
    case = request.GET.get("case", "")
    try:
        parameters, note = _base(commission, case)
    except BadInput as error:
        messages.error(request, f"The case that came along cannot be used: {error.message}.")
        case, (parameters, note) = "", _base(commission, "")
    return {**typed.typed_from(parameters or _standard(), note=note), "case": case}


def _computed(form, commission):
    """Parameters and outputs of a valid form; a figure's own error lands beside its box."""
    try:
        before, _note = _base(commission, form.cleaned_data["case"])
        parameters = typed.parameters_of(form.cleaned_data, before=before)
        return parameters, computing.outputs(parameters)
    except BadInput as error:
        form.add_error(BOXES.get(error.field or ""), error.message)
        return None, None


@staff("owner", "jeweller")
@require_http_methods(["GET", "POST"])
def draft(request, reference: str):
    """Draft the next revision; *Look* shows it, *Keep* keeps it."""
    commission = commission_of(reference)
    form = (
        forms.Parameters(request.POST)
        if request.method == "POST"
        else forms.Parameters(initial=_start(request, commission))
    )
    preview = None
    if request.method == "POST" and form.is_valid():
        parameters, outputs = _computed(form, commission)
        if parameters is not None and "keep" in request.POST:
            try:
                actions.draft_revision(
                    commission=commission,
                    parameters=parameters,
                    person=request.user,
                    note=form.cleaned_data["note"],
                )
            except Refused as refusal:
                form.add_error(None, str(refusal))
            else:
                return redirect("design:design", reference=reference)
        if parameters is not None:
            row = Revision(letter="", parameters=parameters, outputs=outputs)
            preview = {
                "svg": drawings.as_svg(drawings.top(row)),
                "facts": queries.facts_of(row),
                "outputs": outputs,
            }
    template = "design/preview.html" if request.htmx else "design/draft.html"
    talks = [] if request.htmx else comments.open_talks(commission=commission)
    page = {"commission": commission, "form": form, "preview": preview, "talks": talks}
    return render(request, template, page)

"""Drafting the next revision: typed, computed, looked at, kept."""

from __future__ import annotations

import json
from collections.abc import Callable
from urllib.parse import parse_qsl, urlencode

from django.contrib import messages
from django.shortcuts import redirect, render

from commissions.design import actions, comments, computing, drawings, forms, queries, typed
from commissions.design.models import Revision
from commissions.design.variations import Change, varied
from commissions.record.errors import Refused
from gemcalc.errors import BadInput

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

BEGINS = ("from", "centre_mm", "melee_mm", "metal", "circumference_mm")
"""What an address may say of the revision that a draft begins from, and of what is changed in it."""

Drawer = Callable[..., dict[str, int]]
"""What the drawer holds of one species and origin: size to count. A later room knows it and passes it in."""


def _base(commission, *, case: str, begin: str = "") -> tuple[dict | None, str]:
    """The parameters a draft starts from (None for none yet) and its note; *case* is a halo's case as JSON."""
    standing = queries.draft(commission=commission) or queries.newest(commission=commission)
    parameters, note = (standing.parameters, standing.note) if standing else (None, "")
    if begin:
        parameters = _begun(commission, dict(parse_qsl(begin))) or parameters
    if not case:
        return parameters, note
    try:
        wish = json.loads(case)
        if not isinstance(wish, dict):
            raise ValueError
        return typed.with_case(parameters or computing.usual(), wish), note
    except (ValueError, KeyError, TypeError, AttributeError):
        raise BadInput("the case that came along cannot be read: fit it again", field="case") from None


def _begun(commission, asked: dict[str, str]) -> dict | None:
    """The parameters of the revision an address names, with its changes."""
    row = Revision.objects.filter(commission=commission, letter=asked.get("from", "")).first()
    if row is None:
        return None

    def figure(name: str) -> float | None:
        value = float(asked[name]) if asked.get(name) else None
        if value is not None and not abs(value) < 1000:
            raise ValueError(name)
        return value

    try:
        change = Change(
            centre_mm=figure("centre_mm"),
            melee_mm=figure("melee_mm"),
            metal=asked.get("metal") or None,
            circumference_mm=figure("circumference_mm"),
        )
    except ValueError:
        raise BadInput("the change that came along cannot be read: choose it again", field="begin") from None
    return varied(row.parameters, change)


def _start(request, commission) -> dict:
    """What stands in the boxes at first: the standing design, what an address carries, a case from the fit."""
    case = request.GET.get("case", "")
    begin = (
        urlencode({name: request.GET[name] for name in BEGINS if request.GET.get(name)})
        if "from" in request.GET
        else ""
    )
    try:
        parameters, note = _base(commission, case=case, begin=begin)
    except BadInput as error:
        messages.error(request, f"What came along cannot be used: {error.message}.")
        case = begin = ""
        parameters, note = _base(commission, case="")
    boxes = {**typed.typed_from(parameters or computing.usual(), note=note), "case": case, "begin": begin}
    carried = {} if begin else {name: request.GET[name] for name in boxes if request.GET.get(name)}
    return {**boxes, **carried, "case": case, "begin": begin}


def _computed(form, commission):
    """Parameters and outputs of a valid form; a figure's own error lands beside its box."""
    try:
        before, _note = _base(commission, case=form.cleaned_data["case"], begin=form.cleaned_data["begin"])
        parameters = typed.parameters_of(form.cleaned_data, before=before)
        return parameters, computing.outputs(parameters)
    except BadInput as error:
        form.add_error(BOXES.get(error.field or ""), error.message)
        return None, None


def _held(parameters: dict, drawer: Drawer) -> dict[str, int]:
    centre = parameters["centre"]
    return drawer(species=centre["species"], origin=centre["origin"])


def _order(outputs: dict, held: dict[str, int]) -> list[dict]:
    """What the halo takes of every size, what the drawer has of it, and what is to be ordered."""
    counts = (outputs.get("layout") or {}).get("figures", {}).get("counts", {})
    return [
        {
            "size": size,
            "needed": count,
            "held": held.get(size, 0),
            "lacking": max(count - held.get(size, 0), 0),
        }
        for size, count in sorted(counts.items(), key=lambda row: float(row[0]))
    ]


def preview_of(parameters: dict, outputs: dict, *, drawer: Drawer) -> dict:
    """The drawing, the figures, the order against the drawer and the checks of what is on the table."""
    row = Revision(letter="", parameters=parameters, outputs=outputs)
    held = _held(parameters, drawer)
    return {
        "svg": drawings.as_svg(drawings.top(row)),
        "facts": queries.facts_of(row),
        "outputs": outputs,
        "checks": computing.checks(parameters, outputs.get("layout")),
        "order": _order(outputs, held),
        "drawer": [
            f"{count} × {size}" for size, count in sorted(held.items(), key=lambda row: float(row[0]))
        ],
        "kind": f"{parameters['centre']['origin']} {parameters['centre']['species']}",
    }


def _from_drawer(data, commission, drawer: Drawer):
    """The boxes with the drawer's stones in them."""
    standing, _note = _base(commission, case="")
    held = _held(standing or computing.usual(), drawer)
    data = data.copy()
    data["stock"] = " ".join(f"{size}:{count}" for size, count in held.items())
    data["sizes"] = " ".join(held)
    return data


def draft_page(request, commission, *, drawer: Drawer):
    """Draft the next revision; *Look* shows it, *Keep* keeps it, *From the drawer* takes what is there."""
    posted = request.method == "POST"
    if posted:
        data = _from_drawer(request.POST, commission, drawer) if "drawer" in request.POST else request.POST
        form = forms.Parameters(data)
    else:
        boxes = _start(request, commission)
        form = forms.Parameters(boxes, initial=boxes)
    preview = None
    if form.is_valid():
        parameters, outputs = _computed(form, commission)
        if parameters is not None and posted and "keep" in request.POST:
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
                return redirect("design:design", reference=commission.reference)
        if parameters is not None:
            preview = preview_of(parameters, outputs, drawer=drawer)
    template = "design/preview.html" if request.htmx else "design/draft.html"
    talks = [] if request.htmx else comments.open_talks(commission=commission)
    page = {"commission": commission, "form": form, "preview": preview, "talks": talks}
    return render(request, template, page)

"""Pages of the design room: the studio's drawing table, and what the client sees of it."""

from __future__ import annotations

import json

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from commissions.design import actions, computing, drawings, forms, queries, typed
from commissions.design.models import AnswerKind, Revision, Status
from commissions.record.errors import Refused
from commissions.record.queries import by_reference
from commissions.record.route import Stage
from gemcalc import drawing
from gemcalc.errors import BadInput
from studio.papers import PapersUnavailable, make
from studio.people.access import client as client_page
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


def commission_of(reference: str):
    """The commission, or 404."""
    commission = by_reference(reference=reference)
    if commission is None:
        raise Http404
    return commission


@staff("owner", "jeweller")
@require_GET
def design(request, reference: str):
    """Every revision of a design, the newest first, with the client's answers."""
    commission = commission_of(reference)
    revisions = list(queries.revisions(commission=commission))[::-1]
    shown = [
        {"revision": row, "svg": drawings.as_svg(drawings.top(row)), "facts": queries.facts_of(row)}
        for row in revisions
    ]
    return render(
        request,
        "design/design.html",
        {
            "commission": commission,
            "shown": shown,
            "can_draft": commission.stage in (Stage.DESIGN, Stage.STONES),
            "can_go_back": commission.stage == Stage.AGREEMENT,
            "reason_form": forms.Reason(),
        },
    )


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
    return render(request, template, {"commission": commission, "form": form, "preview": preview})


def _revision(reference: str, letter: str) -> Revision:
    return get_object_or_404(
        Revision.objects.select_related("commission__client__access"),
        commission__reference=reference,
        letter=letter,
    )


@staff("owner", "jeweller")
@require_POST
def send(request, reference: str, letter: str):
    """Send a draft to the client."""
    try:
        actions.send_revision(revision=_revision(reference, letter), person=request.user)
    except Refused as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(
            request, f"Revision {letter} is sent. The letter that announces it waits to be looked at."
        )
    return redirect("design:design", reference=reference)


@staff("owner")
@require_POST
def start_revision(request, reference: str):
    """Go back from Agreement to Design, with a reason."""
    commission = commission_of(reference)
    form = forms.Reason(request.POST)
    try:
        actions.start_revision(
            commission=commission,
            person=request.user,
            reason=form.data.get("reason", "") if form.is_valid() else "",
        )
    except Refused as refusal:
        messages.error(request, str(refusal))
    return redirect("design:design", reference=reference)


@staff()
@require_GET
def sheet(request, reference: str, letter: str):
    """The drawing sheet: four views, dimensioned, to scale."""
    revision = _revision(reference, letter)
    views = [(name, drawings.as_svg(scene)) for name, scene in drawings.views(revision)]
    return render(
        request,
        "design/sheet.html",
        {
            "commission": revision.commission,
            "revision": revision,
            "views": views,
            "facts": queries.facts_of(revision),
            "proof": queries.recomputed(revision),
        },
    )


@staff()
@require_GET
def sheet_pdf(request, reference: str, letter: str):
    """The drawing sheet on paper, five times true size, with a bar to check the printer against."""
    revision = _revision(reference, letter)
    views = [
        (name, drawings.as_svg(scene, scale=5 if name == "Top" else 2.5))
        for name, scene in drawings.views(revision)
    ]
    try:
        paper = make(
            template="print/drawing_sheet.html",
            context={
                "commission": revision.commission,
                "revision": revision,
                "views": views,
                "facts": queries.facts_of(revision),
                "reference": reference,
            },
        )
    except PapersUnavailable as lacking:
        return HttpResponse(str(lacking), status=503, content_type="text/plain")
    return HttpResponse(
        paper.content,
        content_type="application/pdf",
        headers={
            "Content-Disposition": f'inline; filename="{reference}-{letter}.pdf"',
        },
    )


@staff()
@require_GET
def sheet_dxf(request, reference: str, letter: str):
    """The top view as DXF, mm, 1:1."""
    revision = _revision(reference, letter)
    return HttpResponse(
        drawing.to_dxf(drawings.top(revision)),
        content_type="image/vnd.dxf",
        headers={
            "Content-Disposition": f'attachment; filename="{reference}-{letter}.dxf"',
        },
    )


def _own_commission(request, reference: str):
    commission = commission_of(reference)
    if commission.client.access_id != request.client_access.pk:
        raise Http404
    return commission


@client_page
@require_http_methods(["GET", "POST"])
def yours(request, reference: str):
    """The design as the client sees it: agree, ask, or not yet."""
    commission = _own_commission(request, reference)
    revision = queries.newest(commission=commission)
    waits = revision is not None and revision.status == Status.SENT
    form = forms.ClientAnswer(request.POST or None)
    if request.method == "POST" and form.is_valid() and revision is not None:
        kind = request.POST.get("kind", "")
        try:
            if kind not in AnswerKind.values or request.POST.get("letter") != revision.letter:
                raise Refused("A newer revision has been sent. Please look at that one.")
            actions.answer_revision(
                revision=revision,
                kind=kind,
                words=form.cleaned_data["words"],
                by_words=commission.client.full_name,
                access=request.client_access,
            )
        except Refused as refusal:
            form.add_error("words" if kind != AnswerKind.AGREE else None, str(refusal))
        else:
            return redirect("design-yours:design", reference=reference)
    context = {"commission": commission, "revision": revision, "waits": waits, "form": form}
    if revision is not None:
        context |= {
            "svg": drawings.as_svg(drawings.top(revision, variant="client")),
            "front": drawings.as_svg(drawings.views(revision)[1][1]),
            "facts": queries.client_facts_of(revision),
            "answers": revision.answers.all(),
        }
    return render(request, "design/yours.html", context)

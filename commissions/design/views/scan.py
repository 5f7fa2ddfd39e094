"""From a scan of the stone to the seat of a draft: kept, fitted, its unit corrected, used."""

from __future__ import annotations

import io

from django.contrib import messages
from django.core.files.storage import storages
from django.http import Http404
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from commissions.design import actions, forms, queries
from commissions.design.models import FileKind, RevisionFile, Status
from commissions.design.views.common import commission_of, revision_of
from commissions.record.errors import Refused
from gemcalc.errors import BadInput
from gemcalc.web.fields import sentence
from gemcalc.web.uploads.scan import scan as fitted
from studio.people.access import staff


@staff("owner", "jeweller")
@require_http_methods(["GET", "POST"])
def new_scan(request, reference: str):
    """Send a scan of the stone for the draft."""
    commission = commission_of(reference)
    form = (
        forms.NewScan(request.POST, request.FILES, too_large=getattr(request, "too_large", ()))
        if request.method == "POST"
        else forms.NewScan()
    )
    if request.method == "POST" and form.is_valid():
        try:
            row = actions.begin_scan(
                commission=commission, upload=form.cleaned_data["file"], person=request.user
            )
        except BadInput as error:
            form.add_error("file", sentence(error.message, about="This file"))
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            return redirect("design:scan", reference=reference, letter=row.revision.letter, pk=row.pk)
    status = 422 if form.errors else 200
    return render(request, "design/new_scan.html", {"commission": commission, "form": form}, status=status)


def _fit(row: RevisionFile, form):
    """The answer of the figures' own page for this scan; the library's refusal goes beside its box."""
    with storages["default"].open(row.stored) as stored:
        file = io.BytesIO(stored.read())
    file.name = f"scan.{row.form}"
    try:
        answer, boxes = fitted({"file": file, "points": "", **form.cleaned_data})
    except BadInput as error:
        form.add_error(error.field if error.field in form.fields else None, sentence(error.message))
        return None, ""
    answer.acts = []
    return answer, boxes["unit"]


@staff("owner", "jeweller")
@require_http_methods(["GET", "POST"])
def scan(request, reference: str, letter: str, pk: int):
    """One scan fitted: looked at in another unit or cut, and made the seat of the draft."""
    revision = revision_of(reference, letter)
    row = queries.file_of(revision=revision, pk=pk)
    if row is None or row.kind != FileKind.SCAN:
        raise Http404
    data = request.POST if request.method == "POST" else request.GET
    # An empty answer is an answer too: everything is guessed.
    form = forms.Fitted(data)
    answer = unit = None
    if form.is_valid():
        answer, unit = _fit(row, form)
        if answer and request.method == "POST" and "use" in request.POST:
            try:
                _use(row, form, unit, request.user)
            except Refused as refusal:
                form.add_error(None, str(refusal))
            except BadInput as error:
                form.add_error(None, sentence(error.message))
            else:
                messages.success(request, "The scan is the seat of the draft. Everything was computed anew.")
                return redirect("pages:draft", reference=reference)
    return render(
        request,
        "design/scan.html",
        {
            "commission": revision.commission,
            "revision": revision,
            "row": row,
            "form": form,
            "answer": answer,
            "unit": unit,
            "is_draft": revision.status == Status.DRAFT,
        },
        status=422 if request.method == "POST" else 200,
    )


def _use(row: RevisionFile, form, unit: str, person) -> None:
    actions.use_scan(
        row=row,
        person=person,
        unit=form.cleaned_data["unit"] or None,
        cut=form.cleaned_data["cut"] or None,
        weight_ct=form.cleaned_data["weight"],
    )

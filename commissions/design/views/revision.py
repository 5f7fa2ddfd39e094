"""One revision: its figures proved, its files, and what was laid over its stone."""

from __future__ import annotations

from django.contrib import messages
from django.core.files.storage import storages
from django.http import FileResponse, Http404
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_POST

from commissions.design import actions, drawings, forms, queries
from commissions.design.models import FileKind, Status
from commissions.design.views.common import own_commission, revision_of
from commissions.record.errors import Refused
from commissions.record.route import Stage
from gemcalc.errors import BadInput
from gemcalc.web.fields import sentence
from studio.people.access import client as client_page
from studio.people.access import staff
from studio.pictures import serving


def _page(request, row, *, form=None, status: int = 200):
    is_draft = row.status == Status.DRAFT and row.commission.stage in (Stage.DESIGN, Stage.STONES)
    files = list(queries.files_of(revision=row))
    checks = [
        {**queries.check_facts(check), "svg": queries.check_drawing(check) if place == 0 else ""}
        for place, check in enumerate(queries.checks_of(revision=row))
    ]
    context = {
        "commission": row.commission,
        "revision": row,
        "svg": drawings.as_svg(drawings.top(row)),
        "facts": queries.facts_of(row),
        "proof": _proof(row),
        "files": files,
        "is_draft": is_draft,
        "form": form or forms.NewFile(),
        "checks": checks,
    }
    return render(request, "design/revision.html", context, status=status)


def _proof(row):
    try:
        return queries.recomputed(row)
    except BadInput as error:
        # Today's engine will not take what an older one took: the page says so and stands.
        return {"holds": False, "words": f"Today's engine refuses these parameters: {error}."}


@staff("owner", "jeweller")
@require_GET
def revision(request, reference: str, letter: str):
    """One revision with its files and checks."""
    return _page(request, revision_of(reference, letter))


@staff("owner", "jeweller")
@require_POST
def add_file(request, reference: str, letter: str):
    """Add a picture or a model to a draft."""
    row = revision_of(reference, letter)
    form = forms.NewFile(request.POST, request.FILES, too_large=getattr(request, "too_large", ()))
    if form.is_valid():
        try:
            added = actions.add_file(
                revision=row,
                kind=form.cleaned_data["kind"],
                upload=form.cleaned_data["file"],
                words=form.cleaned_data["words"],
                person=request.user,
            )
        except BadInput as error:
            form.add_error("file", sentence(error.message, about="This file"))
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, f"{added.name} is with revision {letter}.")
            return redirect("design:revision", reference=reference, letter=letter)
    return _page(request, row, form=form, status=422)


def _file(reference: str, letter: str, pk: int):
    row = queries.file_of(revision=revision_of(reference, letter), pk=pk)
    if row is None:
        raise Http404
    return row


@staff("owner", "jeweller")
@require_POST
def remove_file(request, reference: str, letter: str, pk: int):
    """Take a file out of a draft."""
    row = _file(reference, letter, pk)
    try:
        actions.remove_file(row=row, person=request.user)
    except Refused as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(request, f"{row.name} is out of the draft.")
    return redirect("design:revision", reference=reference, letter=letter)


@staff()
@require_GET
def file(request, reference: str, letter: str, pk: int):
    """
    A model or scan as a download: bytes for a program of its own, never anything a browser would open.
    """
    row = _file(reference, letter, pk)
    if row.kind == FileKind.RENDER:
        raise Http404
    return FileResponse(
        storages["default"].open(row.stored),
        as_attachment=True,
        filename=f"{reference}-{letter}-{row.name}",
        content_type="application/octet-stream",
        headers={
            "X-Content-Type-Options": "nosniff",
            "Content-Security-Policy": "default-src 'none'; sandbox",
            "Cache-Control": "private, no-store",
        },
    )


@staff()
@require_GET
def file_picture(request, reference: str, letter: str, pk: int, size: int):
    """A picture of a revision, for the studio."""
    row = _file(reference, letter, pk)
    if row.picture is None:
        raise Http404
    return serving.answer(request, row.picture, size)


@client_page
@require_GET
def yours_picture(request, reference: str, pk: int, size: int):
    """A picture of a revision that was sent, for the client."""
    row = queries.render_of(commission=own_commission(request, reference), pk=pk)
    if row is None:
        raise Http404
    return serving.answer(request, row.picture, size)

"""The drawing sheet: page, paper and DXF."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from commissions.design import drawings, queries
from commissions.design.views.common import revision_of
from gemcalc import drawing
from studio.papers import PapersUnavailable, make
from studio.people.access import staff


@staff()
@require_GET
def sheet(request, reference: str, letter: str):
    """The drawing sheet: four views, dimensioned, to scale."""
    revision = revision_of(reference, letter)
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
    revision = revision_of(reference, letter)
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
    revision = revision_of(reference, letter)
    return HttpResponse(
        drawing.to_dxf(drawings.top(revision)),
        content_type="image/vnd.dxf",
        headers={
            "Content-Disposition": f'attachment; filename="{reference}-{letter}.dxf"',
        },
    )

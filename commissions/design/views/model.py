"""A model laid over the stone."""

from __future__ import annotations

from pathlib import PurePosixPath

from django.core.files.storage import storages
from django.shortcuts import redirect, render

from commissions.design import actions, drawings, forms, modelcheck, queries
from commissions.design.models import Revision
from gemcalc.errors import BadInput
from gemcalc.web.fields import sentence


def _opened(revision: Revision, form) -> tuple[bytes, str]:
    """The bytes and name of the file that was chosen: one of the revision's, or one that came along."""
    chosen = form.cleaned_data.get("of")
    if chosen and not form.cleaned_data.get("file"):
        row = queries.file_of(revision=revision, pk=int(chosen))
        with storages["default"].open(row.stored) as file:
            return file.read(), row.name
    upload = form.cleaned_data["file"]
    return upload.read(), PurePosixPath(upload.name.replace("\\", "/")).name[:100]


def _checked(request, revision: Revision, form, girdles):
    """The check, or None where something was refused; the words stand beside the box."""
    data = form.cleaned_data
    place = request.POST.get("girdle", "0")
    words, girdle = girdles[int(place)] if place.isdigit() and int(place) < len(girdles) else girdles[0]
    content, name = _opened(revision, form)
    try:
        return actions.check_model(
            revision=revision,
            content=content,
            name=name,
            girdle=girdle,
            girdle_words=words,
            person=request.user,
            low_um=round(1000 * data["low_mm"]),
            high_um=round(1000 * data["high_mm"]),
            align=data["align"] != "no",
            unit=data["unit"] or None,
            axis=data["axis"] or None,
            level_mm=float(data["level_mm"]) if data["level_mm"] is not None else None,
            note=data["note"],
        )
    except BadInput as error:
        box = form.names.get(error.field or "", error.field or "")
        form.add_error(box if box in form.fields else None, sentence(error.message, about="This file"))
        return None


def _other_stone(check, girdles: list[tuple[str, dict]]) -> bool:
    """Whether the stone was measured anew since a check: none of its outlines is the one that was laid under."""
    return check.girdle_digest not in {modelcheck.digest_of(outline) for _words, outline in girdles}


def model_page(request, revision: Revision, *, girdles: list[tuple[str, dict]]):
    """
    Lay the opening of a model over the stone.

    *girdles* are the outlines that may stand for the stone, in words and as outlines, the likeliest first.
    """
    models = queries.openings_of(revision=revision)
    posted = request.method == "POST"
    form = forms.Opening(
        request.POST if posted else None,
        request.FILES if posted else None,
        too_large=getattr(request, "too_large", ()),
        models=models,
    )
    if posted and form.is_valid() and _checked(request, revision, form, girdles) is not None:
        return redirect("pages:model-check", reference=revision.commission.reference, letter=revision.letter)
    checks = [queries.check_facts(check) for check in queries.checks_of(revision=revision)]
    return render(
        request,
        "design/model.html",
        {
            "commission": revision.commission,
            "revision": revision,
            "form": form,
            "girdles": [words for words, _outline in girdles],
            "girdle": request.POST.get("girdle", "0"),
            "newest": checks[0] if checks else None,
            "other_stone": bool(checks) and _other_stone(checks[0]["check"], girdles),
            "svg": queries.check_drawing(checks[0]["check"]) if checks else "",
            "older": checks[1:],
            "seat": drawings.as_svg(drawings.top(revision, variant="client")),
        },
        status=422 if posted else 200,
    )

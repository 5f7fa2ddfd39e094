"""The pictures of a brief: adding, saying what is meant, removing, looking."""

from __future__ import annotations

from django.conf import settings
from django.http import Http404
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from commissions.intake import actions, queries
from commissions.intake.errors import NotYet
from commissions.intake.forms import Pictures
from commissions.intake.forms.pictures import MOST_PICTURES, PictureWords
from commissions.intake.views.common import KEY, draft_or_new, present_draft, unhurried, with_draft
from commissions.intake.views.questions import around
from studio.pictures import serving
from studio.pictures.errors import PictureRefused


def _rows(draft, posted) -> list[dict]:
    if draft is None:
        return []
    return [
        {
            "row": row,
            "form": PictureWords(
                posted if posted is not None and f"p{row.pk}-liked" in posted else None,
                prefix=f"p{row.pk}",
                initial={"liked": row.liked, "not_this": row.not_this},
            ),
        }
        for row in draft.pictures.select_related("picture")
    ]


@require_http_methods(["GET", "POST"])
@unhurried
def pictures(request):
    """Add pictures and say what is meant by each; *Continue* asks for words beside every one."""
    draft, where = present_draft(request), around(slug="pictures", checking="check" in request.GET)
    form = Pictures(
        request.POST if request.method == "POST" else None,
        request.FILES if request.method == "POST" else None,
        brief=draft,
    )
    rows = _rows(draft, request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        if form.cleaned_data["website"]:
            return redirect(where["onward"])
        draft = draft_or_new(request)
        _keep_words(draft, rows)
        added = _take(request, draft, form)
        more_to_say = added or any(row["form"].errors for row in rows if row["form"].is_bound)
        if not form.errors and "add" not in request.POST and not more_to_say:
            actions.answer(brief=draft, slug="pictures", given=form.answer())
            return redirect(where["onward"])
        if not form.errors and (added or "add" in request.POST):
            return redirect(request.get_full_path())
        if added:
            rows = _rows(draft, request.POST)
    return render(
        request,
        "intake/pictures.html",
        {
            "form": form,
            "question": Pictures,
            "draft": draft,
            "rows": rows,
            "most": MOST_PICTURES,
            "full": len(rows) >= MOST_PICTURES,
            "wrong": bool(form.errors) or any(row["form"].errors for row in rows),
            "note": "" if where["checking"] else queries.note_before(brief=draft, slug="pictures"),
            **where,
        },
    )


def _keep_words(draft, rows) -> None:
    for row in rows:
        if row["form"].is_bound and row["form"].is_valid():
            actions.describe_picture(brief=draft, pk=row["row"].pk, **row["form"].cleaned_data)


def _take(request, draft, form) -> int:
    added = 0
    if getattr(request, "too_large", None):
        form.add_error(
            "files",
            _("A picture is larger than %(size)s MB. Send a smaller one.")
            % {"size": settings.UPLOAD_FILE_MB},
        )
    for upload in form.cleaned_data.get("files") or []:
        try:
            actions.add_picture(brief=draft, upload=upload)
            added += 1
        except PictureRefused as error:
            form.add_error("files", f"{upload.name}: {error.words}")
        except NotYet as error:
            form.add_error("files", error.words)
            break
    return added


@require_POST
@unhurried
@with_draft
def remove(request, pk: int, brief):
    """Take one picture out."""
    actions.remove_picture(brief=brief, pk=pk)
    return redirect(
        request.POST.get("back")
        if request.POST.get("back") == "/brief/pictures/?check"
        else "intake:pictures"
    )


@require_GET
def picture(request, pk: int, size: int):
    """A picture of the brief that this browser is writing or has sent."""
    token = request.session.get(KEY, "")
    brief = queries.draft_of(token=token) or queries.sent_with(token=token)
    row = queries.picture_of(brief=brief, pk=pk) if brief else None
    if row is None:
        raise Http404
    return serving.answer(request, row.picture, size)

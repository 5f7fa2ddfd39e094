"""Comments on a drawing: the client pins them, the studio answers and closes them."""

from __future__ import annotations

from django.http import Http404
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from commissions.design import actions, comments, forms, pins, places, queries, terms
from commissions.design.forms.comments import NUDGES
from commissions.design.models import Revision, Status, View
from commissions.design.views.common import commission_of, own_commission, revision_of
from commissions.record.errors import Refused
from commissions.record.models import Commission
from studio.people import throttle
from studio.people.access import client as client_page
from studio.people.access import staff

PER_WINDOW = 30


def _sent_revision(commission: Commission, letter: str) -> Revision:
    revision = revision_of(commission.reference, letter)
    if revision.status == Status.DRAFT:
        raise Http404
    return revision


def _page(request, revision: Revision, *, view: str, mark=None, **more) -> dict:
    """What both pages show: the drawing with its pins, and everything that was said, this revision's first."""
    commission = revision.commission
    talks = comments.talks(commission=commission)
    own = [talk for talk in talks if talk.comment.revision_id == revision.pk]
    carried = [talk for talk in talks if talk.comment.revision_id < revision.pk and talk.is_open]
    shown = [talk.pin(on=revision) for talk in [*carried, *own] if talk.comment.view == view]
    return {
        "commission": commission,
        "revision": revision,
        "view": view,
        "views": View.choices,
        "drawing": pins.pinned(places.scene_of(revision, view), shown, mark=mark),
        "own": own,
        "carried": carried,
        "sent": queries.sent(commission=commission),
        "can_comment": comments.can_comment(commission=commission),
        **more,
    }


def _view(request) -> str:
    asked = request.POST.get("view") or request.GET.get("view") or View.TOP
    return asked if asked in View.values else View.TOP


@client_page
@require_http_methods(["GET", "POST"])
def yours_comments(request, reference: str, letter: str):
    """The drawing with its pins; a tap, a named place or an arrow says where, and the client writes what."""
    commission = own_commission(request, reference)
    revision = _sent_revision(commission, letter)
    view = _view(request)
    scene = places.scene_of(revision, view)
    found = places.places(revision, view)
    said = request.POST.copy() if request.method == "POST" else None
    if said is not None and "to" in said:
        # Another view: its places are others, what was written stays.
        view = said["to"] if said["to"] in View.values else view
        scene, found = places.scene_of(revision, view), places.places(revision, view)
        form = forms.NewComment(
            initial={"view": view, "words": said.get("words", "")}, places=found, box=scene.box
        )
        said = None
    elif said is not None:
        form = forms.NewComment(said, places=found, box=scene.box)
        if "mark" in said or "nudge" in said:
            form = _marked(form, said, found, scene.box)
        elif form.is_valid():
            answer = _keep(request, revision, form)
            if answer is not None:
                return answer
    else:
        form = forms.NewComment(initial={"view": view}, places=found, box=scene.box)
    mark = form.mark() or _initial_mark(form)
    page = _page(request, revision, view=view, mark=mark, form=form)
    page["included"] = terms.included(commission=commission)
    newest = queries.newest(commission=commission)
    page["is_newest"] = newest is not None and newest.pk == revision.pk
    page["newest"] = newest
    return render(request, "design/yours_comments.html", page)


def _initial_mark(form) -> tuple[float, float] | None:
    x, y = form.initial.get("x"), form.initial.get("y")
    return (x, y) if x is not None and y is not None else None


def _marked(form, said, found, box):
    """The form anew with the mark put or moved, and everything that was typed; nothing is judged yet."""
    form.is_valid()
    x, y = form.mark() or ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
    dx, dy = NUDGES.get(said.get("nudge", ""), (0.0, 0.0))
    x, y = min(max(x + dx, box[0]), box[2]), min(max(y + dy, box[1]), box[3])
    place = form.cleaned_data.get("place") or ""
    initial = {
        "view": said.get("view"),
        "x": round(x, 3),
        "y": round(y, 3),
        "place": place,
        "marked": place,
        "words": said.get("words", ""),
    }
    return forms.NewComment(initial=initial, places=found, box=box)


def _keep(request, revision: Revision, form):
    if throttle.too_many(what="comment", who=str(request.client_access.pk), limit=PER_WINDOW):
        return render(request, "intake/slow_down.html", status=429)
    typed = form.cleaned_data
    try:
        made = actions.comment(
            revision=revision,
            view=typed["view"],
            x_mm=typed["x"],
            y_mm=typed["y"],
            words=typed["words"],
            by_words=revision.commission.client.full_name,
            access=request.client_access,
        )
    except Refused as refusal:
        form.add_error(None, str(refusal))
        return None
    return redirect(_address(revision, view=typed["view"], label=f"{revision.letter}{made.number}"))


def _address(revision: Revision, *, view: str, label: str, to: str = "design-yours:comments") -> str:
    address = reverse(to, args=[revision.commission.reference, revision.letter])
    return f"{address}?view={view}#comment-{label}"


@client_page
@require_http_methods(["GET", "POST"])
def yours_comment(request, reference: str, pk: int):
    """One comment: the client calls it settled, or takes it up again with a few words."""
    commission = own_commission(request, reference)
    talk = comments.talk_of(commission=commission, pk=pk)
    if talk is None:
        raise Http404
    form = forms.Reopen(request.POST if "reopen" in request.POST else None)
    by_words = commission.client.full_name
    try:
        if request.method == "POST" and "close" in request.POST:
            actions.close_comment(comment=talk.comment, by_words=by_words)
        elif request.method == "POST" and form.is_valid():
            actions.reopen_comment(comment=talk.comment, words=form.cleaned_data["words"], by_words=by_words)
        else:
            page = {"commission": commission, "talk": talk, "form": form}
            return render(request, "design/yours_comment.html", page)
    except Refused as refusal:
        if form.is_bound:
            form.add_error("words", str(refusal))
        page = {"commission": commission, "talk": talk, "form": form, "refused": str(refusal)}
        return render(request, "design/yours_comment.html", page, status=409)
    return redirect(_address(talk.comment.revision, view=talk.comment.view, label=talk.label))


@staff("owner", "jeweller")
@require_http_methods(["GET"])
def studio_comments(request, reference: str, letter: str):
    """The same drawing with its pins; under every comment its answer is written."""
    commission_of(reference)
    revision = revision_of(reference, letter)
    page = _page(request, revision, view=_view(request))
    for talk in [*page["own"], *page["carried"]]:
        talk.comment.form = forms.CommentAnswer(auto_id=f"answer_{talk.comment.pk}_%s")
    return render(request, "design/comments.html", page)


@staff("owner", "jeweller")
@require_POST
def answer(request, reference: str, pk: int):
    """Answer a comment, or answer and close it; what was typed stays where it is refused."""
    commission = commission_of(reference)
    talk = comments.talk_of(commission=commission, pk=pk)
    if talk is None:
        raise Http404
    form = forms.CommentAnswer(request.POST, auto_id=f"answer_{pk}_%s")
    if form.is_valid():
        try:
            actions.answer_comment(
                comment=talk.comment,
                words=form.cleaned_data["words"],
                person=request.user,
                close="close" in request.POST,
            )
        except Refused as refusal:
            form.add_error("words", str(refusal))
        else:
            revision, view = talk.comment.revision, talk.comment.view
            return redirect(_address(revision, view=view, label=talk.label, to="design:comments"))
    page = _page(request, talk.comment.revision, view=talk.comment.view, form=form)
    for row in [*page["own"], *page["carried"]]:
        row.comment.form = (
            form if row.comment.pk == pk else forms.CommentAnswer(auto_id=f"answer_{row.comment.pk}_%s")
        )
    return render(request, "design/comments.html", page, status=422)

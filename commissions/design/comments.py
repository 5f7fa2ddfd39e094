"""Reads of comments: what was said about a place, what became of it, and who has to say the next word."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext as _

from commissions.design.models import Comment, Remark, RemarkKind, Revision
from commissions.design.pins import Pin
from commissions.design.places import place_words
from commissions.record.models import Commission
from commissions.record.route import Stage, State, Turn

WHILE_OPEN = (Stage.DESIGN, Stage.STONES, Stage.AGREEMENT)
"""Stages in which a drawing can still be talked over; after them a change is a change note."""


@dataclass(frozen=True, kw_only=True)
class Talk:
    """One comment with everything that was said about it since, oldest first."""

    comment: Comment
    remarks: list[Remark]

    @property
    def is_open(self) -> bool:
        """Whether the matter is not settled."""
        for remark in reversed(self.remarks):
            if remark.kind != RemarkKind.ANSWER:
                return remark.kind == RemarkKind.REOPEN
        return True

    @property
    def waits_for(self) -> str:
        """Whose word comes next: ours after the client spoke, the client's after we did; nobody's when settled."""
        if not self.is_open:
            return ""
        last = self.remarks[-1] if self.remarks else None
        return Turn.CLIENT if last and not last.from_client else Turn.US

    @property
    def label(self) -> str:
        """How the comment is called across revisions: its letter and number."""
        return f"{self.comment.revision.letter}{self.comment.number}"

    @property
    def where(self) -> str:
        """The place in words."""
        return _("%(view)s, %(place)s") % {
            "view": self.comment.get_view_display(),
            "place": place_words(self.comment.place),
        }

    def pin(self, *, on: Revision) -> Pin:
        """Its pin on the drawing of a revision; one that was made on another revision says so."""
        carried = self.comment.revision_id != on.pk
        state = _("open") if self.is_open else _("closed")
        title = _("Comment %(label)s, %(state)s: %(words)s") % {
            "label": self.label,
            "state": state,
            "words": self.comment.words[:120],
        }
        if carried:
            title = _("Made on revision %(letter)s. ") % {"letter": self.comment.revision.letter} + title
        return Pin(
            label=self.label,
            x=self.comment.x_hmm / 100,
            y=self.comment.y_hmm / 100,
            href=f"#comment-{self.label}",
            title=title,
            kind="carried" if carried else "open" if self.is_open else "closed",
        )


def talks(*, commission: Commission) -> list[Talk]:
    """Every comment of a commission with its remarks, oldest first: two queries."""
    rows = (
        Comment.objects.filter(revision__commission=commission)
        .select_related("revision")
        .prefetch_related("remarks")
        .order_by("revision_id", "number")
    )
    return [Talk(comment=row, remarks=list(row.remarks.all())) for row in rows]


def open_talks(*, commission: Commission) -> list[Talk]:
    """Comments that are not settled, of whatever revision."""
    return [talk for talk in talks(commission=commission) if talk.is_open]


def talk_of(*, commission: Commission, pk: int) -> Talk | None:
    """One comment of this commission, and of no other."""
    row = (
        Comment.objects.filter(revision__commission=commission, pk=pk)
        .select_related("revision__commission__client")
        .first()
    )
    return Talk(comment=row, remarks=list(row.remarks.all())) if row else None


def can_comment(*, commission: Commission) -> bool:
    """Whether the drawing can still be talked over."""
    return commission.state == State.OPEN and commission.stage in WHILE_OPEN

"""What is told at the drawing table: revisions, their files, comments and the client's answers."""

from __future__ import annotations

from django.core.files.uploadedfile import SimpleUploadedFile

from commissions.design import actions as design
from commissions.design import queries as designs
from commissions.design.models import Comment
from commissions.design.places import places
from commissions.intake.models import Client
from commissions.pages.demo.setting_out import Cast, on
from commissions.record.models import Commission
from studio.pictures.actions import render


class AtTable:
    """The part of a story that happens at the drawing table; mixed into the teller."""

    cast: Cast
    commission: Commission
    client: Client

    def draft_and_send(
        self,
        *,
        parameters: dict,
        day: str,
        note: str = "",
        despite: str = "",
        scan: tuple[str, bytes] | None = None,
        files: tuple[tuple, ...] = (),
    ):
        """The next revision, drafted, its seat taken from a *scan*, its *files* added, and sent."""
        owner = self.cast.owner
        with on(day, "11:00"):
            revision = design.draft_revision(
                commission=self.commission, parameters=parameters, person=owner, note=note
            )
            if scan:
                row = design.begin_scan(
                    commission=self.commission, upload=SimpleUploadedFile(*scan), person=owner
                )
                revision = design.use_scan(row=row, person=owner)
            for kind, name, content, words in files:
                row = design.add_file(
                    revision=revision,
                    kind=kind,
                    upload=SimpleUploadedFile(name, content),
                    words=words,
                    person=owner,
                )
                if row.picture_id:
                    render(pk=row.picture_id)
            return design.send_revision(revision=revision, person=owner, despite=despite)

    def lays_over(self, *, day: str, name: str, content: bytes) -> None:
        """The opening of a model laid over the seat of the newest revision."""
        revision = designs.newest(commission=self.commission)
        with on(day, "12:30"):
            design.check_model(
                revision=revision,
                content=content,
                name=name,
                girdle=revision.parameters["centre"]["outline"],
                girdle_words=f"the seat of revision {revision.letter}",
                person=self.cast.owner,
            )

    def comments(self, *, day: str, view: str, place: str, words: str) -> Comment:
        """What the client pins to a named place of the newest revision."""
        revision = designs.newest(commission=self.commission)
        where = next(row for row in places(revision, view) if row.key == place)
        with on(day, "20:40"):
            return design.comment(
                revision=revision,
                view=view,
                x_mm=where.x,
                y_mm=where.y,
                words=words,
                by_words=self.client.full_name,
                access=self.client.access,
            )

    def answers_comment(self, *, day: str, comment: Comment, words: str, close: bool = False) -> None:
        """What we answer to it."""
        with on(day, "11:30"):
            design.answer_comment(comment=comment, words=words, person=self.cast.owner, close=close)

    def answers(
        self, *, day: str, kind: str, words: str = "", hour: str = "20:15", hold_points: tuple[str, ...] = ()
    ) -> None:
        """The client's answer to the newest revision."""
        with on(day, hour):
            design.answer_revision(
                revision=designs.newest(commission=self.commission),
                kind=kind,
                words=words,
                by_words=self.client.full_name,
                access=self.client.access,
                hold_points=hold_points or None,
            )
            self.commission.refresh_from_db()

"""From an optical scan to the seat of a draft."""

from __future__ import annotations

import copy

from django.core.files.storage import storages

from commissions.design import computing, scans
from commissions.design.actions.drafting import draft_revision
from commissions.design.actions.filing import add_file
from commissions.design.models import FileKind, Revision, RevisionFile
from commissions.design.queries.revisions import draft, newest
from commissions.record.errors import Refused
from commissions.record.models import Commission
from studio.people.models import Person


def begin_scan(*, commission: Commission, upload, person: Person) -> RevisionFile:
    """
    Keep a scan with the draft of a commission.

    Effects, in order: where no draft stands, one is made like the newest revision (or with usual figures
    where there is none); the scan is kept among its files.

    Raises:
        BadInput: the scan cannot be read.
        Refused: no draft may be made now, or the draft has this very scan already.
    """
    standing = draft(commission=commission)
    if standing is None:
        last = newest(commission=commission)
        standing = draft_revision(
            commission=commission,
            parameters=last.parameters if last else computing.usual(),
            person=person,
            note="",
        )
    return add_file(revision=standing, kind=FileKind.SCAN, upload=upload, person=person)


def use_scan(
    *,
    row: RevisionFile,
    person: Person,
    unit: str | None = None,
    cut: str | None = None,
    weight_ct: float | None = None,
) -> Revision:
    """
    Make the girdle that was fitted to a scan the seat of its draft.

    Effects, in order: the scan is read and fitted; the draft gets the outline with its uncertainties, and
    every figure is computed anew.

    Raises:
        BadInput: the scan cannot be fitted.
        Refused: the revision was sent, or another draft took its place.
    """
    standing = draft(commission=row.revision.commission)
    if standing is None or standing.pk != row.revision_id:
        raise Refused("This revision was sent: its seat stays as it is. Draft the next one.")
    with storages["default"].open(row.stored) as file:
        content = file.read()
    seat = scans.seat_of(content=content, row=row, unit=unit, cut=cut, weight_ct=weight_ct)
    parameters = copy.deepcopy(standing.parameters)
    parameters["centre"] |= seat
    return draft_revision(
        commission=standing.commission,
        parameters=parameters,
        person=person,
        note=standing.note,
        reason=standing.reason,
    )

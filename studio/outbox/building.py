"""From a row to a message: alternative{plain, related{html, pictures}}, as mail programs read it best."""

from __future__ import annotations

from email.headerregistry import Address
from email.message import EmailMessage
from email.policy import SMTP
from email.utils import format_datetime

from django.core import mail
from django.core.files.storage import default_storage

from studio.outbox.errors import Unsendable
from studio.outbox.models import Letter

LETTER_BYTES = 1_000_000
"""Largest message: many mailboxes shrink or refuse what is heavier, and phones load it on a bad line."""

PICTURES_BYTES = 700_000
"""Largest sum of a letter's pictures: on the wire they grow by 35 %."""


class Outgoing(mail.EmailMessage):
    """A letter as Django's mail backends take it; its message is the one built here, byte for byte."""

    def __init__(self, *, letter: Letter):
        super().__init__(subject=letter.subject, body=letter.text, from_email=letter.sender, to=[letter.to])
        self.built = build(letter=letter)

    def message(self):
        return self.built


class _Wire(EmailMessage):
    """
    A standard message that is written out once, when it is complete.

    Its size is asked for before it is sent, and its pictures make writing it the dearest part of a letter.
    """

    _written: bytes | None = None

    def as_bytes(self, unixfrom=False, policy=None, linesep="\r\n"):
        """The message as it goes over the wire; *linesep* is what Django's SMTP backend passes."""
        if self._written is None:
            self._written = super().as_bytes(unixfrom, policy=policy)
        return self._written


def build(*, letter: Letter) -> EmailMessage:
    """
    The message of a letter.

    Raises:
        Unsendable: a picture is gone, the message is heavier than 1 MB, or an address cannot be written.
    """
    try:
        message = _Wire(policy=SMTP)
        message["From"] = Address(letter.sender_name, addr_spec=letter.sender)
        message["To"] = Address(addr_spec=letter.to)
        message["Subject"] = letter.subject
        message["Date"] = format_datetime(letter.created_at)
        message["Message-ID"] = letter.message_id
        if letter.thread_root:
            message["In-Reply-To"] = letter.thread_root
            message["References"] = letter.thread_root
        if letter.reply_to:
            message["Reply-To"] = Address(addr_spec=letter.reply_to)
        message["Auto-Submitted"] = "auto-generated"  # RFC 3834: out-of-office replies stay away
        message["X-Auto-Response-Suppress"] = "All"
        if letter.language:
            message["Content-Language"] = letter.language
        for name, value in letter.headers.items():
            message[name] = value
    except ValueError as error:  # what the header registry says of a line break or a broken address
        raise Unsendable(f"The head of this letter cannot be written: {error}") from error
    message.set_content(letter.text, cte="quoted-printable")
    if letter.html:
        message.add_alternative(letter.html, subtype="html", cte="quoted-printable")
        html = message.get_payload()[-1]
        for picture in letter.pictures:
            html.add_related(
                _read(picture["file"]),
                "image",
                "jpeg",
                cid=f"<{picture['cid']}>",
                disposition="inline",
                filename=f"{picture['cid'].partition('@')[0]}.jpg",
            )
    if len(message.as_bytes()) > LETTER_BYTES:
        raise Unsendable("The pictures make this letter heavier than 1 MB. Send fewer of them.")
    return message


def _read(file: str) -> bytes:
    try:
        with default_storage.open(file) as picture:
            return picture.read()
    except OSError as error:
        raise Unsendable("A picture of this letter is gone.") from error

"""One attempt at one letter: claimed and committed first, then built and sent with no transaction open."""

from __future__ import annotations

import contextlib
import logging
import smtplib

from django.core import mail

from studio.outbox import actions
from studio.outbox.building import Outgoing
from studio.outbox.errors import Exhausted, Unsendable
from studio.outbox.models import Letter

log = logging.getLogger(__name__)


class Line:
    """
    A line to the mail server that several letters share.

    The first letter opens it; after a hindrance it is dropped, and the next letter opens a new one.
    """

    def __init__(self) -> None:
        self.backend = None

    def send(self, outgoing: Outgoing) -> None:
        """Hand one message over; returns once it is accepted, raises whatever hindered it."""
        if self.backend is None:
            backend = mail.get_connection()
            backend.open()
            self.backend = backend
        self.backend.send_messages([outgoing])

    @property
    def keeps_letters(self) -> bool:
        """Whether this is the local outbox, which is the mailbox itself."""
        return getattr(self.backend, "keeps_letters", False)

    def drop(self) -> None:
        """Hang up; a server that is gone already needs no farewell."""
        backend, self.backend = self.backend, None
        if backend is not None:
            # A failing QUIT says nothing about the letters that were accepted before it.
            with contextlib.suppress(Exception):
                backend.close()

    def __enter__(self):
        return self

    def __exit__(self, *_exception):
        self.drop()


def deliver(*, pk: int, line: Line) -> bool:
    """
    Try one letter; True where it was accepted.

    Effects, in order: the letter is claimed (or left alone); it is built and handed over; the row says
    what became of it: sent, waiting for another attempt, refused, or given up.
    """
    token = actions.claim(pk=pk)
    if token is None:
        return False
    letter = Letter.objects.get(pk=pk)
    if letter.token != token:
        return False
    if letter.crashes >= actions.CRASHES_ALLOWED:
        actions.finish_refused(
            letter=letter, given_up=True, error=f"Whoever tried to send it died {letter.crashes} times."
        )
        return False
    try:
        line.send(Outgoing(letter=letter))
    except MemoryError as error:
        line.drop()
        actions.finish_later(letter=letter, error="Not enough memory to send this letter.")
        raise Exhausted(f"letter {pk}") from error
    except Unsendable as error:
        actions.finish_refused(letter=letter, error=str(error))
        return False
    except Exception as error:
        line.drop()
        _hindered(letter=letter, error=error)
        return False
    return actions.finish_sent(letter=letter, forget_words=not letter.keep_words and not line.keeps_letters)


def _hindered(*, letter: Letter, error: Exception) -> None:
    code, words, address = _answer(error)
    if 500 <= code < 600:
        actions.finish_refused(letter=letter, error=words, address=address)
    else:
        log.warning("letter %s waits: %s", letter.pk, words)
        actions.finish_later(letter=letter, error=words)


def _answer(error: Exception) -> tuple[int, str, bool]:
    """
    What the mail server said: its code (0 for none), in words, and whether it refused the address.

    A refused sign-in or a bad greeting is the operator's to mend, not the letter's fault: it may pass.
    """
    if isinstance(error, smtplib.SMTPRecipientsRefused):
        code, said = next(iter(error.recipients.values()))
        return code, f"The address was refused: {code} {_words(said)}", True
    if isinstance(error, smtplib.SMTPSenderRefused | smtplib.SMTPDataError):
        said = _words(error.smtp_error)
        return error.smtp_code, f"The mail server refused it: {error.smtp_code} {said}", False
    if isinstance(error, smtplib.SMTPAuthenticationError):
        return 0, "The mail server refused our sign-in. Look at RINGWRIGHT_SMTP_URL.", False
    if isinstance(error, smtplib.SMTPResponseException):
        return 0, f"The mail server said: {error.smtp_code} {_words(error.smtp_error)}", False
    if isinstance(error, OSError):
        return 0, f"The mail server could not be reached: {error or type(error).__name__}", False
    return 0, f"Sending broke off: {type(error).__name__} {error}", False


def _words(said: bytes | str) -> str:
    return said.decode("utf-8", "replace") if isinstance(said, bytes) else str(said)

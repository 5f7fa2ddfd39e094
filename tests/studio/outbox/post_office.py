"""A real mail server on the loopback, whose answers a test decides."""

from __future__ import annotations

import email
import email.policy
import threading
from contextlib import contextmanager

from aiosmtpd.controller import Controller


class PostOffice:
    """Keeps every message it accepts; ``answers`` says what a recipient or a message gets instead of 250."""

    def __init__(self) -> None:
        self.messages: list[email.message.EmailMessage] = []
        self.recipient_answers: dict[str, str] = {}
        self.data_answer = ""
        self.lock = threading.Lock()

    async def handle_RCPT(self, server, session, envelope, address, options):
        answer = self.recipient_answers.get(address)
        if answer:
            return answer
        envelope.rcpt_tos.append(address)
        return "250 OK"

    async def handle_DATA(self, server, session, envelope):
        if self.data_answer:
            return self.data_answer
        message = email.message_from_bytes(envelope.content, policy=email.policy.default)
        with self.lock:
            self.messages.append(message)
        return "250 accepted"


@contextmanager
def post_office(settings, port: int = 0):
    """Open a post office and point the settings at it."""
    office = PostOffice()
    controller = Controller(
        office, hostname="127.0.0.1", port=port or free_port(), data_size_limit=20_000_000
    )
    controller.start()
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", controller.port
    settings.EMAIL_HOST_USER = settings.EMAIL_HOST_PASSWORD = ""
    settings.EMAIL_USE_TLS = settings.EMAIL_USE_SSL = False
    try:
        yield office
    finally:
        controller.stop()


def free_port() -> int:
    """A port of the loopback that nobody listens on."""
    import socket

    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]

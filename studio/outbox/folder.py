"""The local outbox: each letter a file that any mail program opens."""

from __future__ import annotations

import os
import re
from pathlib import Path

from django.conf import settings
from django.core.mail.backends.base import BaseEmailBackend


class FolderBackend(BaseEmailBackend):
    """
    Writes ``<Message-ID>.eml``: complete and on the disk before it has its name.

    A repeat after a crash writes the same file again: a letter is there exactly once.
    """

    keeps_letters = True

    def send_messages(self, email_messages):
        folder = Path(settings.OUTBOX_DIR)
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        for email in email_messages:
            message = email.message()
            name = re.sub(r"[^\w.@+-]", "_", message["Message-ID"].strip("<> "))
            _place(folder / f"{name}.eml", message.as_bytes(linesep="\r\n"))
        return len(email_messages)


def _place(path: Path, content: bytes) -> None:
    temporary = path.with_suffix(f".{os.getpid()}.part")
    with open(temporary, "wb", opener=lambda name, flags: os.open(name, flags, 0o600)) as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    temporary.replace(path)
    # The name itself must survive a power cut, not only the bytes.
    directory = os.open(path.parent, os.O_RDONLY)
    try:
        os.fsync(directory)
    finally:
        os.close(directory)

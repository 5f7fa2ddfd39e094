"""What a log line must not keep: one-time tokens in addresses."""

from __future__ import annotations

import logging
import re

_TOKEN = re.compile(r"(/(?:in|brief/back|brief/send|calendar)/)[A-Za-z0-9_-]{20,}")


class MaskTokens(logging.Filter):
    """Replace the token of a one-time link by dots, in the words of a line and in what is put into them."""

    def filter(self, record: logging.LogRecord) -> bool:
        """Mask *record* and let it pass."""
        record.msg = _TOKEN.sub(r"\1…", record.getMessage())
        record.args = ()
        return True

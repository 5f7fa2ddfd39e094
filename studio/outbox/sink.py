"""
A mail server that accepts everything and keeps nothing, for measures: ``python -m studio.outbox.sink``.

It listens on a free port of the loopback, says that port, and then one line for each letter: its Message-ID
and the moment at which it was accepted, in seconds since 1970.
"""

from __future__ import annotations

import re
import socketserver
import threading
import time

_MESSAGE_ID = re.compile(rb"^Message-ID:\s*(\S+)", re.IGNORECASE | re.MULTILINE)
_said = threading.Lock()


class Conversation(socketserver.StreamRequestHandler):
    """One sender's conversation, as far as RFC 5321 asks for it here."""

    disable_nagle_algorithm = True

    def handle(self) -> None:
        self._answer("220 sink")
        while line := self.rfile.readline():
            verb = line.split(None, 1)[0].upper() if line.strip() else b""
            if verb == b"DATA":
                self._answer("354 go on")
                self._take()
                self._answer("250 accepted")
            elif verb == b"QUIT":
                self._answer("221 bye")
                return
            else:
                self._answer("250 8BITMIME" if verb == b"EHLO" else "250 ok")

    def _answer(self, words: str) -> None:
        self.wfile.write(words.encode() + b"\r\n")

    def _take(self) -> None:
        letter = bytearray()
        while (line := self.rfile.readline()) not in (b".\r\n", b""):
            letter += line
        found = _MESSAGE_ID.search(letter)
        with _said:
            print(found.group(1).decode() if found else "?", time.time(), flush=True)


class Sink(socketserver.ThreadingTCPServer):
    daemon_threads = True
    allow_reuse_address = True


if __name__ == "__main__":
    with Sink(("127.0.0.1", 0), Conversation) as server:
        print(server.server_address[1], flush=True)
        server.serve_forever()

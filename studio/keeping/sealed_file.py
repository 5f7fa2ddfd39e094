"""
A file that is sealed with a passphrase, written and read as a stream.

Layout, all numbers big-endian:

======  ======================================================================================
bytes   what
======  ======================================================================================
8       ``RWKEEP01``
3       scrypt: log2 of N, r, p
4       bytes of plain text in a piece (the last piece may be shorter)
16      salt
16      check of the key, so that a wrong passphrase is told from a damaged file
then    pieces: AES-256-GCM of the plain text, each 16 bytes longer than it
======  ======================================================================================

A piece's nonce is its number (11 bytes) and one byte that is 1 for the last piece alone; the whole head is
authenticated with every piece. So a piece that was changed, moved, left out or taken from another file is
refused, and so is a file that ends too early. This is the construction STREAM of Hoang, Reyhanitabar,
Rogaway and Vizár, "Online Authenticated-Encryption and its Nonce-Reuse Misuse-Resistance" (CRYPTO 2015).
The key is made by scrypt (RFC 7914) with a salt of its own, and parted by HKDF (RFC 5869), so no nonce is
ever used twice under one key.
"""

from __future__ import annotations

import hmac
import io
import secrets
import struct
from typing import BinaryIO

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDFExpand
from cryptography.hazmat.primitives.kdf.scrypt import Scrypt

MARK = b"RWKEEP01"
PIECE = 256 * 1024
TAG = 16
COST = (17, 8, 1)
"""scrypt's N = 2**17, r = 8, p = 1: the first choice of the OWASP password storage sheet (as of 2024)."""
HIGHEST_COST = (20, 16, 4)
"""A head that asks for more would only be there to exhaust the machine."""
_HEAD = struct.Struct(">8s3BI16s16s")
HEAD_BYTES = _HEAD.size


class SealBroken(Exception):
    """The file cannot be opened; the words say why."""


def _keys(*, passphrase: str, salt: bytes, cost: tuple[int, int, int]) -> tuple[bytes, bytes]:
    log_n, r, p = cost
    master = Scrypt(salt=salt, length=32, n=1 << log_n, r=r, p=p).derive(passphrase.encode())
    key = HKDFExpand(algorithm=SHA256(), length=32, info=b"ringwright sealed file: key").derive(master)
    check = HKDFExpand(algorithm=SHA256(), length=16, info=b"ringwright sealed file: check").derive(master)
    return key, check


def _nonce(number: int, *, last: bool) -> bytes:
    return number.to_bytes(11, "big") + bytes([last])


class SealedWriter(io.RawIOBase):
    """Takes plain bytes and writes sealed pieces to *file*; the last piece is written by :meth:`finish`."""

    def __init__(self, file: BinaryIO, *, passphrase: str, cost: tuple[int, int, int] = COST):
        super().__init__()
        self._file, self._waiting, self._number = file, bytearray(), 0
        salt = secrets.token_bytes(16)
        key, check = _keys(passphrase=passphrase, salt=salt, cost=cost)
        self._cipher = AESGCM(key)
        self._head = _HEAD.pack(MARK, *cost, PIECE, salt, check)
        file.write(self._head)

    def writable(self) -> bool:
        return True

    def write(self, data) -> int:
        self._waiting += data
        # A full piece waits until more comes: only then is it known not to be the last.
        while len(self._waiting) > PIECE:
            self._put(bytes(self._waiting[:PIECE]), last=False)
            del self._waiting[:PIECE]
        return len(data)

    def finish(self) -> None:
        """Write the last piece: without it the file counts as cut off."""
        self._put(bytes(self._waiting), last=True)
        self._waiting.clear()

    def _put(self, piece: bytes, *, last: bool) -> None:
        self._file.write(self._cipher.encrypt(_nonce(self._number, last=last), piece, self._head))
        self._number += 1


class SealedReader(io.RawIOBase):
    """
    Gives the plain bytes of a sealed *file*, each piece proven before any of it is given.

    Raises:
        SealBroken: it is no such file, the passphrase does not fit, a piece was changed, or it ends too early.
    """

    def __init__(self, file: BinaryIO, *, passphrase: str):
        super().__init__()
        self._file, self._number, self._plain, self._over = file, 0, b"", False
        head = file.read(HEAD_BYTES)
        if len(head) < HEAD_BYTES or not head.startswith(MARK):
            raise SealBroken("This is no backup of ours, or it was cut off at its very beginning.")
        _mark, log_n, r, p, self._piece, salt, check = _HEAD.unpack(head)
        if not (1 <= log_n <= HIGHEST_COST[0] and 1 <= r <= HIGHEST_COST[1] and 1 <= p <= HIGHEST_COST[2]):
            raise SealBroken("The head of this backup is damaged.")
        if not 0 < self._piece <= 16 * 1024 * 1024:
            raise SealBroken("The head of this backup is damaged.")
        key, expected = _keys(passphrase=passphrase, salt=salt, cost=(log_n, r, p))
        if not hmac.compare_digest(check, expected):
            raise SealBroken("The passphrase does not fit this backup, or the backup's head is damaged.")
        self._cipher, self._head = AESGCM(key), head
        self._next = file.read(self._piece + TAG)

    def readable(self) -> bool:
        return True

    def readinto(self, buffer) -> int:
        while not self._plain:
            if self._over:
                return 0
            self._open_next()
        given = self._plain[: len(buffer)]
        buffer[: len(given)] = given
        self._plain = self._plain[len(given) :]
        return len(given)

    def _open_next(self) -> None:
        sealed, self._next = self._next, self._file.read(self._piece + TAG)
        last = not self._next
        try:
            self._plain = self._cipher.decrypt(_nonce(self._number, last=last), sealed, self._head)
        except (InvalidTag, ValueError):
            raise SealBroken(self._why(sealed, last=last)) from None
        self._number += 1
        self._over = last

    def _why(self, sealed: bytes, *, last: bool) -> str:
        place = HEAD_BYTES + self._number * (self._piece + TAG)
        if last:
            try:
                self._cipher.decrypt(_nonce(self._number, last=False), sealed, self._head)
            except (InvalidTag, ValueError):
                pass
            else:
                return f"This backup was cut off: after {place + len(sealed)} bytes its end is missing."
            return f"This backup is damaged or was cut off, at or after byte {place}."
        return f"This backup is damaged, at or after byte {place}."

"""The sealed file: opened by its passphrase alone, and every change of it noticed."""

import io

import pytest
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDFExpand
from cryptography.hazmat.primitives.kdf.scrypt import Scrypt

from studio.keeping import sealed_file
from studio.keeping.sealed_file import HEAD_BYTES, PIECE, TAG, SealBroken, SealedReader, SealedWriter

PHRASE = "four geese over the harbour"
CHEAP = (4, 8, 1)
"""scrypt as cheap as it goes: these tests ask about the pieces, not about the cost."""


def sealed(plain: bytes, *, step: int = 70_000, cost=CHEAP) -> bytes:
    made = io.BytesIO()
    writer = SealedWriter(made, passphrase=PHRASE, cost=cost)
    for place in range(0, len(plain), step):
        writer.write(plain[place : place + step])
    writer.finish()
    return made.getvalue()


def opened(body: bytes, passphrase: str = PHRASE) -> bytes:
    return io.BufferedReader(SealedReader(io.BytesIO(body), passphrase=passphrase)).read()


PLAIN = bytes(range(256)) * (2 * PIECE // 256) + b"the end"


@pytest.mark.parametrize("length", [0, 1, PIECE - 1, PIECE, PIECE + 1, 2 * PIECE, len(PLAIN)])
def test_what_goes_in_comes_out(length):
    body = sealed(PLAIN[:length])
    assert opened(body) == PLAIN[:length]
    pieces = max(1, -(-length // PIECE))
    assert len(body) == HEAD_BYTES + length + pieces * TAG


def test_nothing_of_it_can_be_read_and_no_two_are_alike():
    plain = b"14 Invented Quay" * 100
    one, two = sealed(plain), sealed(plain)
    assert b"Invented" not in one
    assert one[HEAD_BYTES:] != two[HEAD_BYTES:]


def test_it_is_the_file_that_its_description_says():
    """Opened by hand from the layout alone, without our reader."""
    body = sealed(PLAIN)
    assert body[:8] == b"RWKEEP01"
    log_n, r, p = body[8:11]
    piece = int.from_bytes(body[11:15], "big")
    master = Scrypt(salt=body[15:31], length=32, n=2**log_n, r=r, p=p).derive(PHRASE.encode())
    key = HKDFExpand(algorithm=SHA256(), length=32, info=b"ringwright sealed file: key").derive(master)
    plain, rest, number = b"", body[47:], 0
    while rest:
        this, rest = rest[: piece + 16], rest[piece + 16 :]
        nonce = number.to_bytes(11, "big") + (b"\x00" if rest else b"\x01")
        plain += AESGCM(key).decrypt(nonce, this, body[:47])
        number += 1
    assert plain == PLAIN


def test_a_wrong_passphrase_is_told_from_a_damaged_file():
    body = sealed(PLAIN)
    with pytest.raises(SealBroken, match="passphrase does not fit"):
        opened(body, "four geese over the harbor")
    with pytest.raises(SealBroken, match="no backup of ours"):
        opened(b"PK\x03\x04" + body)


@pytest.mark.parametrize("place", [0, 8, 9, 12, 20, 40, HEAD_BYTES, HEAD_BYTES + PIECE, 2 * PIECE + 60, -1])
def test_one_flipped_bit_is_refused_wherever_it_is(place):
    body = bytearray(sealed(PLAIN))
    body[place] ^= 1
    with pytest.raises(SealBroken):
        opened(bytes(body))


@pytest.mark.parametrize(
    "cut", [1, TAG + 6, TAG + 7, TAG + 8, TAG + 7 + PIECE + TAG, len(PLAIN), len(PLAIN) + 3 * TAG]
)
def test_a_file_that_ends_too_early_is_refused(cut):
    with pytest.raises(SealBroken, match=r"cut off|no backup"):
        opened(sealed(PLAIN)[:-cut])


def test_pieces_left_out_moved_added_or_taken_from_another_file_are_refused():
    body, other = sealed(PLAIN), sealed(PLAIN)
    one, two = HEAD_BYTES + PIECE + TAG, HEAD_BYTES + 2 * (PIECE + TAG)
    head, first, second, last = body[:HEAD_BYTES], body[HEAD_BYTES:one], body[one:two], body[two:]
    for wrong in (
        head + second + first + last,
        head + first + last,
        head + first + second + last + b"more",
        head + other[HEAD_BYTES:one] + second + last,
    ):
        with pytest.raises(SealBroken, match="damaged"):
            opened(wrong)


def test_the_real_cost_is_what_its_source_asks_for(monkeypatch):
    # OWASP Password Storage Cheat Sheet, scrypt: N = 2^17 (128 MiB), r = 8, p = 1.
    assert sealed_file.COST == (17, 8, 1)
    body = sealed(b"x", cost=sealed_file.COST)
    assert tuple(body[8:11]) == (17, 8, 1)
    assert opened(body) == b"x"


def test_a_head_that_asks_for_all_the_memory_is_refused():
    body = bytearray(sealed(b"x"))
    body[8] = 40
    with pytest.raises(SealBroken, match="head"):
        opened(bytes(body))

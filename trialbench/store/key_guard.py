"""Sealing the key of a sitting: behind a passphrase (scrypt and AES-GCM), or behind a curtain.

scrypt: RFC 7914 (n = 32768, r = 8, p = 1); AES-256-GCM: NIST SP 800-38D. The sitting's id is
authenticated with the body, so a key cannot be moved to another sitting. A curtain hides nothing
from someone who opens the file with an SQL tool, and says so by its name.
"""

from __future__ import annotations

import os
import unicodedata
from dataclasses import dataclass

from trialbench.model.errors import Refused
from trialbench.model.message import Message, msg

CURTAIN = "curtain"
PASSPHRASE = "scrypt n=32768 r=8 p=1, aes-256-gcm"
_N, _R, _P = 32768, 8, 1


@dataclass(frozen=True, slots=True)
class SealedKey:
    """A row of the table sealed_key."""

    sitting_id: str
    guard: str
    salt: bytes
    nonce: bytes
    body: bytes


def seal(sitting_id: str, key: bytes, passphrase: str | None = None) -> SealedKey:
    """The sealed form of a key. Raises Refused for an empty passphrase."""
    if passphrase is None:
        return SealedKey(sitting_id, CURTAIN, b"", b"", key)
    if not passphrase.strip():
        raise Refused(
            msg("An empty passphrase guards nothing. Not sealed."),
            field="sitting.key_guard",
            typed=passphrase,
            allowed=msg("some words that only the server knows"),
            way_out=msg("Write a passphrase, or seal with a curtain."),
        )
    from cryptography.hazmat.primitives.ciphers.aead import AESGCM

    salt, nonce = os.urandom(16), os.urandom(12)
    body = AESGCM(_stretched(passphrase, salt)).encrypt(nonce, key, sitting_id.encode())
    return SealedKey(sitting_id, PASSPHRASE, salt, nonce, body)


def unseal(sealed: SealedKey, passphrase: str | None = None) -> bytes:
    """The key. Raises Refused for a passphrase that is missing or wrong."""
    if sealed.guard == CURTAIN:
        return sealed.body
    if sealed.guard != PASSPHRASE:
        raise _refused(msg("This key was sealed by a way unknown here. It stays shut."))
    if not passphrase:
        raise _refused(msg("This key opens with its passphrase."))
    from cryptography.exceptions import InvalidTag
    from cryptography.hazmat.primitives.ciphers.aead import AESGCM

    try:
        opened = AESGCM(_stretched(passphrase, sealed.salt)).decrypt(
            sealed.nonce, sealed.body, sealed.sitting_id.encode()
        )
    except InvalidTag:
        raise _refused(msg("That is not the passphrase of this key. It stays shut.")) from None
    return bytes(opened)


def _refused(said: Message) -> Refused:
    return Refused(
        said,
        field="sitting.key_guard",
        allowed=msg("the passphrase it was sealed with"),
        way_out=msg("Ask the server, who keeps it."),
    )


def _stretched(passphrase: str, salt: bytes) -> bytes:
    from cryptography.hazmat.primitives.kdf.scrypt import Scrypt

    words = unicodedata.normalize("NFKC", passphrase).encode()
    return bytes(Scrypt(salt=salt, length=32, n=_N, r=_R, p=_P).derive(words))

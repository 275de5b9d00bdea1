"""How this machine is found by the phone in the house, and whether its certificate holds."""

from __future__ import annotations

import re
import ssl
from pathlib import Path

from lattermath.desk.own_addresses import own_addresses, own_name
from lattermath.desk.pairing_code import PairingCodes
from lattermath.doors.web.callers import Lan
from lattermath.sheets import phone_words as h
from lattermath.vocabulary.errors import Fault, InputError

NAME = re.compile(r"(?=.{1,253}$)[a-z0-9]([a-z0-9-]*[a-z0-9])?(\.[a-z0-9]([a-z0-9-]*[a-z0-9])?)*")


def lan_at(port: int, name: str = "", secure: bool = False) -> Lan:
    """How a plot on this port is reached: under a name that was given, else by number.

    InputError where there is no such name, or no network.
    """
    name = name.strip().lower().rstrip(".")
    if name and not NAME.fullmatch(name):
        raise InputError(Fault(h.NO_NAME, "--name", name, h.NO_NAME_REMEDY))
    addresses, own = own_addresses(), own_name()
    if not addresses and not name:
        raise InputError(Fault(h.NO_ADDRESS, "--lan", "", h.NO_ADDRESS_REMEDY))
    scheme, host = "https" if secure else "http", name or addresses[0]
    hosts = {*addresses, *((own, f"{own}.local") if own else ()), *((name,) if name else ())}
    return Lan(f"{scheme}://{host}:{port}", frozenset(hosts), secure, PairingCodes())


def certified(cert: Path | None, key: Path | None) -> dict[str, str]:
    """What the server needs for HTTPS; empty without a certificate.

    InputError where certificate and key cannot be read, do not belong together, or ask for a
    password.
    """
    if cert is None:
        if key is not None:
            raise InputError(Fault(h.KEY_ALONE, "--key", str(key), h.KEY_ALONE_REMEDY))
        return {}
    trial = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    try:
        trial.load_cert_chain(cert, key, password=_no_password)
    except (OSError, ValueError) as error:  # a fault of the certificate is an OSError too
        where = "--cert, --key" if key else "--cert"
        found = f"{cert}, {key}" if key else str(cert)
        raise InputError(Fault(h.NO_CERTIFICATE, where, found, h.NO_CERTIFICATE_REMEDY)) from error
    told = {"ssl_certfile": str(cert)}
    return {**told, "ssl_keyfile": str(key)} if key else told


def _no_password() -> str:
    """Nobody is asked: a server that starts by itself has nobody to ask."""
    raise ValueError("the key asks for a password")

"""Where the program listens, what it is called there, and its certificate."""

from __future__ import annotations

import contextlib
import ipaddress
import socket
import ssl
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit

LOOPBACK = ["localhost", "127.0.0.1", "[::1]"]


class NetworkError(RuntimeError):
    """The address, the port or the certificate cannot be used; the text says why and what to do."""


@dataclass(frozen=True, slots=True)
class Site:
    """A name that people type: the host alone, and the whole origin as a browser sends it."""

    host: str
    origin: str


def read_site(text: str) -> Site:
    """Returns what `playbook.example.org`, `name:8443` or `https://name:8443` names. Raises NetworkError."""
    with contextlib.suppress(ValueError):
        parts = urlsplit(text if "://" in text else f"https://{text}")
        host = parts.hostname or ""
        plain = not parts.path.strip("/") and not parts.query and not parts.username and "*" not in host
        if host and plain and parts.scheme in ("http", "https") and not any(c.isspace() or c == "," for c in text):
            shown = in_an_address(host)
            port = f":{parts.port}" if parts.port else ""
            return Site(shown, f"{parts.scheme}://{shown}{port}")
    raise NetworkError(f"--site: expected a name such as playbook.example.org, got {text!r}.")


def listen(address: str, ports: Sequence[int]) -> socket.socket:
    """Returns a socket that listens on the first of the ports that is free. Raises NetworkError."""
    family = socket.AF_INET6 if ":" in address else socket.AF_INET
    for port in ports:
        bound = socket.socket(family)
        bound.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            bound.bind((address, port))
            bound.listen(128)
            return bound
        except PermissionError:
            bound.close()
            raise NetworkError(
                f"Port {port} is not yours to use (below 1024 are the system's). Choose another, such as --port 8000."
            ) from None
        except OSError as error:
            bound.close()
            if not _in_use(error):
                raise NetworkError(f"--address: {address} is no address of this machine ({error.strerror}).") from None
        except OverflowError:
            bound.close()
            raise NetworkError(f"--port: expected 1 to 65535, got {port}.") from None
    raise NetworkError(
        f"Port {ports[0]} is in use by another program. Stop that one, or choose another port: --port {_free(address)}."
    )


def _in_use(error: OSError) -> bool:
    return error.errno == 98 or error.errno == 48  # Linux, macOS


def _free(address: str) -> int:
    with socket.socket(socket.AF_INET6 if ":" in address else socket.AF_INET) as trial:
        for port in range(8001, 8100):
            with contextlib.suppress(OSError):
                trial.bind((address, port))
                return port
        trial.bind((address, 0))
        return int(trial.getsockname()[1])


def in_an_address(host: str) -> str:
    """Returns the host as it stands in a web address: numbers of version 6 in brackets."""
    return f"[{host}]" if ":" in host else host


def everywhere(address: str) -> bool:
    """Returns whether the address means every address of this machine."""
    return address in ("0.0.0.0", "::")


def only_here(address: str) -> bool:
    """Returns whether nobody but this machine reaches the address."""
    with contextlib.suppress(ValueError):
        return ipaddress.ip_address(address).is_loopback
    return address == "localhost"


def hosts(address: str, sites: Sequence[Site]) -> list[str]:
    """Returns the names that the program answers to: the sites, else every name and address of this machine.

    The machine's own loopback names are always among them: who is on the machine may look.
    """
    if sites:
        found = [site.host for site in sites]
    elif everywhere(address):
        found = own_names()
    else:
        found = [in_an_address(address)]
    return list(dict.fromkeys([*found, *LOOPBACK]))


def own_names() -> list[str]:
    """Returns this machine's addresses and names, the address that others reach it by first. Sends nothing."""
    found = []
    with contextlib.suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as trial:
        trial.connect(("192.0.2.1", 9))  # an address for documentation; connecting a datagram socket sends nothing
        found.append(str(trial.getsockname()[0]))
    name = socket.gethostname()
    with contextlib.suppress(OSError):
        found += [str(entry[4][0]) for entry in socket.getaddrinfo(name, None, socket.AF_INET)]
    if name:
        found += [name.lower(), f"{name.split('.')[0].lower()}.local"]
    return list(dict.fromkeys(found))


def check_certificate(cert: Path, key: Path) -> None:
    """Raises NetworkError unless the two files are a certificate and its key, readable and without a password."""
    for option, path in (("--cert", cert), ("--key", key)):
        try:
            path.read_bytes()
        except OSError as error:
            raise NetworkError(f"{option}: {path} cannot be read: {error.strerror}.") from error
    try:
        ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER).load_cert_chain(cert, key, password=lambda: "")
    except (ssl.SSLError, ValueError) as error:
        raise NetworkError(
            f"{cert} and {key} are not a certificate and its key: expected two PEM files that belong together, "
            "the key without a password."
        ) from error

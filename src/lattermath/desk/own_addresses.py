"""Under which addresses this machine can be reached by others; nothing is sent to find out."""

from __future__ import annotations

import ipaddress
import socket
import struct
import sys
from collections.abc import Iterator

# Far ends to which a way is looked up: a documentation address (RFC 5737) shows the way out, the
# others a network of the house that has none. A datagram socket that is "connected" sends nothing.
ADDRESS_OF_INTERFACE = 0x8915  # SIOCGIFADDR of Linux
FAR_ENDS = ("192.0.2.1", "192.168.0.1", "10.0.0.1", "172.16.0.1")


def own_addresses() -> tuple[str, ...]:
    """IPv4 addresses of this machine in its networks, those of a home first; none is no fault."""
    ways_out = (one for far in FAR_ENDS if (one := _this_end(far)))
    found = dict.fromkeys((*ways_out, *_of_interfaces()))
    there = [one for one in found if not ipaddress.ip_address(one).is_loopback]
    return tuple(sorted(there, key=lambda one: not ipaddress.ip_address(one).is_private))


def own_name() -> str:
    """The name of this machine, in small letters, without its domain."""
    return socket.gethostname().partition(".")[0].lower()


def _this_end(far: str) -> str:
    """The address that this machine would speak from to reach another; empty where no way leads."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as way:
        try:
            way.connect((far, 9))
        except OSError:
            return ""
        return str(way.getsockname()[0])


def _of_interfaces() -> Iterator[str]:
    """What each interface answers to; a network that leads nowhere else has no way out to find."""
    if sys.platform != "linux":
        return
    import fcntl

    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as way:
        for _, name in socket.if_nameindex():
            asked = struct.pack("256s", name.encode()[:15])
            try:
                told = fcntl.ioctl(way.fileno(), ADDRESS_OF_INTERFACE, asked)
            except OSError:  # it has none
                continue
            yield socket.inet_ntoa(told[20:24])

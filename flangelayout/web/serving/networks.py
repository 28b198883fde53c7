"""The private networks that this computer is in."""

import contextlib
import socket
import struct
from collections.abc import Iterator
from ipaddress import IPv4Address, IPv4Interface

_ADDRESS, _MASK = 0x8915, 0x891B
"""What Linux is asked of an interface: SIOCGIFADDR and SIOCGIFNETMASK of its <linux/sockios.h>."""
_USUAL_MASK = 24


def private_addresses() -> tuple[IPv4Interface, ...]:
    """This computer's own private addresses with their networks; none where it is in no private network.

    Where the system does not tell how large a network is, its last 256 addresses are taken.
    """
    found = dict.fromkeys([*_by_interface(), *_by_name()])
    widest: dict[IPv4Address, IPv4Interface] = {}
    for each in found:
        widest.setdefault(each.ip, each)
    return tuple(each for each in widest.values() if _is_of_a_shop(each.ip))


def _is_of_a_shop(address: IPv4Address) -> bool:
    return address.is_private and not (address.is_loopback or address.is_link_local or address.is_unspecified)


def _by_interface() -> Iterator[IPv4Interface]:
    try:
        import fcntl
    except ImportError:  # not on Windows
        return
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
        for _, name in socket.if_nameindex():
            request = struct.pack("256s", name.encode()[:15])
            with contextlib.suppress(OSError, ValueError):
                address = socket.inet_ntoa(fcntl.ioctl(asked.fileno(), _ADDRESS, request)[20:24])
                mask = socket.inet_ntoa(fcntl.ioctl(asked.fileno(), _MASK, request)[20:24])
                yield IPv4Interface(f"{address}/{mask}")


def _by_name() -> Iterator[IPv4Interface]:
    with contextlib.suppress(OSError):
        for entry in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET):
            yield IPv4Interface(f"{entry[4][0]}/{_USUAL_MASK}")

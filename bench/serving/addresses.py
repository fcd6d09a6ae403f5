"""The addresses under which other devices on the workshop's network find this computer."""

import ipaddress
import socket

import ifaddr

Address = ipaddress.IPv4Address | ipaddress.IPv6Address
HOME = tuple(
    map(
        ipaddress.ip_network,
        ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "fe80::/10", "fc00::/7"),
    )
)
"""What a house or a workshop uses: private ranges (RFC 1918, RFC 4193) and those that devices give themselves."""


def is_home(address: Address) -> bool:
    """Whether the address is one of a house's own network, never one of the open internet."""
    return any(address.version == network.version and address in network for network in HOME)


def own_addresses() -> list[str]:
    """This computer's addresses on the networks it is joined to, the one that leads outwards first."""
    found = {str(address) for address in _joined() if is_home(address)}
    first = _outward()
    return sorted(found, key=lambda text: (text != first, ":" in text, text))


def is_joined() -> bool:
    """Whether this computer is on any network beside its own."""
    return any(address.version == 4 and not address.is_loopback for address in _joined())


def _joined() -> list[Address]:
    try:
        adapters = list(ifaddr.get_adapters())
    except OSError:
        return []
    texts = [ip.ip if isinstance(ip.ip, str) else ip.ip[0] for adapter in adapters for ip in adapter.ips]
    return [ipaddress.ip_address(text.partition("%")[0]) for text in texts]


def _outward() -> str:
    """The address that the system would send from; nothing is sent for asking."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("10.254.254.254", 9))
            text: str = probe.getsockname()[0]
        except OSError:
            return ""
        return text

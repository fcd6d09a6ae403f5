"""A phone on another computer of the network: `far_phone.py OWN_ADDRESS CERTIFICATE PORT`.

It asks by multicast who `bench.local` is (a one-shot query, RFC 6762 section 5.1), connects there, trusting the given
certificate alone, and prints one JSON line: the address that answered, those in the certificate, and the page's status.
It knows nothing of the bench's own code.
"""

import http.client
import json
import secrets
import socket
import ssl
import struct
import sys
import time
from contextlib import closing

NAME, MULTICAST, MDNS_PORT = "bench.local", "224.0.0.251", 5353
TYPE_A, CLASS_IN = 1, 1
PATIENCE_S = 15.0


def question() -> bytes:
    """Who is it?, as RFC 1035 section 4.1 has it."""
    name = b"".join(bytes([len(part)]) + part.encode() for part in NAME.split(".")) + b"\0"
    head = struct.pack(">6H", secrets.randbelow(1 << 16), 0, 1, 0, 0, 0)
    return head + name + struct.pack(">2H", TYPE_A, CLASS_IN)


def skip_name(data: bytes, at: int) -> int:
    """The place behind a name, which may end in a pointer to another place."""
    while data[at] != 0:
        if data[at] >= 0xC0:
            return at + 2
        at += 1 + data[at]
    return at + 1


def addresses(data: bytes) -> list[str]:
    """The IPv4 addresses among an answer's records."""
    questions, *counts = struct.unpack(">4H", data[4:12])
    at, found = 12, []
    for _ in range(questions):
        at = skip_name(data, at) + 4
    for _ in range(sum(counts)):
        at = skip_name(data, at)
        kind, _, _, length = struct.unpack(">2HIH", data[at : at + 10])
        if kind == TYPE_A:
            found.append(socket.inet_ntoa(data[at + 10 : at + 14]))
        at += 10 + length
    return found


def find(own: str) -> list[str]:
    """Ask until somebody answers to the name."""
    end = time.monotonic() + PATIENCE_S
    with closing(socket.socket(socket.AF_INET, socket.SOCK_DGRAM)) as line:
        line.bind((own, 0))
        line.setsockopt(socket.IPPROTO_IP, socket.IP_MULTICAST_IF, socket.inet_aton(own))
        line.settimeout(0.5)
        while time.monotonic() < end:
            line.sendto(question(), (MULTICAST, MDNS_PORT))
            try:
                found = addresses(line.recv(9000))
            except TimeoutError:
                continue
            if found:
                return found
    return []


def visit(address: str, certificate: str, port: int) -> dict[str, object]:
    """One page over TLS, by the name."""
    trusts = ssl.create_default_context(cafile=certificate)
    with (
        closing(socket.create_connection((address, port), timeout=10)) as raw,
        trusts.wrap_socket(raw, server_hostname=NAME) as line,
    ):
        line.sendall(f"GET /pair HTTP/1.1\r\nHost: {NAME}:{port}\r\nConnection: close\r\n\r\n".encode())
        answer = http.client.HTTPResponse(line)
        answer.begin()
        shown = (line.getpeercert() or {}).get("subjectAltName", ())
        return {"status": answer.status, "shown": [value for kind, value in shown if kind == "IP Address"]}


def main() -> None:
    """Find, visit, tell."""
    own, certificate, port = sys.argv[1], sys.argv[2], int(sys.argv[3])
    found = find(own)
    print(json.dumps({"found": found, **(visit(found[0], certificate, port) if found else {})}))


if __name__ == "__main__":
    main()

"""Heads of requests are gathered where connections wait, so that none that is slow to speak holds a thread.

A connection gets a thread when its handshake is done and its head is whole. Until then it has a time for all of it,
however it dribbles, and there is a bound on how many may be in that state. Forty phones behind one router stay far
below it: theirs come in one piece.
"""

import ssl
from threading import Lock
from typing import Any

from bench.serving.plain import HEAD_MAX, QuietServer

HEAD_S = 6.0
"""A handshake with the head behind it, or the head alone, may take so long from its first byte on."""
MOST_WAITING = 256
PIECE = 16_384
ENDS = (b"\r\n\r\n", b"\n\n", b"\n\r\n")
MORE_TO_COME = (ssl.SSLWantReadError, ssl.SSLWantWriteError, BlockingIOError)


class PatientServer(QuietServer):
    """A server whose threads never wait for a head."""

    _connections: Any

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self._begun: dict[Any, float] = {}  # connections in the middle of a head, the oldest first
        self._turn = Lock()

    def process_conn(self, conn: Any) -> None:
        """Take what has come; a thread for a whole head, else back to where connections wait."""
        try:
            if getattr(conn, "too_long", False):
                raise ConnectionAbortedError
            whole = gather(conn)
        except (OSError, ValueError):  # it went away, or what it sends is no handshake
            with self._turn:
                self._begun.pop(conn, None)
            conn.close()
            return
        if whole:
            with self._turn:
                self._begun.pop(conn, None)
            super().process_conn(conn)
        else:
            self._wait(conn)

    def _wait(self, conn: Any) -> None:
        spoke, conn.waits = getattr(conn, "waits", False) or bool(conn.head), True
        try:
            self._connections.put(conn)  # it notes the moment, and is asked again when more has come
        except (KeyError, ValueError, RuntimeError):  # the server has stopped meanwhile
            conn.close()
            return
        if not spoke:
            return
        with self._turn:
            began = self._begun.setdefault(conn, conn.last_used)
            conn.last_used = began - self.timeout + HEAD_S  # so that it is closed so long after it began
            for old in [one for one in self._begun if one.socket.fileno() < 0]:
                del self._begun[old]
            if len(self._begun) > MOST_WAITING:
                oldest = next(iter(self._begun))
                del self._begun[oldest]
                oldest.too_long, oldest.last_used = True, 0  # the thread that waits for all of them closes it

    @property
    def begun(self) -> int:
        """How many connections are in the middle of a head."""
        with self._turn:
            return sum(conn.socket.fileno() >= 0 for conn in self._begun)


def gather(conn: Any) -> bool:
    """Reads what has come without waiting; whether the head is whole, which the connection's reader then has.

    Errors: OSError where the connection ended, or its handshake failed.
    """
    sock, reader = conn.socket, conn.rfile
    head = bytearray(getattr(conn, "head", b"")) + _buffered(reader)
    timeout = sock.gettimeout()
    sock.settimeout(0)
    try:
        if isinstance(sock, ssl.SSLSocket) and not getattr(conn, "shaken", False):
            sock.do_handshake()
            conn.shaken = True
        looked = 0
        while not _is_whole(head, looked):
            looked = max(0, len(head) - 3)
            piece = sock.recv(PIECE)
            if not piece:
                raise ConnectionResetError
            head += piece
    except MORE_TO_COME:
        conn.head = bytes(head)
        return False
    finally:
        sock.settimeout(timeout)
    conn.head = b""
    reader._read_buf, reader._read_pos = bytes(head), 0  # as the server's own `has_data` looks at it
    return True


def _buffered(reader: Any) -> bytes:
    data: bytes = reader._read_buf[reader._read_pos :]
    reader._read_buf, reader._read_pos = b"", 0
    return data


def _is_whole(head: bytearray, looked: int) -> bool:
    return len(head) > HEAD_MAX or any(head.find(end, looked) >= 0 for end in ENDS)

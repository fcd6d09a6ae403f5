"""The body of a request: read whole when it is first wanted, within a time, and never while others wait for it.

A phone may send a photo slowly, and a stranger may send a byte a second for days. The checks of the head come first
(who sends, how much); then the body is read whole, and only then does the request take its turn at the bench.
"""

import io
import tempfile
from typing import IO, Any

from cheroot.wsgi import Gateway_10
from werkzeug.exceptions import RequestTimeout

from bench.clock import tick_s
from bench.translation import _

BODY_S, BYTES_PER_S = 10.0, 20_000
"""A body may take so long, and a second longer for each so many bytes of it that have come."""
IN_MEMORY = 256 * 1024
LEFT_BYTES, LEFT_S = 64 * 1024, 1.0
"""So much of a body that nobody wants is still taken, so that its sender gets to read the answer."""


class Body(io.RawIOBase):
    """What a request sent, as a file that can be read again; it comes from the network when it is first read."""

    def __init__(self, request: Any) -> None:
        self._request = request
        self._whole: IO[bytes] | None = None
        self._seconds = BODY_S

    def hurry(self, seconds: float) -> None:
        """Gives the body no more than so long, however much of it comes."""
        self._seconds = min(self._seconds, seconds)

    def whole(self) -> IO[bytes]:
        """The body, all of it here. Errors: RequestTimeout where it came too slowly."""
        if self._whole is None:
            into: Any = tempfile.SpooledTemporaryFile(IN_MEMORY)  # noqa: SIM115 - closed with the request
            per_byte = 1 / BYTES_PER_S if self._seconds == BODY_S else 0.0
            if not self._read(into, self._request.rfile.remaining, self._seconds, per_byte):
                into.close()
                self._request.close_connection = True
                raise RequestTimeout
            into.seek(0)
            self._whole = into
        return self._whole

    def leave(self) -> None:
        """Nobody wants what has not been read: a little of it is taken, and for more the connection is closed."""
        remaining = self._request.rfile.remaining
        if remaining > LEFT_BYTES or not self._read(io.BytesIO(), remaining, LEFT_S, 0.0):
            self._request.close_connection = True  # else the server reads the rest before it answers

    def _read(self, into: Any, length: int, seconds: float, per_byte: float) -> bool:
        source, connection = self._request.rfile, self._request.conn.socket
        began, usual = tick_s(), connection.gettimeout()
        try:
            while source.remaining:
                left = began + seconds + (length - source.remaining) * per_byte - tick_s()
                if left <= 0:
                    return False
                connection.settimeout(min(left, usual or left))
                piece = source.rfile.read1(min(source.remaining, 65_536))
                if not piece:
                    return False
                into.write(piece)
                source.remaining -= len(piece)
        except (OSError, ValueError):
            return False
        finally:
            connection.settimeout(usual)
        return True

    def readable(self) -> bool:
        return True

    def seekable(self) -> bool:
        return True

    def readinto(self, buffer: Any) -> int:
        piece = self.whole().read(len(buffer))
        buffer[: len(piece)] = piece
        return len(piece)

    def seek(self, offset: int, whence: int = io.SEEK_SET) -> int:
        if self._whole is None and (offset, whence) == (0, io.SEEK_SET):
            return 0  # nothing of it was read yet, and it may be a stranger's
        return self.whole().seek(offset, whence)

    def close(self) -> None:
        if self._whole is not None:
            self._whole.close()
        super().close()


class BodyGateway(Gateway_10):
    """Hands the app a `Body`, and answers without waiting for what the app left unread of it."""

    def respond(self) -> None:
        if self.req.chunked_read:
            self.req.close_connection = True
            self.req.simple_response("411 Length Required", _("State its length, and send it again."))
            self.req.sent_headers = True
            return
        self.body = Body(self.req)
        self.env["wsgi.input"] = self.body
        try:
            super().respond()
        finally:
            self.body.close()

    def start_response(self, status: str, headers: list[tuple[str, str]], exc_info: Any = None) -> Any:
        self.body.leave()
        return super().start_response(status, headers, exc_info)

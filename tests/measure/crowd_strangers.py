"""What else a bench has to do while a phone opens a page: print, take a photo in, and bear with strangers."""

import io
import socket
import ssl
import threading
from collections.abc import Callable, Iterator
from contextlib import ExitStack, closing, contextmanager, suppress

from ulid import ULID

from bench.serving.authority import NAME
from tests.measure.crowd_phone import Phone

ELSEWHERE = "127.0.0.2"
"""Strangers come from another address than the phones, as they would on a network."""
BODY_BYTES = 1_000_000
PHOTO_SIZE = (3000, 2250)
BOUNDARY = "measured"


@contextmanager
def meanwhile(work: Callable[[], None]) -> Iterator[None]:
    """Does a piece of work again and again in a thread of its own."""
    ended = threading.Event()

    def again() -> None:
        while not ended.is_set():
            work()

    thread = threading.Thread(target=again, daemon=True)
    thread.start()
    try:
        yield
    finally:
        ended.set()
        thread.join(60)


@contextmanager
def dribbled(port: int, trusts: ssl.SSLContext, count: int) -> Iterator[None]:
    """Strangers who each send a byte of a large body now and then; who is cut off comes again."""
    ended = threading.Event()

    def dribble() -> None:
        while not ended.is_set():
            with suppress(OSError), closing(_stranger(port, trusts)) as line:
                line.sendall(_head(port, f"Content-Length: {BODY_BYTES}\r\n\r\n"))
                while not ended.wait(0.5):
                    line.sendall(b"x")
            ended.wait(0.2)

    with _threads(dribble, count, ended):
        yield


@contextmanager
def crowding(port: int, trusts: ssl.SSLContext, count: int) -> Iterator[None]:
    """Strangers at the door: a third greets and goes no further, a third sends half a head, a third dribbles a body."""
    with ExitStack() as held:
        for n in range(count // 3 * 2):
            with suppress(OSError):
                line = _stranger(port, trusts) if n % 2 else _knock(port)
                held.enter_context(closing(line))
                if n % 2:
                    line.sendall(_head(port, ""))
        held.enter_context(dribbled(port, trusts, count - count // 3 * 2))
        yield


@contextmanager
def _threads(work: Callable[[], None], count: int, ended: threading.Event) -> Iterator[None]:
    threads = [threading.Thread(target=work, daemon=True) for _ in range(count)]
    for thread in threads:
        thread.start()
    try:
        yield
    finally:
        ended.set()
        for thread in threads:
            thread.join(10)


def _knock(port: int) -> socket.socket:
    with suppress(OSError):
        return socket.create_connection(("127.0.0.1", port), timeout=20, source_address=(ELSEWHERE, 0))
    return socket.create_connection(("127.0.0.1", port), timeout=20)  # a system with one address alone


def _stranger(port: int, trusts: ssl.SSLContext) -> socket.socket:
    return trusts.wrap_socket(_knock(port), server_hostname=NAME)


def _head(port: int, rest: str) -> bytes:
    kind = "Content-Type: application/x-www-form-urlencoded"
    return f"POST /settings HTTP/1.1\r\nHost: {NAME}:{port}\r\n{kind}\r\n{rest}".encode()


def photo() -> bytes:
    """A picture of some seven megapixels that a camera might have taken: about 2 MB."""
    from PIL import Image

    kept = io.BytesIO()
    Image.effect_noise(PHOTO_SIZE, 24).convert("RGB").save(kept, "JPEG", quality=70)
    return kept.getvalue()


def send_photo(phone: Phone, thing: str, picture: bytes) -> None:
    """A photo of a thing, by the form of its page."""
    fields = {"token": phone.token, "record_id": str(ULID())}
    parts = [f'--{BOUNDARY}\r\nContent-Disposition: form-data; name="{k}"\r\n\r\n{v}\r\n' for k, v in fields.items()]
    named = 'name="photo"; filename="a.jpg"\r\nContent-Type: image/jpeg'
    head = f"--{BOUNDARY}\r\nContent-Disposition: form-data; {named}\r\n\r\n"
    body = "".join([*parts, head]).encode() + picture + f"\r\n--{BOUNDARY}--\r\n".encode()
    answer = phone.ask(f"/thing/{thing}/photo", body, f"multipart/form-data; boundary={BOUNDARY}")
    if answer.status != 303:
        raise RuntimeError(f"the photo was not kept: {answer.status}")

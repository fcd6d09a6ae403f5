"""Ways through the bench: a path that was handed in is followed only when it is one of our own."""

from urllib.parse import urlsplit


def own_path(text: str) -> str:
    """The path if it stays on this bench, else `/`. `//elsewhere`, `/\\elsewhere` and full addresses do not."""
    try:
        parts = urlsplit(text)
    except ValueError:  # `//[`, say
        return "/"
    outside = parts.scheme or parts.netloc or not text.startswith("/") or text.startswith("//")
    return "/" if outside or "\\" in text or any(ord(c) < 32 for c in text) else text

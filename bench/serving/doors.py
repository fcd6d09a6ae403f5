"""Through which door a request came in, said to the app by the server itself and by nobody else."""

from collections.abc import Callable, Iterable
from typing import Any, Literal

Door = Literal["local", "yard", "tls"]
KEY = "bench.door"
App = Callable[[dict[str, Any], Callable[..., Any]], Iterable[bytes]]


def through(app: App, door: Door) -> App:
    """The app as it is reached through one door. What a client sends cannot set it: headers are named otherwise."""

    def entered(environ: dict[str, Any], start: Callable[..., Any]) -> Iterable[bytes]:
        environ[KEY] = door
        return app(environ, start)

    return entered

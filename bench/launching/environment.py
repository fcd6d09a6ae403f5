"""Makes the private environment and fills it from the lock, checking every package's hash."""

import contextlib
import errno
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator

from bench.clock import tick_s
from bench.launching import stamps
from bench.launching.words import say

LOG = "saggar-setup.log"
GUARD = "saggar-setup.guard"
# Settings of a person's own pip that would put packages elsewhere than into the environment.
MISLEADING = ("PIP_USER", "PIP_TARGET", "PIP_PREFIX", "PIP_ROOT", "PIP_REQUIREMENT", "PYTHONHOME", "PYTHONPATH")
NO_NETWORK = re.compile(
    r"NewConnectionError|Max retries|name resolution|Name or service not known|getaddrinfo failed|Connection refused"
    r"|ConnectTimeout|ReadTimeout|timed out|ProxyError|Network is unreachable|ConnectionResetError"
)


def run(call: list[str]) -> int:
    """Run a program to its end and give its exit code; Ctrl-C reaches it and is waited for."""
    with subprocess.Popen(call) as child:
        while True:
            try:
                return child.wait()
            except KeyboardInterrupt:
                continue


def make(root: str, venv: str, sets: tuple[str, ...]) -> str | None:
    """Install the named sets of the lock into the environment, making it first where there is none.

    Returns None, or the sentences that tell the person what went wrong and what to do.
    """
    try:
        os.makedirs(venv, exist_ok=True)
        with guarded(venv):
            return _made(root, venv, sets)
    except PermissionError as error:
        return not_writable(root, error.strerror)
    except OSError as error:
        if error.errno == errno.EROFS:
            return not_writable(root, error.strerror)
        raise


def not_writable(root: str, why: "str | None") -> str:
    """What to do where the folder of the program may not be written into."""
    return (
        f"The folder {root} cannot be written to: {why or 'no reason given'}.\n"
        "Saggar keeps its private environment in it. Copy the folder to a place of your own, and start it there."
    )


def _made(root: str, venv: str, sets: tuple[str, ...]) -> str | None:
    """As `make`, with the guard held."""
    started = tick_s()
    lock = stamps.read_lock(root)
    missing = stamps.lacking(root, venv, sets)
    if not missing:
        return None  # another start has done it while this one waited
    say("Saggar sets up its private environment. This is needed once, and again when its packages change.")
    problem = make_bare(venv)
    for name in missing:
        problem = problem or install(venv, lock, name)
    if problem is None:
        say(f"  done in {tick_s() - started:.0f} s")
    return problem


@contextlib.contextmanager
def guarded(venv: str) -> Iterator[None]:
    """Hold the environment against a second start; the system lets go when this process ends, however it ends."""
    with open(os.path.join(venv, GUARD), "a+b") as file:
        if os.name == "nt":
            import msvcrt

            file.seek(0)
            getattr(msvcrt, "locking")(file.fileno(), getattr(msvcrt, "LK_LOCK"), 1)  # noqa: B009
        else:
            import fcntl

            try:
                fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError:
                say("Another start of Saggar is setting up; waiting for it.")
                fcntl.flock(file, fcntl.LOCK_EX)
        yield


def make_bare(venv: str) -> str | None:
    """Make the environment itself, unless a whole one for this Python is there."""
    whole = stamps.read_stamp(venv, "run").split()[:1] == [stamps.version()]
    if whole and os.path.exists(stamps.python_of(venv)):
        return None
    say(f"  making the environment for Python {stamps.version()}")
    clear(venv)
    call = [sys.executable, "-m", "venv", venv]
    made = subprocess.run(call, env=clean_environment(), capture_output=True, text=True)
    if made.returncode == 0:
        return None
    if "ensurepip" in made.stdout + made.stderr:
        from bench.launching import system

        if system.install_venv_package():
            clear(venv)
            made = subprocess.run(call, env=clean_environment(), capture_output=True, text=True)
            if made.returncode == 0:
                return None
        return system.venv_package_sentence()
    last = (made.stderr or made.stdout).strip().splitlines()[-1:] or ["no reason given"]
    return f"The private environment could not be made in {venv}: {last[0]}"


def clear(venv: str) -> None:
    """Empty the environment's folder but for the guard, which is held open."""
    for entry in os.scandir(venv):
        if entry.name == GUARD:
            continue
        if entry.is_dir(follow_symlinks=False):
            shutil.rmtree(entry.path)
        else:
            os.unlink(entry.path)


def clean_environment() -> dict[str, str]:
    """The environment variables for pip: the person's own, less those that would lead it astray."""
    kept = {name: value for name, value in os.environ.items() if name.upper() not in MISLEADING}
    return kept | {"PIP_DISABLE_PIP_VERSION_CHECK": "1", "PIP_NO_INPUT": "1", "PYTHONNOUSERSITE": "1"}


def install(venv: str, lock: bytes, name: str) -> str | None:
    """Install one set of the lock and stamp it."""
    part = stamps.section(lock, name)
    wanted = os.path.join(venv, f"saggar-{name}.txt")
    with open(wanted, "wb") as file:
        # The tests' packages lean on those for running, and pip wants to see all that a hashed install touches.
        file.write(part if name == "run" else stamps.section(lock, "run") + part)
    before = stamps.read_stamp(venv, name)
    with contextlib.suppress(FileNotFoundError):
        os.unlink(stamps.stamp_path(venv, name))
    count = len(re.findall(rb"(?m)^[A-Za-z0-9]", part))
    what = f"package{'' if count == 1 else 's'} {'for running' if name == 'run' else 'for testing'}"
    say(f"  fetching {count} {what}, each checked against its hash")
    code, output = run_pip(
        venv, ["install", "--require-hashes", "--progress-bar", "off", *patience(before), "-r", wanted], count
    )
    with open(os.path.join(venv, LOG), "a", encoding="utf-8") as log:
        log.write(output)
    if code:
        if NO_NETWORK.search(output) and before:
            # Nothing was fetched, so nothing was changed: what is there still is what it was.
            write_stamp(venv, name, before)
        return why_pip_failed(output, os.path.join(venv, LOG))
    write_stamp(venv, name, stamps.stamp_text(lock, name))
    return None


def patience(before: str) -> list[str]:
    """How long pip tries: less where the packages of before are there to start with."""
    return ["--retries", "1", "--timeout", "10"] if before else []


def write_stamp(venv: str, name: str, text: str) -> None:
    """Stamp one set, whole or not at all."""
    temporary = stamps.stamp_path(venv, name) + ".new"
    with open(temporary, "w", encoding="ascii") as file:
        file.write(text)
    os.replace(temporary, stamps.stamp_path(venv, name))


def run_pip(venv: str, arguments: list[str], count: int) -> tuple[int, str]:
    """Run pip, showing how many packages it has looked at, and give its exit code and all that it said."""
    call = [stamps.python_of(venv), "-m", "pip", *arguments]
    lines: list[str] = []
    seen = 0
    on_terminal = sys.stderr.isatty()
    with subprocess.Popen(
        call,
        env=clean_environment(),
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        encoding="utf-8",
        errors="replace",
    ) as pip:
        for line in pip.stdout or ():
            lines.append(line)
            if line.startswith("Collecting "):
                seen += 1
                if on_terminal:
                    package = line.split()[1].split("==")[0]
                    sys.stderr.write(f"\r  {min(seen, count)} of {count}  {package:<40.40}")
                elif seen % 10 == 0:
                    say(f"  {min(seen, count)} of {count}")
            elif line.startswith("Installing collected") and on_terminal:
                sys.stderr.write(f"\r  {'putting them in place':<60}")
            sys.stderr.flush()
    if on_terminal:
        sys.stderr.write("\r" + " " * 62 + "\r")
    return pip.returncode, "".join(lines)


def why_pip_failed(output: str, log: str) -> str:
    """Plain sentences for the ways in which pip fails."""
    if "DO NOT MATCH THE HASHES" in output:
        names = ", ".join(sorted(set(re.findall(r"(?m)^    (\S+) from ", output)))) or "one package"
        return (
            f"A package that was fetched is not the one that Saggar was tested with: {names}.\n"
            "Nothing of it was installed. Try again on another network; if it stays so, do not go on, and report it."
        )
    if NO_NETWORK.search(output):
        return (
            "The packages could not be fetched: no connection to the package index.\n"
            "Setting up needs the internet once; afterwards Saggar works without it. Connect, then start it again."
        )
    if re.search(r"No space left on device|Errno 28|not enough space", output):
        return "The disk is full. Saggar's private environment needs about 300 MB; make room, then start it again."
    missing = re.search(r"No matching distribution found for (\S+)", output)
    if missing:
        return (
            f"The package index has no {missing[1]} for this computer and Python {stamps.version()}.\n"
            f"Another Python version may have it: start Saggar with that one. All that was said is in {log}."
        )
    built = re.search(r"Failed (?:building wheel for|to build) '?([\w.-]+)", output)
    if built:
        return (
            f"There is no ready package of {built[1]} for this computer, and building it here failed.\n"
            "Ready ones exist for Linux (x86-64, 64-bit ARM), Macs with Apple silicon, and Windows on x86-64.\n"
            f"All that was said is in {log}."
        )
    errors = [line for line in output.splitlines() if line.startswith("ERROR")] or output.splitlines()[-1:]
    reason = errors[0].removeprefix("ERROR: ") if errors else "no reason given"
    return f"Installing the packages failed: {reason}\nAll that was said is in {log}."

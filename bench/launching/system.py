"""System libraries that pip cannot bring: names the package for this system, or installs it as root on Debian."""

import ctypes
import os
import shutil
import subprocess
from dataclasses import dataclass

from bench.launching import stamps
from bench.launching.words import say

VENV_SENTENCE = "This Python cannot make a private environment: its venv module is not whole."
CHROMIUM_NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")


@dataclass(frozen=True)
class Need:
    """One thing that has to come from the system: what it is for, and the packages that bring it by installer."""

    name: str
    without_it: str
    packages: dict[str, str]


PANGO = Need(
    "Pango",
    "Until then everything works but the PDF, and labels print from the browser.",
    {
        "apt-get": "libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0 fonts-dejavu-core",
        "dnf": "pango dejavu-sans-fonts",
        "zypper": "pango dejavu-fonts",
        "pacman": "pango ttf-dejavu",
        "apk": "pango font-dejavu",
        "brew": "pango",
        "pacman (MSYS2)": "mingw-w64-x86_64-pango",
    },
)
CHROMIUM = Need(
    "Chromium",
    "Until then the tests that open the screens in a browser fail.",
    {
        "apt-get": "chromium",
        "dnf": "chromium",
        "zypper": "chromium",
        "pacman": "chromium",
        "apk": "chromium",
        "brew": "chromium",
    },
)
CERTUTIL = Need(
    "certutil",
    "Until then the tests that open the screens on a phone's trusted connection are skipped.",
    {
        "apt-get": "libnss3-tools",
        "dnf": "nss-tools",
        "zypper": "mozilla-nss-tools",
        "pacman": "nss",
        "apk": "nss-tools",
        "brew": "nss",
    },
)
PANGO_LIBRARIES = {
    "posix": ("libpango-1.0.so.0", "libpangoft2-1.0.so.0", "libharfbuzz-subset.so.0"),
    "darwin": ("libpango-1.0.0.dylib", "libpangoft2-1.0.0.dylib"),
    "nt": ("libpango-1.0-0.dll", "libpangoft2-1.0-0.dll"),
}


def see_to(venv: str, command: str) -> None:
    """Look for the system's libraries that a command wants; install or name what is missing. Never stops the start."""
    import sys

    if not has_pango(sys.platform):
        provide(venv, PANGO, lambda: has_pango(sys.platform))
    if command == "test" and not has_chromium():
        provide(venv, CHROMIUM, has_chromium)
    if command == "test" and not has_certutil():
        provide(venv, CERTUTIL, has_certutil)


def has_certutil() -> bool:
    """Whether the tool is there that lets a test's browser trust a certificate."""
    return shutil.which("certutil") is not None


def has_pango(platform: str) -> bool:
    """Whether the libraries that lay out the pages of a PDF can be loaded."""
    kind = "darwin" if platform == "darwin" else "nt" if os.name == "nt" else "posix"
    folders = ("", "/opt/homebrew/lib/", "/usr/local/lib/") if kind == "darwin" else ("",)
    return all(any(loads(folder + library) for folder in folders) for library in PANGO_LIBRARIES[kind])


def loads(library: str) -> bool:
    """Whether the system can load a library of this name."""
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def has_chromium() -> bool:
    """Whether a Chromium stands where programs are looked for."""
    return any(shutil.which(name) for name in CHROMIUM_NAMES)


def provide(venv: str, need: Need, found: "object") -> None:
    """Install what is missing where that is ours to do, and say so; otherwise say what to install."""
    tried = os.path.join(venv, f"saggar-tried-{need.name.lower()}.stamp")
    if may_install() and not os.path.exists(tried):
        say(f"{need.name} is missing. Running as root on Debian, so it is installed now: {need.packages['apt-get']}")
        reason = apt_install(need.packages["apt-get"].split())
        if callable(found) and found():
            return
        say(f"  that failed: {reason}")
        with open(tried, "w", encoding="ascii") as file:
            file.write(stamps.version() + "\n")
    say(sentence(need))


def may_install() -> bool:
    """Whether this is root on a system of the Debian family."""
    return os.name == "posix" and os.geteuid() == 0 and os.path.exists("/etc/debian_version") and has("apt-get")


def has(program: str) -> bool:
    """Whether a program stands where programs are looked for."""
    return shutil.which(program) is not None


def apt_install(packages: list[str]) -> str | None:
    """Install Debian packages, fetching the lists first. Returns None, or the last line of what went wrong."""
    environment = os.environ | {"DEBIAN_FRONTEND": "noninteractive"}
    for call in (["apt-get", "update"], ["apt-get", "install", "-y", "--no-install-recommends", *packages]):
        done = subprocess.run(
            call, env=environment, stdin=subprocess.DEVNULL, capture_output=True, text=True, errors="replace"
        )
        if done.returncode and call[1] == "install":
            return (done.stderr.strip().splitlines() or ["no reason given"])[-1]
    return None


def sentence(need: Need) -> str:
    """What to install, with this system's own command where its installer is known."""
    if os.name == "nt":
        way = f"with MSYS2: pacman -S {need.packages.get('pacman (MSYS2)', need.name)}"
    else:
        installer = next((name for name in need.packages if " " not in name and has(name)), None)
        verb = {"pacman": "-S", "apk": "add"}.get(installer or "", "install")
        before = "" if installer == "brew" else "sudo "
        way = (
            f"with: {before}{installer} {verb} {need.packages[installer]}"
            if installer
            else f"from your system's packages (often called {need.name.lower()})"
        )
    return f"{need.name} is not on this computer. Install it {way}\n{need.without_it}"


def install_venv_package() -> bool:
    """Debian keeps a part of Python's venv module in a package of its own: install it where that is ours to do."""
    if not may_install():
        return False
    package = f"python{stamps.version()}-venv"
    say(f"{VENV_SENTENCE} Running as root on Debian, so {package} is installed now.")
    return apt_install([package]) is None


def venv_package_sentence() -> str:
    """What to install where Python's venv module is not whole."""
    if has("apt-get"):
        return f"{VENV_SENTENCE}\nInstall the missing part with: sudo apt-get install python{stamps.version()}-venv"
    return f"{VENV_SENTENCE}\nInstall Python again with its venv and ensurepip modules."

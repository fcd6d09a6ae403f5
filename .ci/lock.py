"""Makes requirements.lock anew from pyproject.toml: `python .ci/lock.py`, in an environment that has uv.

One lock for every system and every Python from 3.11 on: each package with its version, its condition where it has
one, and the hashes of all files of that release. Two sections: what the bench needs to run, and what tests need more.
"""

import re
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
HEAD = """\
# Every package of Saggar, pinned and hashed, made from pyproject.toml by .ci/lock.py. Not edited by hand.
# The launcher installs the first section for running, and both for `saggar test`.
"""
COMPILE = ["uv", "pip", "compile", "pyproject.toml", "--quiet", "--universal", "--python-version", "3.11"]
FORM = ["--fork-strategy", "fewest", "--generate-hashes", "--no-header", "--no-annotate", "--no-emit-index-url"]


def compiled(*more: str) -> list[str]:
    """The entries of one resolution, each with its hashes, sorted by name."""
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "lock.txt"
        call = [sys.executable, "-m", *COMPILE, *FORM, *more, "--output-file", str(out)]
        subprocess.run(call, cwd=ROOT, check=True, stdout=subprocess.DEVNULL)
        return re.findall(r"(?m)^[a-z0-9](?:.*\\\n)+.*\n", out.read_text(encoding="utf-8"))


def name_of(entry: str) -> str:
    """The package's name in an entry."""
    return entry.partition("==")[0]


def main() -> None:
    """Resolve twice, and write what running needs with the versions that hold for both."""
    everything = compiled("--all-extras")
    running = {name_of(entry) for entry in compiled()}
    run = [entry for entry in everything if name_of(entry) in running]
    test = [entry for entry in everything if name_of(entry) not in running]
    text = f"{HEAD}\n# --- to run ---\n{''.join(run)}\n# --- to test ---\n{''.join(test)}"
    (ROOT / "requirements.lock").write_text(text, encoding="utf-8", newline="\n")
    print(f"requirements.lock: {len(run)} packages to run, {len(test)} more to test")


if __name__ == "__main__":
    main()

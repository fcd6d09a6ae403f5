"""An installed Saggar works without its source folder: a wheel is built, installed elsewhere, and asked."""

import ast
import json
import os
import re
import shutil
import subprocess
import sys
import sysconfig
import tomllib
import urllib.request
import zipfile
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).resolve().parents[2]
SHIPPED = ("bench", "templates", "static", "labels")
BUILT_FROM = ("pyproject.toml", "README.md", "LICENSE", *SHIPPED)
WITHOUT_CACHES = shutil.ignore_patterns("__pycache__", "*.pyc", ".*")


def own_environment() -> dict[str, str]:
    """This process's environment variables, less those that would let the source folder be found."""
    return {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A wheel built from a copy of the source, so that nothing left over in the source folder can slip in."""
    source = tmp_path_factory.mktemp("source")
    for name in BUILT_FROM:
        if (ROOT / name).is_dir():
            shutil.copytree(ROOT / name, source / name, ignore=WITHOUT_CACHES)
        else:
            shutil.copy(ROOT / name, source / name)
    call = [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(source / "dist"), str(source)]
    done = subprocess.run(call, capture_output=True, text=True, env=own_environment())
    assert done.returncode == 0, done.stdout + done.stderr
    return next((source / "dist").glob("*.whl"))


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A new environment with the wheel installed; it sees the packages of this one, but not the source folder."""
    place = tmp_path_factory.mktemp("elsewhere")
    venv = place / "env"
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", str(venv)], check=True, capture_output=True)
    windows = os.name == "nt"
    python = venv / ("Scripts/python.exe" if windows else "bin/python")
    lib = venv / ("Lib" if windows else f"lib/python{sysconfig.get_python_version()}") / "site-packages"
    (lib / "packages_of_the_test_environment.pth").write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    call = [sys.executable, "-m", "pip", "--python", str(python), "install", "--no-deps", "--no-index", str(wheel)]
    done = subprocess.run(call, capture_output=True, text=True, env=own_environment())
    assert done.returncode == 0, done.stdout + done.stderr
    return venv / ("Scripts/saggar.exe" if windows else "bin/saggar")


def run(installed: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    """Run the installed command far from the source folder."""
    call = [str(installed), *arguments]
    return subprocess.run(call, cwd=installed.parent, capture_output=True, text=True, env=own_environment(), timeout=60)


def test_the_wheel_holds_the_package_and_its_assets_and_nothing_else(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        there = {name for name in archive.namelist() if ".dist-info/" not in name}
    inside = {"bench": "bench"} | {top: f"bench/_assets/{top}" for top in SHIPPED[1:]}
    wanted = {
        f"{inside[top]}/{path.relative_to(ROOT / top).as_posix()}"
        for top in SHIPPED
        for path in (ROOT / top).rglob("*")
        if path.is_file() and "__pycache__" not in path.parts and not path.name.startswith(".")
    }
    assert there == wanted
    for kind in ("bench/_assets/templates/.+html", "bench/_assets/static/.+css", "bench/_assets/labels/.+toml"):
        assert any(re.fullmatch(kind, name) for name in there)
    assert "bench/reference/data/reagents.csv" in there
    assert not [name for name in there if "test_" in name or "/measure/" in name]


def test_the_installed_package_is_not_the_source_folder(installed: Path) -> None:
    python = installed.with_name("python.exe" if os.name == "nt" else "python")
    say = "import bench, bench.settings as s; print(bench.__file__); print(s.asset_folder('static'))"
    done = subprocess.run(
        [str(python), "-c", say],
        cwd=installed.parent,
        capture_output=True,
        text=True,
        env=own_environment(),
        check=True,
    )
    assert len(done.stdout.splitlines()) == 2
    assert str(ROOT) not in done.stdout


def test_the_installed_command_reckons(installed: Path) -> None:
    done = run(installed, "reckon", "molar-mass", '{"formula": "Zn1.5FeTi0.5O4"}')
    assert done.returncode == 0, done.stdout + done.stderr
    # Standard atomic weights, IUPAC 2021 (abridged): Zn 65.38, Fe 55.845, Ti 47.867, O 15.999.
    expected = 1.5 * 65.38 + 55.845 + 0.5 * 47.867 + 4 * 15.999
    assert json.loads(done.stdout)["molar_mass_g_mol"] == pytest.approx(expected, abs=0.01)


def test_the_installed_command_tells_its_version_and_that_tests_stay_with_the_source(installed: Path) -> None:
    version = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["version"]
    assert run(installed, "--version").stdout.strip() == f"saggar {version}"
    for word in ("test", "measure"):
        done = run(installed, word)
        assert done.returncode == 2
        assert f"./saggar {word} in Saggar's source folder" in done.stderr
        assert done.stderr.count("\n") == 1


def test_the_installed_bench_opens_gives_its_page_prints_and_verifies(installed: Path, tmp_path: Path) -> None:
    call = [str(installed), "serve", "--data", str(tmp_path / "data"), "--port", "0", "--no-browser"]
    with subprocess.Popen(
        call, cwd=tmp_path, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, env=own_environment()
    ) as bench:
        assert bench.stdout is not None
        try:
            said = ""
            # Notes may come first, as of a port for phones that another program holds.
            while not (found := re.search(r"http://localhost:\d+/", said)):
                line = bench.stdout.readline()
                assert line, said
                said += line
            page = get(found[0])
            assets = set(re.findall(r'(?:src|href)="(/static/[^"]+)"', page))
            assert assets
            for asset in assets:
                assert get(found[0].rstrip("/") + asset.replace("&amp;", "&").partition("#")[0])
            assert (tmp_path / "data" / "saggar.json").is_file()
            with urllib.request.urlopen(f"{found[0]}print/calibrate/page?pdf=1", timeout=60) as printed:
                assert printed.read(5) == b"%PDF-"
        finally:
            bench.terminate()
            bench.stdout.read()
    assert bench.returncode == 0
    done = run(installed, "verify", str(tmp_path / "data" / "saggar.json"))
    assert done.returncode == 0 and "sound" in done.stdout, done.stdout + done.stderr


def get(address: str) -> str:
    """A page or file, which has to answer 200."""
    with urllib.request.urlopen(address, timeout=20) as answer:
        assert answer.status == 200
        body: bytes = answer.read()
    return body.decode("utf-8", "replace")


def test_everything_that_the_package_imports_is_among_what_it_installs() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    # A meter's port and a hub are extras, whose absence is met with a plain sentence.
    extras = project["optional-dependencies"]
    lines = [*project["dependencies"], *extras["serial"], *extras["hub"]]
    declared = {canonicalize_name(Requirement(line).name) for line in lines}
    # What these packages themselves always bring, and what is imported from it by its own name.
    brought = {"jinja2": "flask", "werkzeug": "flask", "markupsafe": "flask", "itsdangerous": "flask"}
    owners = packages_distributions()
    for path in (ROOT / "bench").rglob("*.py"):
        # One command runs what lies beside the tests, and says so where they are not.
        own = {"bench", "tests"} if path == ROOT / "bench/commands/measure.py" else {"bench"}
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            for top in {name.split(".")[0] for name in names} - own - set(sys.stdlib_module_names):
                packages = {canonicalize_name(owner) for owner in owners.get(top, [top])}
                packages |= {brought[package] for package in packages if package in brought}
                assert packages & declared, f"{path.relative_to(ROOT)} imports {top}, which Saggar does not bring"

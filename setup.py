"""What pyproject.toml cannot say: every room, wherever it lies, and the top folders that go inside the package."""

from setuptools import find_packages, setup

ASSETS = {f"bench._assets.{name}": name for name in ("templates", "static", "labels")}

setup(
    packages=[*find_packages(include=["bench", "bench.*"]), *ASSETS],
    package_dir=dict(ASSETS),
    package_data={"": ["data/**/*"]} | {asset: ["**/*"] for asset in ASSETS},
    include_package_data=False,
)

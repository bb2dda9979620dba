"""House rules that a machine can see."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest

from tests.servers import need

ROOT = Path(__file__).resolve().parents[1]
TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "pyproject.toml",
    "manage.py",
    "jobs",
    "engineering",
    "reports",
    "tests",
    "fixtures",
}


def tracked() -> list[Path]:
    names = subprocess.run([need("git"), "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=True).stdout
    return [ROOT / name for name in names.split("\0") if name and (ROOT / name).is_file()]


@pytest.fixture(scope="module")
def files() -> list[Path]:
    if not (ROOT / ".git").exists():
        pytest.skip("not a git checkout")
    return tracked()


def test_the_top_level_holds_what_the_owner_fixed_and_nothing_else(files):
    names = {path.relative_to(ROOT).parts[0] for path in files}
    assert {name for name in names if not name.startswith(".")} <= TOP_LEVEL


@pytest.mark.parametrize("lock", ["requirements.txt", "requirements-tests.txt"])
def test_a_lock_pins_every_package_with_hashes_and_names_no_address(lock):
    text = (ROOT / ".ci" / lock).read_text()
    assert "://" not in text
    requirements = re.findall(r"^([A-Za-z0-9._-]+)(\[[^\]]*\])?==", text, re.MULTILINE)
    assert len(requirements) > 40
    assert text.count("--hash=sha256:") >= len(requirements)


def test_the_run_lock_is_part_of_the_tests_lock():
    def pins(name: str) -> set[str]:
        return set(re.findall(r"^([A-Za-z0-9._\[\],-]+==\S+)", (ROOT / ".ci" / name).read_text(), re.MULTILINE))

    assert pins("requirements.txt") <= pins("requirements-tests.txt")


def test_a_module_is_short_enough_that_a_newcomer_finds_a_rule_in_it(files):
    long = {
        str(path.relative_to(ROOT)): lines
        for path in files
        if path.suffix == ".py"
        and "migrations" not in path.parts
        and (lines := len(path.read_text().splitlines())) > 500
    }
    assert not long, f"split by noun: {long}"


def test_the_readme_says_what_ci_runs():
    readme, ci = (ROOT / "README.md").read_text(), (ROOT / ".ci/run").read_text()
    assert "./.ci/setup && .venv/bin/python manage.py demo" in readme
    assert "./.ci/setup --tests && .venv/bin/pytest" in readme
    assert ci.count(".venv/bin/pytest") == 2

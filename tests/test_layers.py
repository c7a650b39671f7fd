"""A file imports only from the layers below its own (import-linter reads the contract from pyproject.toml)."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parent.parent


def test_layers_are_kept() -> None:
    """No import goes up or across; every module of the package is in some layer."""
    command = [sys.executable, "-c", "from importlinter.cli import lint_imports_command; lint_imports_command()", "--no-cache"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


def test_the_package_itself_imports_nothing() -> None:
    """`import construct` loads the standard library alone, so that the certificate checker can stand alone."""
    code = "import sys, construct; print([m for m in ('flint', 'sympy', 'numpy', 'lark', 'click') if m in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"

"""A server's program that is run without what it does not need."""

import os
import subprocess
import sys

from pricelab.app import serve
from pricelab.files.folders import ROOT


def _served(tmp_path, code, *words):
    """What a program says that is served with these words."""
    (tmp_path / "program.py").write_text(code, encoding="utf-8")
    told = {**os.environ, "PYTHONPATH": os.pathsep.join([str(ROOT), str(tmp_path)])}
    command = [sys.executable, "-m", "pricelab.app.serve", "program", *words]
    return subprocess.run(command, capture_output=True, text=True, env=told)


def test_it_is_run_as_a_program_with_its_words(tmp_path):
    """Its name, its words and its exit code are those it has without."""
    ran = _served(tmp_path, "import sys\nprint(__name__, sys.argv[1:])\nsys.exit(3)", "--port", "1")
    assert ran.stdout.strip() == "__main__ ['--port', '1']"
    assert ran.returncode == 3


def test_the_grammar_of_foreign_addresses_is_not_worked_out(tmp_path):
    """Jupyter's server loads without it, and still checks what it has to check."""
    code = (
        "import sys, jupyter_server.serverapp, jsonschema\n"
        "checks = jsonschema.Draft7Validator.FORMAT_CHECKER.checkers\n"
        f"print(sys.modules['{serve.NOT_NEEDED}'], 'date-time' in checks, 'iri' in checks)"
    )
    assert _served(tmp_path, code).stdout.strip() == "None True False"

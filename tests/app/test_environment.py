"""What makes sure that the libraries are there, short of fetching them."""

import os
import re
import subprocess
import sys
import tomllib
from importlib import metadata
from pathlib import Path

import pytest
from packaging.requirements import Requirement

from pricelab.app import environment
from pricelab.app.environment import SetUpFailed, lacking, needed

HERE = {"numpy": "2.4.6", "voila": "0.6.0rc1", "pandas": "3.1"}


def test_every_dependency_of_the_project_is_in_the_form_that_can_be_checked(root):
    """Read with a table of versions that has them all, far in the future, none is refused."""
    pyproject = tomllib.loads((root / "pyproject.toml").read_text("utf-8"))
    requirements = needed(pyproject, testing=True)
    assert "pytest>=9.2" in requirements
    assert "pytest>=9.2" not in needed(pyproject, testing=False)
    assert all("<" in requirement for requirement in lacking(requirements, lambda name: "999"))


@pytest.mark.parametrize(
    ("requirement", "met"),
    [
        ("numpy>=2.4", True),
        ("numpy>=2.4.6", True),
        ("numpy>=2.4.7", False),
        ("numpy>=2.10", False),  # as numbers, not as letters
        ("numpy>=2.4,<2.5", True),
        ("numpy>=2.4,<2.4.6", False),
        ("pandas>=3.1.0", True),  # 3.1 is 3.1.0
        ("voila>=0.5,<0.6", False),
        ("scipy>=1.17", False),
    ],
)
def test_a_requirement_is_met_by_what_is_here(requirement, met):
    """At the lower bound it is met, at the upper one not; a library that is not here never."""
    assert lacking([requirement], HERE.__getitem__) == ([] if met else [requirement])


def test_a_dependency_in_another_form_is_refused():
    """A form that is not understood would be checked wrongly without a word."""
    with pytest.raises(ValueError, match=r'the dependency "numpy==2", expected the form'):
        lacking(["numpy==2"])


def test_nothing_is_fetched_for_a_question_about_the_commands(monkeypatch):
    """`--help` answers on a machine that has nothing."""
    monkeypatch.setattr(environment, "lacking", lambda requirements: ["numpy>=2.4"])
    monkeypatch.setattr(environment, "_own_python", lambda: pytest.fail("made an environment"))
    assert environment.rerun_with_libraries(["test", "--help"]) is None


def test_what_goes_wrong_is_told_in_one_sentence(monkeypatch, capsys):
    """On standard error, with exit code 2 and no traceback."""

    def refuse():
        raise SetUpFailed("No room.")

    monkeypatch.setattr(environment, "lacking", lambda requirements: ["numpy>=2.4"])
    monkeypatch.setattr(environment, "OWN", environment.ROOT / "not the one that runs")
    monkeypatch.setattr(environment, "_own_python", refuse)
    assert environment.rerun_with_libraries([]) == 2
    assert capsys.readouterr().err == "No room.\n"


def test_a_python_without_the_means_says_what_to_install(monkeypatch, tmp_path):
    """Debian and Ubuntu keep `ensurepip` in a package of its own."""
    monkeypatch.setattr(environment, "OWN", tmp_path / ".venv")
    monkeypatch.setattr(environment, "find_spec", lambda name: None)
    with pytest.raises(SetUpFailed, match="sudo apt install python3-venv"):
        environment._own_python()


def test_a_full_disk_is_told_before_it_is_filled(monkeypatch, tmp_path):
    """Half an installation would be worse than none."""
    monkeypatch.setattr(environment, "OWN", tmp_path / ".venv")
    monkeypatch.setattr(environment, "ROOM", 10**18)
    with pytest.raises(SetUpFailed, match="MB left, and the libraries need 1,000,000,000,000 MB"):
        environment._own_python()


def test_a_folder_that_cannot_be_written_is_told(monkeypatch, tmp_path):
    """A file stands where the environment should go."""
    (tmp_path / "file").touch()
    monkeypatch.setattr(environment, "OWN", tmp_path / "file" / ".venv")
    with pytest.raises(SetUpFailed, match="Make sure that this folder may be written to"):
        environment._own_python()


def test_a_folder_under_a_name_that_python_would_split_is_told(monkeypatch, tmp_path):
    """Before an environment is made that would find nothing."""
    monkeypatch.setattr(environment, "OWN", tmp_path / f"caps{os.pathsep}2026" / ".venv")
    said = (
        f'This folder lies under a name with a "{os.pathsep}" in it, the sign by which Python '
        "tells one folder from the next. Rename that folder and run the same command again."
    )
    with pytest.raises(SetUpFailed, match=f"^{re.escape(said)}$"):
        environment._own_python()
    assert os.listdir(tmp_path) == []


def test_the_pinned_libraries_alone_are_fetched(monkeypatch, capsys, root):
    """The clone is run where it lies, whatever its folder is called."""
    asked = []

    class Pip:
        returncode = 0

        def __init__(self, command, **_):
            asked.append(command)

        def poll(self):
            return 0

        wait = terminate = poll

    monkeypatch.setattr(environment.subprocess, "Popen", Pip)
    for testing in (False, True):
        environment._install(testing)
    used, tested = (root / "pricelab/app" / f"{name}libraries.txt" for name in ("", "test_"))
    pip = [sys.executable, "-m", "pip", "install", "--quiet", "--require-hashes"]
    assert asked == [
        [*pip, "-r", str(used)],
        [*pip, "-r", str(used), "-r", str(tested)],
    ]
    assert "about 800 MB, one to three minutes" in capsys.readouterr().out


# ---- the releases that are pinned ------------------------------------------------------

PIN = re.compile(r"([a-z0-9-]+==\S+(?: ; [^\\]+?)?)((?: \\\n    --hash=sha256:[0-9a-f]{64})+)\n")
MACHINES = [
    {"python_version": f"3.{minor}", "python_full_version": f"3.{minor}.9"} | system
    for minor in (11, 12, 13, 14)
    for system in (
        {"sys_platform": "linux", "os_name": "posix", "platform_system": "Linux"},
        {"sys_platform": "darwin", "os_name": "posix", "platform_system": "Darwin"},
        {"sys_platform": "win32", "os_name": "nt", "platform_system": "Windows"},
    )
]


@pytest.mark.parametrize("testing", [False, True])
def test_every_release_is_pinned_by_its_hashes_and_none_by_its_place(testing):
    """A line of the head, then pins and nothing else: no host, no folder, no option."""
    for lock in environment.LOCKS[testing]:
        head, _, pins = Path(lock).read_text("utf-8").partition("\n")
        assert head.startswith("# Made by tests/lock_libraries.py")
        assert PIN.sub("", pins) == ""
        assert len(PIN.findall(pins)) > 20


@pytest.mark.parametrize("testing", [False, True])
@pytest.mark.parametrize("machine", MACHINES, ids=lambda m: " ".join(m.values()))
def test_on_every_machine_one_release_is_pinned_that_the_project_takes(root, testing, machine):
    """Every Python from the oldest on, on every system: for each dependency, exactly one."""
    text = "".join(Path(lock).read_text("utf-8") for lock in environment.LOCKS[testing])
    pins = [Requirement(pin) for pin, _ in PIN.findall(text)]
    here = {}
    for pin in pins:
        if pin.marker is None or pin.marker.evaluate(machine):
            assert here.setdefault(pin.name, str(pin.specifier)) == str(pin.specifier)
    pyproject = tomllib.loads((root / "pyproject.toml").read_text("utf-8"))
    wanted = needed(pyproject, testing)
    assert lacking(wanted, lambda name: here[name].removeprefix("==")) == []


def test_nothing_but_the_standard_library_is_used_before_the_libraries_are_there(root):
    """`-S -I` hides every installed package: the help is still given."""
    command = f"import sys; sys.path.insert(0, {str(root)!r}); sys.argv[1:] = ['--help']; "
    command += "import runpy; runpy.run_module('pricelab', run_name='__main__')"
    run = subprocess.run(
        [sys.executable, "-S", "-I", "-c", command], capture_output=True, text=True, check=False
    )
    assert (run.returncode, run.stderr) == (0, "")
    assert "open the workbook in your browser" in run.stdout


def test_the_version_here_is_asked_of_the_installed_package():
    """With no table of versions given, Python's own records answer."""
    assert lacking(["pytest>=9"]) == []
    with pytest.raises(metadata.PackageNotFoundError, match="no-such-library"):
        metadata.version("no-such-library")
    assert lacking(["no-such-library>=1"]) == ["no-such-library>=1"]

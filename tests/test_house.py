"""What holds the project together: one list of dependencies, imports one way, light imports."""

import ast
import re
import subprocess
import sys
import tomllib
from functools import cache
from pathlib import Path

import pytest
import yaml

HEAVY = ("matplotlib", "ipywidgets", "scipy")

ROOMS = (
    *("shop", "cost", "lists", "client", "jobs", "analysis", "words"),
    *("files", "face", "pictures", "paper", "screens", "app"),
)
"""From the ground up: a room may import what stands before it, and nothing after it."""

RULES = ("shop", "cost", "lists", "client", "jobs", "analysis")
MOST_FLOORS = 10


def _modules(root):
    """Every module of the package by its dotted name below `pricelab`, but for the empty ones."""
    package = root / "pricelab"
    for path in sorted(package.rglob("*.py")):
        name = ".".join(path.relative_to(package).with_suffix("").parts)
        if name != "__init__":
            yield name.removesuffix(".__init__"), path


def _is_module(path: Path, dotted: str) -> bool:
    """Whether a dotted name is a module of the package in which `path` lies."""
    package = next(parent for parent in path.parents if parent.name == "pricelab")
    return (package.parent / dotted.replace(".", "/")).with_suffix(".py").is_file()


@cache
def _imports(path: Path) -> list[tuple[int, str]]:
    """The modules of `pricelab` that a module imports when it runs, anywhere in it, by line."""
    return list(_read_imports(path))


def _read_imports(path: Path):
    tree = ast.parse(path.read_text("utf-8"))
    names_of_types = [  # read by people and type checkers, imported by nobody
        inner
        for node in ast.walk(tree)
        if isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING"
        for inner in ast.walk(node)
    ]
    for node in ast.walk(tree):
        if node in names_of_types:
            continue
        if isinstance(node, ast.ImportFrom) and node.level:
            pytest.fail(f"{path.name}, line {node.lineno}: a relative import; write it in full")
        names = []
        if isinstance(node, ast.ImportFrom):
            whole = node.module == "pricelab"
            names = [f"pricelab.{a.name}" for a in node.names] if whole else [node.module]
            inner = [f"{node.module}.{a.name}" for a in node.names]
            names = [i for i in inner if _is_module(path, i)] or names
        elif isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        for name in names:
            if name.startswith("pricelab.") and name != "pricelab.__version__":
                yield node.lineno, name.removeprefix("pricelab.")


def test_imports_point_one_way(root):
    """From room to room only downwards: a newcomer reads from the ground up."""
    rank = {room: at for at, room in enumerate(ROOMS)}
    upwards = [
        f"pricelab/{name.replace('.', '/')}.py, line {line}: imports pricelab.{imported}"
        for name, path in _modules(root)
        for line, imported in _imports(path)
        if rank[imported.partition(".")[0]] > rank.get(name.partition(".")[0], len(ROOMS))
    ]
    assert upwards == []


def test_every_module_is_in_a_room(root):
    """At the top lie the package's face and its command alone."""
    tops = {name.partition(".")[0] for name, _ in _modules(root)}
    assert tops - set(ROOMS) == {"__main__"}


def test_the_map_says_of_each_room_what_the_room_says_of_itself(root):
    """In its order; the first sentence of what a room's `__init__` says is its row."""
    rows = re.findall(
        r"^\| `(\w+)` \| (.*) \|$", (root / "DEVELOPERS.md").read_text("utf-8"), re.MULTILINE
    )
    said = []
    for room in ROOMS:
        tree = ast.parse((root / "pricelab" / room / "__init__.py").read_text("utf-8"))
        said.append((room, ast.get_docstring(tree).partition("\n\n")[0].replace("\n", " ")))
    assert rows == said


def test_no_modules_import_each_other(root):
    """Inside the rooms too there is an order: no circle anywhere."""
    graph = {name: {i for _, i in _imports(path)} - {name} for name, path in _modules(root)}
    while leaves := [name for name, imported in graph.items() if not imported & graph.keys()]:
        for name in leaves:
            del graph[name]
    assert graph == {}, "a circle among these"


def test_the_house_has_few_floors(root):
    """A room stands a floor above the highest that it imports."""
    graph = {}
    for name, path in _modules(root):
        room = name.partition(".")[0]
        graph.setdefault(room, set()).update(i.partition(".")[0] for _, i in _imports(path))
    floor = {}
    while len(floor) < len(graph):
        for room, below in graph.items():
            if below - {room} <= floor.keys():
                floor[room] = 1 + max((floor[one] for one in below - {room}), default=0)
    assert max(floor.values()) <= MOST_FLOORS, floor


def test_rules_and_files_import_neither_pictures_nor_controls_nor_scipy(root):
    """They start at once, and serve where there is no screen."""
    rules = [
        f"pricelab.{name}"
        for name, _ in _modules(root)
        if name.partition(".")[0] in (*RULES, "words", "files")
    ]
    assert "pricelab.cost.costing" in rules
    code = f"import sys\nfor name in {rules!r}: __import__(name)\n"
    code += f"print(*sorted(set({HEAVY!r}) & sys.modules.keys()))"
    run = subprocess.run(
        [sys.executable, "-c", code], cwd=root, capture_output=True, text=True, check=False
    )
    assert (run.stdout.strip(), run.returncode) == ("", 0), run.stderr


def test_the_conda_environment_names_nothing_but_python_and_the_pins(root):
    """The releases are those pinned; the Python it asks for is the project's."""
    project = tomllib.loads((root / "pyproject.toml").read_text("utf-8"))["project"]
    face = yaml.safe_load((root / "environment.yml").read_text("utf-8"))
    assert face == {
        "name": project["name"],
        "channels": ["conda-forge"],
        "dependencies": [
            f"python{project['requires-python']}",
            "pip",
            {"pip": [f"-r pricelab/app/{name}.txt" for name in ("libraries", "test_libraries")]},
        ],
    }
    assert "test" in project["optional-dependencies"]


def test_the_oldest_python_is_the_same_wherever_it_is_named(root):
    """In pyproject.toml, in the sentence for an older one, and in both pages for readers."""
    project = tomllib.loads((root / "pyproject.toml").read_text("utf-8"))["project"]
    oldest = project["requires-python"].removeprefix(">=")
    main = (root / "pricelab" / "__main__.py").read_text("utf-8")
    assert f"sys.version_info < ({oldest.replace('.', ', ')})" in main
    for page in ("pricelab/__main__.py", "README.md", "DEVELOPERS.md"):
        named = re.findall(r"Python (3\.\d+)", (root / page).read_text("utf-8"))
        assert set(named) == {oldest}, page


def test_committed_text_names_no_machine(root):
    """No path of someone's disk, and no host that packages come from."""
    listed = subprocess.run(
        ["git", "ls-files", "-z"], cwd=root, capture_output=True, text=True, check=False
    )
    if listed.returncode:
        pytest.skip("This folder is not a clone: git lists no files here.")
    places = re.compile(r"(?<![\w.])/(?:home|root|Users|tmp|work)/\w|pypi\.org|pythonhosted")
    found = []
    for name in filter(None, listed.stdout.split("\0")):
        path = root / name
        if path == Path(__file__) or not path.is_file():
            continue
        text = path.read_text("utf-8", errors="ignore")
        found += [f"{name}: {match[0]}" for match in places.finditer(text)]
    assert found == []

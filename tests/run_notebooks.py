"""Runs the notebooks from top to bottom and stores what they show: `python tests/run_notebooks.py`.

Stored outputs carry nothing that differs from run to run: no ids of widgets, no times, and
of a panel the page that it shows. Name notebooks to run only those.
"""

import os
import sys
from pathlib import Path

import nbformat
from nbclient import NotebookClient

ROOT = Path(__file__).resolve().parents[1]
NOTEBOOKS = ROOT / "notebooks"
WIDGET_VIEW = "application/vnd.jupyter.widget-view+json"


def run(path: Path) -> None:
    """Run one notebook on the demo shop and write it back with its outputs."""
    os.environ.pop("PRICELAB_SHOP", None)
    os.environ["PRICELAB_SHOPS"] = str(ROOT / "no-shops")  # whatever shops the developer has
    os.environ["PYTHONPATH"] = str(ROOT)
    notebook = nbformat.read(path, as_version=4)
    NotebookClient(
        notebook,
        timeout=120,
        coalesce_streams=True,  # how print is cut up is the machine's whim
        resources={"metadata": {"path": str(path.parent)}},
    ).execute()
    nbformat.write(settled(notebook), path)


def settled(notebook):
    """The notebook without what differs from run to run."""
    kept = {"pricelab": notebook.metadata.get("pricelab", {"run_on_open": True})}
    kept["kernelspec"] = {"display_name": "Python 3", "language": "python", "name": "python3"}
    kept["language_info"] = {"name": "python"}
    notebook.metadata = nbformat.from_dict(kept)
    count = 0
    for number, cell in enumerate(notebook.cells, 1):
        cell.id = f"cell-{number}"
        if cell.cell_type != "code":
            continue
        count += 1
        cell.execution_count = count
        cell.metadata.pop("execution", None)
        for output in cell.outputs:
            if "execution_count" in output:
                output.execution_count = count
            if "data" in output:
                output.data.pop(WIDGET_VIEW, None)
    return notebook


if __name__ == "__main__":
    named = [Path(name) for name in sys.argv[1:]]
    for each in named or sorted(NOTEBOOKS.glob("*.ipynb")):
        run(each)

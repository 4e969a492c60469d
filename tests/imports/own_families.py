"""Three invented families from their sheets alone, in a catalogue without the demo's valves."""

from __future__ import annotations

import re
from pathlib import Path

from tablegen.cli.main import main

SHEETS = {
    "sorrel": ("sorrel-keys", "sorrel-sizes", "sorrel-curve", "sorrel-settings", "sorrel-part-numbers"),
    "tansy": ("tansy", "tansy-keys", "tansy-charges"),
    "yarrow": ("yarrow-keys", "yarrow", "yarrow-characteristic"),
}
RULES = """\
leave_out:
  - {family: sorrel, group: R134a, why: No bulb charge is offered.}
  - {family: tansy, group: [R404A-R507A, R448A-family], why: Offered for R134a only.}

revisions:"""
COMPANY = 'name: Quillmere Valves (invented)\naccent: "#1F4E79"\nlogo: logo.svg\ndocuments: {booklet: QV-7}\n'


def edited(path: Path, old: str, new: str) -> None:
    """Replace a text that is in a file once."""
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1, (path, old)
    path.write_text(text.replace(old, new), encoding="utf-8")


def imported(folder: Path, *names: str) -> int:
    """Read the sheets of some families into a catalogue; the exit code."""
    codes = [
        main(
            [
                "import",
                *(str(folder / "import" / f"{sheet}.csv") for sheet in SHEETS[name]),
                "--catalogue",
                str(folder / "catalogue.yaml"),
            ]
        )
        for name in names
    ]
    return max(codes)


def own_catalogue(folder: Path) -> Path:
    """The catalogue file of the three families, with a company and a booklet of two prints."""
    assert main(["init", str(folder), "--without-valves"]) == 0
    assert imported(folder, *SHEETS) == 0
    catalogue, booklet = folder / "catalogue.yaml", folder / "publications" / "booklet.yaml"
    listed = "groups: [R404A-R507A, R448A-family, R407C, R134a, R513A]"
    edited(catalogue, listed, "groups: [R404A-R507A, R448A-family, R134a]")
    edited(catalogue, "\nrevisions:", f"\n{RULES}")
    prints = "prints:\n  - {paper: letter, units: IP}\n  - {paper: a4, units: SI}\n"
    text = re.sub(r"prints:\n(?:  - .*\n)+", prints, booklet.read_text(encoding="utf-8"))
    booklet.write_text(text, encoding="utf-8")
    (folder / "company.yaml").write_text(COMPANY, encoding="utf-8")
    return catalogue

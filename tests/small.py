"""Small catalogues made of the demo's or the hard cases' configs, with a few words changed."""

from __future__ import annotations

import shutil
from collections.abc import Iterable, Sequence
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
DEMO, HARD = ROOT / "configs", ROOT / "tests" / "data" / "hard_cases"
# File, text in it, what replaces it.
Edit = tuple[str, str, str]


def small_catalogue(
    folder: Path,
    families: Sequence[str],
    groups: dict[str, Sequence[str]],
    applications: Sequence[str],
    edits: Iterable[Edit] = (),
    source: Path = DEMO,
    more: str = "",
) -> Path:
    """A catalogue file of some parts; every edit must find its text, once."""
    shutil.copytree(source, folder)
    head = (folder / "catalogue.yaml").read_text(encoding="utf-8").split("families:")[0]
    listed = "\n".join(
        f"{key}: [{', '.join(names)}]"
        for key, names in (
            ("families", families),
            ("groups", list(groups)),
            ("applications", applications),
        )
    )
    revisions = "revisions:\n  - {revision: A, date: 2026-11-25, change: First issue.}\n"
    (folder / "catalogue.yaml").write_text(f"{head}{listed}\n{more}{revisions}", encoding="utf-8")
    written = "".join(f"  {name}: {{title: {name}, members: [{', '.join(m)}]}}\n" for name, m in groups.items())
    (folder / "groups.yaml").write_text(f"groups:\n{written}", encoding="utf-8")
    for file, old, new in edits:
        path = folder / file
        text = path.read_text(encoding="utf-8")
        assert text.count(old) >= 1, (file, old)
        path.write_text(text.replace(old, new, 1), encoding="utf-8")
    return folder / "catalogue.yaml"

"""What `check` calls sound `build` prints: catalogues as large and as wordy as they may be, read back from pages."""

import io
import json
from pathlib import Path

import pytest
from pypdf import PdfReader

from tablegen.cli.main import main
from tablegen.wording import terms
from tests.report.text_boxes import problems
from tests.stress import WORD, stress_catalogue, words_of

BOTH = (("letter", "IP"), ("letter", "SI"), ("a4", "IP"), ("a4", "SI"))
FINE = "{minimum: -10 degC, maximum: 9.95 degC, step: 0.05 K}"
CASES = {
    # In the ordinary run: twice as many sizes as fit on one page, all texts at their longest.
    "wordy": {"sizes": 18},
    "60 sizes": {"prints": BOTH},
    "60 plain sizes over a wide range": {
        "names": "short",
        "rows": "{minimum: -40 degF, maximum: 60 degF, step: 5 delta_degF}",
        "example": "20 degF",
        "stock": 7,
        "prints": BOTH,
    },
    "400 rows": {"sizes": 9, "names": "short", "rows": FINE, "example": "0 degC", "prints": BOTH},
    "12 families": {"sizes": 4, "families": 12, "revisions": 60, "prints": (("letter", "IP"),)},
    "30 members": {"sizes": 4, "wide": True, "prints": (("a4", "SI"), ("letter", "IP"))},
}


@pytest.mark.parametrize("case", [pytest.param(c, marks=pytest.mark.slow) for c in CASES])
def test_what_is_sound_is_built(case: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = stress_catalogue(tmp_path / "configs", **CASES[case])  # type: ignore[arg-type]
    assert main(["check", "--catalogue", str(path)]) == 0
    assert main(["build", "--catalogue", str(path), "--output", str(tmp_path), "--workers", "1"]) == 0, (
        capsys.readouterr().err
    )
    folder = tmp_path / "stress"
    record = json.loads((folder / "manifest.json").read_text(encoding="utf-8"))
    assert "not_printed" not in record
    documents = {pdf.name: pdf.read_bytes() for pdf in sorted(folder.glob("*.pdf"))}
    assert len(documents) == 4 * len(CASES[case].get("prints", "x"))
    for name, pdf in documents.items():
        # No text lies on another or leaves the page.
        assert problems(pdf) == [], name
        first = "".join(PdfReader(io.BytesIO(pdf)).pages[0].extract_text().split())
        assert "".join(words_of(400).split()) in first
        assert WORD[:60] in first
    # Every window of the window tables, however they are cut into pages, is read back as computed.
    capsys.readouterr()
    assert main(["audit", "--catalogue", str(path), "--release", str(folder)]) in (0, 1)
    shown = capsys.readouterr().out
    windows = record["counts"]["group_windows"]["rows"]
    read = [f"{windows} windows in {name}" for name in documents if name.startswith("booklet")]
    flat = " ".join(shown.split()).lower()
    assert all(text in flat for text in read), shown
    for finding in ("misprint", "overpromise"):
        assert terms.FINDINGS[finding]() not in flat


@pytest.mark.slow
def test_a_size_whose_name_fits_no_page_is_refused_by_line(tmp_path, capsys):
    path = stress_catalogue(tmp_path / "configs", sizes=3, names="key")
    assert main(["check", "--catalogue", str(path)]) == 2
    [shown] = capsys.readouterr().err.splitlines()
    text = (tmp_path / "configs" / "families" / "alder0.yaml").read_text(encoding="utf-8").splitlines()
    key = f"size-{'W' * 30}-000"
    number = next(i for i, line in enumerate(text, start=1) if f"size: {key}" in line)
    assert f"families/alder0.yaml:{number}: sizes[0].size: '{key}' is not allowed; " in shown
    assert "at most 12 characters in print: give it a 'display' as well" in shown

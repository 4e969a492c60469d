"""Rules of `leave_out` that name what the catalogue does not list: harmless, unless nothing goes by that name."""

import re
import shutil
from pathlib import Path

import pytest

from tablegen.config.loader import load_catalogue
from tablegen.errors import ConfigError
from tests.small import DEMO


@pytest.fixture
def wholesaler(tmp_path) -> Path:
    """The demo cut down to one family and two groups, every rule left as it was."""
    folder = tmp_path / "configs"
    shutil.copytree(DEMO, folder)
    path = folder / "catalogue.yaml"
    text = path.read_text(encoding="utf-8")
    parts = {"families": "alder", "groups": "R448A-family, R134a", "publications": "booklet"}
    for key, names in parts.items():
        text, count = re.subn(rf"^{key}: \[.*\]$", f"{key}: [{names}]", text, flags=re.MULTILINE)
        assert count == 1, key
    path.write_text(text, encoding="utf-8")
    return path


def test_a_catalogue_cut_down_keeps_its_rules(wholesaler):
    catalogue = load_catalogue(wholesaler)
    assert {c.family for c in catalogue.combinations} == {"alder"}
    # What takes nothing is not printed among the reasons either.
    assert [rule.why for rule in catalogue.left_out] == [
        "Offered for coolers only.",
        "Offered for R404A, R507A and the R448A group only.",
        "The rack is for R744 only.",
    ]
    assert all(rule.count for booklet in catalogue.booklets for rule in booklet.left_out)


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("  - family: rowan\n", "  - family: rowna\n", "leave_out[2].family: 'rowna' is not allowed"),
        ("group: [R134a, R513A]", "group: [R134a, R531A]", "leave_out[0].group[1]: 'R531A' is not allowed"),
    ],
)
def test_a_name_that_nothing_goes_by_is_reported(wholesaler, old, new, expected):
    text = wholesaler.read_text(encoding="utf-8")
    assert old in text
    wholesaler.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(ConfigError) as caught:
        load_catalogue(wholesaler)
    assert expected in str(caught.value)
    assert "did you mean" in str(caught.value)


def test_a_group_that_is_deleted_stays_in_no_rule_or_in_groups_yaml(wholesaler):
    groups = wholesaler.parent / "groups.yaml"
    text = groups.read_text(encoding="utf-8")
    own = "  R407C:\n    title: R407C\n    members: [R407C]\n"
    assert own in text
    load_catalogue(wholesaler)
    groups.write_text(text.replace(own, ""), encoding="utf-8")
    with pytest.raises(ConfigError) as caught:
        load_catalogue(wholesaler)
    assert all("put it back into groups.yaml (the catalogue need not list it)" in m.text for m in caught.value.problems)
    assert "leave_out[1].group[0]: 'R407C' is not allowed" in str(caught.value)

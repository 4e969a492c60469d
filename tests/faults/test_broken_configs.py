"""Whatever is wrong with a config file: it is read, or refused in lines that say where; never a traceback."""

import contextlib
import re
import shutil
import warnings
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from tablegen.cli.main import main
from tablegen.config.loader import load_catalogue
from tablegen.dataset.compute import compute_windows
from tablegen.errors import ConfigError, TablegenError
from tests.broken import broken

ROOT = Path(__file__).resolve().parents[2]
# Words of libraries and of Python itself, which mean nothing to a reader of configs.
FOREIGN = re.compile(r"Traceback|pydantic|ruamel|validation error|type=|Error\(|<class|NoneType|object at 0x|\bdict\b")
ORDINARY, ALL = 24, 5000


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    """The demo's configs, which are of every kind."""
    place = tmp_path_factory.mktemp("broken") / "configs"
    shutil.copytree(ROOT / "configs", place)
    return place


def files(folder: Path) -> list[str]:
    """One of every kind and all families, the catalogue thrice, for it has most to do with the others."""
    names = [
        "families/alder.yaml",
        "families/rowan.yaml",
        "families/hazel.yaml",
        "families/larch.yaml",
        "groups.yaml",
        "applications/walk_in_medium.yaml",
        "applications/walk_in_medium_lift.yaml",
        "publications/booklet.yaml",
        "publications/counter.yaml",
        "publications/handout.yaml",
        "refrigerants/R448A.yaml",
        "refrigerants/R404A.yaml",
        "catalogue.yaml",
        "catalogue.yaml",
        "catalogue.yaml",
    ]
    return [name for name in names if (folder / name).exists()]


@contextlib.contextmanager
def changed(path: Path, content: bytes) -> Iterator[None]:
    before = path.read_bytes()
    path.write_bytes(content)
    try:
        yield
    finally:
        path.write_bytes(before)


def run(capsys, *arguments: str) -> tuple[int, str]:
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        code = main(list(arguments))
    done = capsys.readouterr()
    return code, done.err


def judged(code: int, err: str, folder: Path) -> None:
    """Read, or refused in lines that say where."""
    assert code in (0, 2), err
    if code == 2:
        lines = [line for line in err.splitlines() if line]
        assert lines, "refused without a word"
        for line in lines:
            # Maybe another file, where what this one lacks is asked for.
            assert line.startswith(f"{folder}/"), line
            assert not FOREIGN.search(re.sub(r"'[^']*'|\"[^\"]*\"", "''", line)), line
            assert len(line) < 1200, line[:300]
            assert line.isprintable(), repr(line)


def strategy(folder: Path) -> st.SearchStrategy[tuple[str, bytes]]:
    texts = {name: (folder / name).read_text(encoding="utf-8") for name in files(folder)}
    return st.sampled_from(files(folder)).flatmap(lambda name: st.tuples(st.just(name), broken(texts[name])))


def fuzzed(folder: Path, capsys, count: int) -> None:
    seen = {0: 0, 2: 0}

    @settings(
        max_examples=count,
        derandomize=True,
        deadline=None,
        database=None,
        suppress_health_check=list(HealthCheck),
        phases=[Phase.generate, Phase.shrink],
    )
    @given(strategy(folder))
    def check(example: tuple[str, bytes]) -> None:
        name, content = example
        with changed(folder / name, content):
            code, err = run(capsys, "check", "--catalogue", str(folder / "catalogue.yaml"))
        judged(code, err, folder)
        seen[code] += 1

    check()
    assert seen[2] > count // 3
    assert seen[0] > count // 20


@pytest.mark.slow
def test_a_broken_config_is_read_or_refused(folder, capsys):
    fuzzed(folder, capsys, ORDINARY)


@pytest.mark.slow
def test_five_thousand_broken_configs_are_read_or_refused(folder, capsys):
    """About a quarter of an hour."""
    fuzzed(folder, capsys, ALL)


@pytest.mark.slow
def test_what_is_accepted_is_computed_or_refused(folder):
    """Families and applications that are read all the same: their windows, or one clear message. A few minutes."""
    texts = {name: (folder / name).read_text(encoding="utf-8") for name in files(folder) if "/" in name}
    shaken = [name for name in texts if name.startswith(("families", "applications"))]
    seen = {"computed": 0, "refused": 0}

    @settings(
        max_examples=400,
        derandomize=True,
        deadline=None,
        database=None,
        suppress_health_check=list(HealthCheck),
        phases=[Phase.generate],
    )
    @given(st.sampled_from(shaken).flatmap(lambda name: st.tuples(st.just(name), broken(texts[name]))))
    def check(example: tuple[str, bytes]) -> None:
        name, content = example
        with changed(folder / name, content), warnings.catch_warnings():
            warnings.simplefilter("error")
            try:
                catalogue = load_catalogue(folder / "catalogue.yaml")
            except ConfigError:
                return
            try:
                windows = compute_windows(replace(catalogue, confidence=None)).windows
            except TablegenError as error:
                # A message for the reader, of one line.
                if len(str(error).splitlines()) != 1:
                    raise
                seen["refused"] += 1
                return
        is_open = windows["max_load_w"].notna()
        assert (is_open == windows["min_load_w"].notna()).all()
        assert (windows["min_load_w"][is_open] < windows["max_load_w"][is_open]).all()
        assert (windows["min_load_w"][is_open] > 0.0).all()
        assert (windows["max_reason"][~is_open] != "").all()
        seen["computed"] += 1

    check()
    assert seen["computed"] > 20

"""A sweep has the same result whatever computes its parts, and goes on where it was interrupted."""

import os
import pickle
import random
import re
import signal
import threading
import time
from concurrent.futures import BrokenExecutor, Executor, Future, ThreadPoolExecutor
from dataclasses import replace
from multiprocessing import connection
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

import tablegen
from tablegen.building import build
from tablegen.cli.main import main
from tablegen.confidence.confident_limits import scattered_in
from tablegen.config.loader import load_catalogue
from tablegen.dataset.compute import compute
from tablegen.errors import WorkerError
from tablegen.sweep import parts as parts_module
from tablegen.sweep import sweep as sweep_module
from tablegen.sweep.identity import identity
from tablegen.sweep.parts import Inline, Payload, WindowCache, WindowPart
from tablegen.sweep.sweep import SweepOptions, count_parts, count_systems, sweep
from tablegen.workers import workers
from tests.demo import demo_catalogue
from tests.large import large_catalogue
from tests.small import small_catalogue
from tests.wide import wide_catalogue

FAMILIES_OF_PART, FAMILIES = 3, 8
BOOKLET = """publication: booklet
kind: booklet
prints:
  - {paper: letter, units: IP, graph_files: true}
"""


@pytest.fixture(scope="module", autouse=True)
def small_parts():
    """Parts of a few families, so that few families make several."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sweep_module, "FAMILIES_OF_PART", FAMILIES_OF_PART)
        yield


@pytest.fixture(scope="module")
def catalogue():
    """Two applications, several parts for some refrigerants; scatter in fewer draws than the demo's."""
    demo = demo_catalogue()
    large = large_catalogue(demo, FAMILIES, confidence=replace(demo.confidence, samples=16))
    chosen = [
        c
        for c in large.combinations
        if (c.group, c.application) in (("R404A-R507A", "walk_in_medium"), ("R407C", "walk_in_low"))
    ]
    return replace(large, combinations=tuple(chosen))


@pytest.fixture(scope="module")
def inline(catalogue):
    return sweep(catalogue, SweepOptions(), scattered_in(catalogue))


def same(found, expected) -> None:
    for own, theirs in zip(found[:2], expected[:2], strict=True):
        pd.testing.assert_frame_equal(own, theirs, check_exact=True)
    assert list(found[2]) == list(expected[2])


class Backwards(Executor):
    """Computes what was submitted last first, in threads that end in no order."""

    def __init__(self, seed: int) -> None:
        self._random, self._jobs = random.Random(seed), []

    def submit(self, fn, /, *args, **kwargs):
        future: Future = Future()
        self._jobs.append((future, fn, args, kwargs))
        threading.Timer(self._random.uniform(0.0, 0.02), self._next).start()
        return future

    def _next(self) -> None:
        future, fn, args, kwargs = self._jobs.pop()
        if future.set_running_or_notify_cancel():
            future.set_result(fn(*args, **kwargs))


class Counting(Executor):
    """Computes inline, and gives up at the part of windows of a number."""

    def __init__(self, last: int = 10**9, error: BaseException | None = None) -> None:
        self.windows, self._last, self._error = 0, last, error

    def submit(self, fn, /, *args, **kwargs):
        if isinstance(args[0].value, WindowPart):
            if self.windows == self._last:
                raise self._error
            self.windows += 1
        return Inline().submit(fn, *args, **kwargs)


def test_parts_are_as_many_as_are_counted(catalogue):
    systems: list[str] = []
    sweep(catalogue, SweepOptions(advance=systems.append))
    assert len(systems) == count_parts(catalogue) > count_systems(catalogue) == len(set(systems))


def test_threads_give_the_same(catalogue, inline):
    with ThreadPoolExecutor(3) as pool:
        same(sweep(catalogue, SweepOptions(pool), scattered_in(catalogue)), inline)


def test_parts_that_end_in_no_order_give_the_same(catalogue, inline):
    same(sweep(catalogue, SweepOptions(Backwards(seed=7)), scattered_in(catalogue)), inline)


def test_processes_give_the_same(catalogue, inline):
    with workers(2) as pool:
        same(sweep(catalogue, SweepOptions(pool), scattered_in(catalogue)), inline)


@pytest.mark.slow
@pytest.mark.filterwarnings("ignore::DeprecationWarning")
def test_a_dask_cluster_gives_the_same(catalogue, inline, tmp_path):
    wide = load_catalogue(wide_catalogue(tmp_path / "wide", FAMILIES_OF_PART + 1, ["R404A", "R507A", "R744"]))
    distributed = pytest.importorskip("distributed")
    with (
        distributed.LocalCluster(n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None) as cluster,
        distributed.Client(cluster) as client,
        client.get_executor() as pool,
    ):
        same(sweep(catalogue, SweepOptions(pool), scattered_in(catalogue)), inline)
        # To the byte, of a catalogue as large ones are made.
        found = compute(wide, SweepOptions(pool)).files_sha256
    assert found == compute(wide).files_sha256


def test_no_array_of_a_part_comes_over_in_a_buffer_of_its_own(catalogue):
    # Some executors would put it where no processor multiplies it as it does here.
    refrigerant = catalogue.refrigerants["R404A"]
    table = refrigerant.table.saturation
    for value, expected in ((table, 1), (Payload(table), 0), (Payload(refrigerant), 0)):
        buffers: list[pickle.PickleBuffer] = []
        pickle.dumps(value, protocol=5, buffer_callback=buffers.append)
        assert len(buffers) == expected


@pytest.mark.parametrize("error", [KeyboardInterrupt(), MemoryError()])
def test_an_interrupted_sweep_goes_on_where_it_ended(catalogue, inline, tmp_path, error):
    cache = WindowCache(tmp_path)
    first = Counting(last=5, error=error)
    with pytest.raises(type(error)):
        sweep(catalogue, SweepOptions(first, cache), scattered_in(catalogue))
    second = Counting()
    same(sweep(catalogue, SweepOptions(second, cache), scattered_in(catalogue)), inline)
    assert first.windows == 5
    assert second.windows == count_parts(catalogue) - 5
    third = Counting()
    same(sweep(catalogue, SweepOptions(third, cache), scattered_in(catalogue)), inline)
    assert third.windows == 0


def test_what_failed_in_a_worker_is_raised_and_the_rest_is_dropped(catalogue, tmp_path):
    class Failing(Inline):
        def submit(self, fn, /, *args, **kwargs):
            fails = isinstance(args[0].value, WindowPart)
            return super().submit(fail) if fails else super().submit(fn, *args, **kwargs)

    def fail() -> None:
        raise ZeroDivisionError("in a part")

    with pytest.raises(ZeroDivisionError, match="in a part"):
        sweep(catalogue, SweepOptions(Failing(), WindowCache(tmp_path)))


@pytest.mark.slow
def test_a_worker_that_is_killed_is_reported_and_what_was_finished_is_cached(catalogue, tmp_path):
    cache = WindowCache(tmp_path)
    with workers(2) as pool:
        pids = {pool.submit(os.getpid).result() for _ in range(8)}
        done: list[str] = []

        def kill_at_the_third(name: str) -> None:
            done.append(name)
            if len(done) == 3:
                for pid in pids:
                    os.kill(pid, signal.SIGKILL)

        with pytest.raises(WorkerError, match=r"ended early .* finished parts are cached"):
            sweep(catalogue, SweepOptions(pool, cache, kill_at_the_third))
    again = Counting()
    sweep(catalogue, SweepOptions(again, cache))
    assert again.windows <= count_parts(catalogue) - 3


def _die_within_an_answer() -> str:
    send = connection.Connection._send
    connection.Connection._send = lambda self, data: (send(self, data[:3]), os.kill(os.getpid(), signal.SIGKILL))
    return "the whole answer"


@pytest.mark.slow
def test_a_worker_that_is_killed_while_it_answers_is_reported():
    with workers(2) as pool:
        # The other worker could send the rest of it, as far as the pool knows.
        busy, cut = pool.submit(time.sleep, 600), pool.submit(_die_within_an_answer)
        for future in (cut, busy):
            with pytest.raises(BrokenExecutor):
                future.result(timeout=60)


def test_another_flow_coefficient_is_computed_anew_where_it_bears(catalogue, tmp_path):
    cache = WindowCache(tmp_path)
    sweep(catalogue, SweepOptions(Inline(), cache))
    name = list(catalogue.families)[FAMILIES_OF_PART + 1]
    family = catalogue.families[name]
    wider = replace(family, sizes=tuple(replace(s, kv_rated_m3h=1.1 * s.kv_rated_m3h) for s in family.sizes))
    changed = replace(catalogue, families={**catalogue.families, name: wider})
    counting = Counting()
    found = sweep(changed, SweepOptions(counting, cache))
    same(found, sweep(changed, SweepOptions()))
    # One part of each refrigerant that the family is offered for.
    assert counting.windows == len(
        {
            (c.application, member)
            for c in changed.combinations
            if c.family == name
            for member in changed.groups[c.group].members
        }
    )


@pytest.mark.slow
@pytest.mark.parametrize("change", ["uncertainty", "application", "confidence", "nominal", "code", "library"])
def test_whatever_figures_depend_on_makes_another_part(catalogue, tmp_path, monkeypatch, change):
    cache = WindowCache(tmp_path)
    sweep(catalogue, SweepOptions(Inline(), cache), scattered_in(catalogue))
    changed, scattered = catalogue, scattered_in(catalogue)
    if change == "uncertainty":
        more = {n: replace(u, density=u.density + 1e-6) for n, u in catalogue.uncertainty.items()}
        changed = replace(catalogue, uncertainty=more)
        scattered = scattered_in(changed)
    elif change == "application":
        applications = {
            name: replace(
                a,
                systems={n: replace(e, return_superheat_k=e.return_superheat_k + 1e-6) for n, e in a.systems.items()},
            )
            for name, a in catalogue.applications.items()
        }
        changed = replace(catalogue, applications=applications)
    elif change == "confidence":
        changed = replace(catalogue, confidence=replace(catalogue.confidence, seed=2))
        scattered = scattered_in(changed)
    elif change == "nominal":
        scattered = None
    elif change == "code":
        monkeypatch.setattr(parts_module, "code_identity", lambda: "other")
    else:
        monkeypatch.setattr(cache, "_versions", {"numpy": "0"})
    counting = Counting()
    same(sweep(changed, SweepOptions(counting, cache), scattered), sweep(changed, SweepOptions(), scattered))
    assert counting.windows == count_parts(catalogue)


def test_formatter_make_no_other_part(catalogue, tmp_path):
    cache = WindowCache(tmp_path)
    sweep(catalogue, SweepOptions(Inline(), cache))
    renamed = {name: replace(a, title="other", note="message") for name, a in catalogue.applications.items()}
    counting = Counting()
    sweep(replace(catalogue, applications=renamed), SweepOptions(counting, cache))
    assert counting.windows == 0


def test_a_damaged_part_is_computed_anew(catalogue, inline, tmp_path):
    cache = WindowCache(tmp_path)
    sweep(catalogue, SweepOptions(Inline(), cache), scattered_in(catalogue))
    first, second, *_ = sorted((tmp_path / "windows").iterdir())
    content = first.read_bytes()
    first.write_bytes(content[:2000] + bytes(b ^ 0xFF for b in content[2000:2010]) + content[2010:])
    second.write_bytes(content)
    counting = Counting()
    same(sweep(catalogue, SweepOptions(counting, cache), scattered_in(catalogue)), inline)
    assert counting.windows == 2


def test_a_folder_that_cannot_be_written_costs_time_only(catalogue, inline, tmp_path):
    (tmp_path / "windows").write_text("a file in the way")
    with pytest.warns(match="the cache is not used: .*windows is not a folder"):
        same(sweep(catalogue, SweepOptions(Inline(), WindowCache(tmp_path)), scattered_in(catalogue)), inline)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (float("nan"), float("inf")),
        (0.0, -0.0),
        (1, 1.0),
        (1, True),
        ("1", 1),
        (0.1, np.nextafter(0.1, 1.0)),
        ((1, 2), (1, (2,))),
        ({"a": 1}, {"b": 1}),
        (np.zeros(2), np.zeros((2, 1))),
        (None, "None"),
        (np.zeros(2), np.zeros(2, dtype=np.float32)),
    ],
)
def test_values_that_differ_have_other_identities(one, other):
    assert identity(one) != identity(other)
    assert identity(one) == identity(one)


def test_what_is_not_foreseen_has_no_identity():
    with pytest.raises(TypeError, match=r"^set$"):
        identity({"a": {1}})


@pytest.mark.slow
def test_a_build_by_several_processes_leaves_the_same_bytes(tmp_path):
    groups = {"pair": ("R404A", "R507A")}
    path = small_catalogue(
        tmp_path / "configs", ["alder"], groups, ["walk_in_medium"], more="publications: [booklet]\n"
    )
    (path.parent / "publications" / "booklet.yaml").write_text(BOOKLET, encoding="utf-8")
    one, two = (build(path, tmp_path / f"by-{n}", workers=n).folder for n in (1, 2))
    files = sorted(p.relative_to(one) for p in one.rglob("*") if p.is_file())
    assert files == sorted(p.relative_to(two) for p in two.rglob("*") if p.is_file())
    assert {p.suffix for p in files} >= {".pdf", ".csv", ".svg", ".xlsx"}
    for name in files:
        assert (one / name).read_bytes() == (two / name).read_bytes(), name


@pytest.mark.parametrize("stated", ["0", "-1", "two", "1e3", "257", "", "²"])
def test_a_number_of_workers_that_is_none_is_refused(stated, capsys, monkeypatch):
    assert main(["build", "--demo", "--workers", stated]) == 2
    rule = "it must be a whole number from 1 to 256"
    assert capsys.readouterr().err == f"--workers: {stated!r} is not allowed; {rule}\n"
    monkeypatch.setenv("TABLEGEN_WORKERS", stated or "none")
    assert main(["build", "--demo"]) == 2
    assert capsys.readouterr().err.startswith("TABLEGEN_WORKERS: ")


def test_wherever_an_executor_is_given_its_risk_is_stated():
    manual = (Path(tablegen.__file__).parent / "manual" / "python.md").read_text(encoding="utf-8")
    cluster = manual.partition("## On a cluster")[2]
    for text in (tablegen.build.__doc__, build.__doc__, cluster):
        assert re.search(r"pickle.* run any code", " ".join(text.split())) and "trust" in text

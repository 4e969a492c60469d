"""A list of jobs has the answers that `pick` gives one by one."""

import dataclasses
import random

import numpy as np
import pandas as pd
import pytest

import tablegen
from tablegen.answers.case import Case
from tablegen.answers.job_list import Job, pick_jobs
from tablegen.answers.pick import Candidate, pick
from tablegen.errors import RequestError
from tablegen.model.box_temperature import AskedSst
from tablegen.model.inputs import Catalogue
from tests.demo import demo_catalogue
from tests.worked import WORKED


def random_jobs(count: int) -> list[Job]:
    """Jobs on refrigerants and groups, some that no application or valve covers."""
    catalogue, draw = demo_catalogue(), random.Random(8)
    names = [*catalogue.refrigerants, *catalogue.groups]
    return [
        Job(
            refrigerant=draw.choice(names),
            asked_sst=AskedSst(sst_k=draw.choice([266.3, 268.15, 251.0, 240.0, 275.9, 310.0])),
            load_w=10.0 ** draw.uniform(2.0, 5.3),
            application=draw.choice([None, *catalogue.applications]),
            family=draw.choice([None, None, *catalogue.families]),
        )
        for _ in range(count)
    ]


def alone(catalogue: Catalogue, job: Job, application: str) -> Candidate | str | None:
    """The first choice for one job, or why it is refused."""
    try:
        assert job.asked_sst.sst_k is not None
        return pick(catalogue, Case(job.refrigerant, job.asked_sst.sst_k, job.load_w, application), job.family).first
    except RequestError as error:
        return str(error)


@pytest.mark.parametrize("is_printed", [False, True])
def test_each_job_is_answered_as_by_itself(is_printed):
    catalogue = demo_catalogue()
    assert catalogue.confidence is not None
    confidence = dataclasses.replace(catalogue.confidence, is_printed=is_printed, samples=64)
    catalogue = dataclasses.replace(catalogue, confidence=confidence)
    jobs = random_jobs(60 if is_printed else 150)
    fitting = 0
    for job, answer in zip(jobs, pick_jobs(catalogue, jobs), strict=True):
        if not answer.application or (answer.reason and not answer.family and job.application is None):
            assert answer.reason
            continue
        first = alone(catalogue, job, answer.application)
        if isinstance(first, str):
            assert answer.reason == first
            continue
        if first is None:
            name = f"{catalogue.families[job.family].display_name} " if job.family else ""
            assert answer.reason == f"No {name}valve in the catalogue covers this load." and not answer.family
            continue
        fitting += 1
        assert (answer.family, answer.size, answer.charge) == (first.family, first.size, first.charge)
        figures = (answer.min_load_w, answer.max_load_w, answer.margin)
        expected = (first.minimum.load_w, first.maximum.load_w, first.margin)
        assert figures == pytest.approx(expected, rel=1e-12)
    assert fitting >= (3 if is_printed else 8)


def test_the_function_reads_a_frame_and_reports_bad_rows_beside_the_others():
    jobs = pd.DataFrame(
        {
            "refrigerant": ["r448a", "R448A", "R448A", "R999"],
            "sst": ["24F", "24 psi", 268.7055555555555, "24F"],
            "load": ["20 MBH", "20 MBH", 5861.4, "20 MBH"],
            "application": ["walk_in_medium"] * 4,
            "family": ["alder", "", None, np.nan],
        },
        index=[7, 8, 9, 10],
    )
    found = tablegen.pick_jobs(jobs, catalogue=WORKED)
    assert list(found.index) == [7, 8, 9, 10]
    assert found.loc[7, ["family", "size", "reason"]].tolist() == ["alder", "90", ""]
    assert "24 psi" in found.loc[8, "reason"] and found.loc[8, "family"] == ""
    assert found.loc[9, "family"] == "hazel" and found.loc[9, "min_load_w"] < 5861.4 < found.loc[9, "max_load_w"]
    assert "R999" in found.loc[10, "reason"]


def test_loads_in_whole_watts_are_loads():
    whole, with_point = (
        tablegen.pick_jobs(
            pd.DataFrame({"refrigerant": ["R448A"], "sst": [269], "load": [load], "application": "walk_in_medium"})
        )
        for load in (6000, 6000.0)
    )
    assert whole["family"].tolist() != [""] and whole.equals(with_point)


def test_a_missing_column_is_named():
    with pytest.raises(RequestError, match="the column load is missing"):
        tablegen.pick_jobs(pd.DataFrame({"refrigerant": ["R448A"], "sst": ["24F"]}))

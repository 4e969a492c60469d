"""What a list of 10,000 jobs costs, from the bytes of its file to those of its answer, beside a loop over `pick`.

Run with `python -m tests.benchmarks.job_lists`; it takes half a minute.  Every figure is CPU time of one run; quote the
ratios, for single times depend on the machine.
"""

from __future__ import annotations

import io
import random

import openpyxl

import tablegen
from tablegen.api._questions import PickQuestion
from tablegen.api.jobs import pick_job_file
from tests.benchmarks.__main__ import JOBS, ONE_BY_ONE, line, seconds

NAMES = ["R404A", "R507A", "R448A", "R449A", "R407A", "R407F", "R407C", "R134a", "R513A"]
CALL = PickQuestion(application="walk_in_medium")


def rows() -> list[tuple[str, str, float, float, int]]:
    """Jobs at temperatures and loads as a clerk writes them, to a tenth."""
    draw = random.Random(1)
    return [
        (
            f"job {i}",
            draw.choice(NAMES),
            round(draw.uniform(15.0, 34.0), 1),
            round(10.0 ** draw.uniform(0.5, 2.2), 1),
            draw.randint(1, 6),
        )
        for i in range(JOBS)
    ]


def as_csv(jobs: list[tuple[str, str, float, float, int]]) -> bytes:
    text = ["job,refrigerant,sst [degF],load [kBtu/h],quantity", *(",".join(map(str, row)) for row in jobs)]
    return "\n".join(text).encode()


def as_workbook(jobs: list[tuple[str, str, float, float, int]]) -> bytes:
    book, stream = openpyxl.Workbook(write_only=True), io.BytesIO()
    sheet = book.create_sheet()
    for row in (("job", "refrigerant", "sst [degF]", "load [kBtu/h]", "quantity"), *jobs):
        sheet.append(row)
    book.save(stream)
    return stream.getvalue()


def main() -> None:
    """Print the table."""
    jobs = rows()
    pick_job_file(as_csv(jobs[:20]), "jobs.csv", call=CALL)

    def one_by_one() -> None:
        for job, refrigerant, sst, load, quantity in jobs[:ONE_BY_ONE]:
            tablegen.pick(
                refrigerant,
                sst=f"{sst} degF",
                load=f"{load} kBtu/h",
                application="walk_in_medium",
                quantity=quantity,
                job=job,
            )

    one_by_one()
    loop = seconds(one_by_one) / ONE_BY_ONE * JOBS
    line(f"a loop over pick, of {ONE_BY_ONE} jobs for {JOBS:,}", f"{loop:.0f} s")
    for name, data in (("jobs.csv", as_csv(jobs)), ("jobs.xlsx", as_workbook(jobs))):
        for what, made in (
            ("workbook", lambda answer: answer.sheets.workbook()),
            ("CSV files", lambda answer: answer.sheets.csv_files()),
        ):
            spent = seconds(lambda data=data, name=name, made=made: made(pick_job_file(data, name, call=CALL)))
            line(f"{JOBS:,} jobs of {name} to {what}", f"{spent:.1f} s", f"loop / this: {loop / spent:.0f}")


if __name__ == "__main__":
    main()

"""Whether the texts of labels fit, before anything is printed: what `check` calls sound, `build` prints."""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import dataclass, replace

import pandas as pd

from tablegen.confidence.confident_limits import scattered_in
from tablegen.dataset.compute import compute_windows
from tablegen.dataset.dataset import FRAMES, DataSet
from tablegen.dataset.summary import Summary, count_windows
from tablegen.errors import PublishError
from tablegen.model.inputs import Catalogue
from tablegen.model.own_texts import in_language
from tablegen.model.publications import Combination
from tablegen.report.publications.shelf_labels import print_shelf_labels
from tablegen.wording.language import speaking

# As wide as any: the data are not computed yet.
_FINGERPRINT = "d" * 12


@dataclass(frozen=True, slots=True)
class LabelMisfit:
    """Labels that cannot be printed, by the name of the publication, and why."""

    publication: str
    why: str


def label_misfits(catalogue: Catalogue) -> Iterator[LabelMisfit]:
    """The publications of labels whose texts do not fit; only the tables that they are made of are computed."""
    wanted = {Combination(own.family, group, own.application) for own in catalogue.labels for group in own.groups}
    few = replace(catalogue, combinations=tuple(c for c in catalogue.combinations if c in wanted))
    if not few.combinations:
        return
    scattered = scattered_in(few)
    tables = compute_windows(few, scattered=scattered if scattered is not None and scattered.is_printed else None)
    frames = dict.fromkeys(FRAMES, pd.DataFrame()) | {"states": tables.states, "group_windows": tables.group_windows}
    summary = Summary(
        fingerprint=_FINGERPRINT,
        versions={},
        states=0,
        windows=count_windows(tables.windows),
        group_windows=count_windows(tables.group_windows),
        verification={},
        groups=(),
        suggestions=(),
        warnings=(),
    )
    for own in few.labels:
        with speaking(own.printed.language):
            said = in_language(few, own.printed.language)
            data = DataSet(**frames, catalogue=said, summary=summary, files={})
            try:
                print_shelf_labels(data, own.printed.name, io.BytesIO())
            except PublishError as error:
                yield LabelMisfit(own.printed.publication, str(error))

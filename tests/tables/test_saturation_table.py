"""The pressures of the refrigerant sheet, against the states and a published glide."""

import io

import numpy as np
import pytest
from pypdf import PdfReader

from tests.demo import demo_booklet, demo_catalogue, demo_data
from tests.registry import refrigerant
from tests.us_units import PSI_PA


def test_rows_are_the_states_of_each_refrigerant():
    frame = demo_data().saturation
    assert list(dict.fromkeys(frame["refrigerant"])) == list(demo_catalogue().refrigerants)
    for _, row in frame.iloc[::4].iterrows():
        fluid, at = refrigerant(row["refrigerant"]), np.array([row["temperature_k"]])
        assert row["bubble_pressure_pa"] == pytest.approx(float(fluid.bubble(at).pressure_pa[0]), rel=1e-9)
        assert row["dew_pressure_pa"] == pytest.approx(float(fluid.dew(at).pressure_pa[0]), rel=1e-9)
    single = frame[frame["refrigerant"] == "R134a"]
    assert (single["glide_k"] == 0.0).all()
    # common practice: R404A glides by less than a kelvin, the R407 family by four to six.
    for name, low, high in (("R404A", 0.2, 1.0), ("R407C", 4.0, 6.0), ("R448A", 4.0, 6.0)):
        assert low < frame.loc[frame["refrigerant"] == name, "glide_k"].iloc[-1] < high


def test_the_sheet_prints_them_as_gauge_readings():
    publication, pdf = demo_booklet("IP", "letter")
    reader = PdfReader(io.BytesIO(pdf))
    text = next(
        t
        for t in (p.extract_text(extraction_mode="layout") for p in reader.pages[-5:])
        if "Pressures at saturation" in t
    )
    row = publication.data.saturation
    row = row[(row["refrigerant"] == "R407C")].iloc[-1]
    gauge = [f"{round(row[f'{side}_pressure_pa'] / PSI_PA - 14.696)}" for side in ("bubble", "dew")]
    line = next(line.split() for line in text.splitlines() if line.split()[:1] == ["R407C"] and "/" in line)
    assert line[5] == "/".join(gauge)

"""The heads under a table: figures of the data set, at their places on one axis, none over another."""

import itertools
import math

import pytest

from tablegen.report.condition_stations import ConditionAxis, Station, condition_axis, short_facts
from tablegen.report.graphs.condition_strip import condition_strip
from tablegen.report.pdf.drawing import Label
from tablegen.units import to_si
from tests.demo import booklet_publication, demo_data

SITE_PA, PSI_PA = to_si("14.696 psi", "pressure difference"), to_si("1 psi", "pressure difference")


def ends(text: str) -> tuple[float, float]:
    low, _, high = text.replace("\N{MINUS SIGN}", "-").replace("\N{EN DASH}", " ").replace(" to ", " ").partition(" ")
    return float(low), float(high or low)


def test_every_figure_is_one_of_the_states_of_the_members():
    publication = booklet_publication(demo_data())
    states = publication.data.states
    for part in publication.parts:
        application = publication.catalogue.applications[part.application]
        own = states[states["application"] == part.application]
        own = own[own["refrigerant"].isin(publication.members(part.group))]
        own = own[(own["sst_k"] - application.example_sst_k).abs() < 1e-6]
        stations = condition_axis(publication, part).stations
        for name, station in zip(("low_head", "rating", "high_head"), stations, strict=True):
            rows = own[own["condition"] == name]
            gauge = (rows["head_pressure_pa"] - SITE_PA) / PSI_PA
            bubble = rows["head_bubble_temperature_k"] * 1.8 - 459.67
            assert ends(station.pressure) == pytest.approx((gauge.min(), gauge.max()), abs=0.51)
            assert ends(station.bubble) == pytest.approx((bubble.min(), bubble.max()), abs=0.051)
            assert station.liquid != "\N{EN DASH}" and not math.isnan(ends(station.liquid)[0])


def test_stations_stand_where_their_heads_are_and_their_figures_lie_apart():
    def station(name: str, place_pa: float) -> Station:
        return Station(name=name, place_pa=place_pa, pressure="254–260", bubble="62.6–64.0", liquid="96")

    for places in ((1.0e6, 1.8e6, 2.1e6), (1.0e6, 2.0e6, 2.01e6), (1.9e6, 1.8e6, 2.0e6), (1.0e6, 1.0e6, 1.0e6)):
        names = ("low head", "rating point", "high head")
        axis = ConditionAxis([station(*own) for own in zip(names, places, strict=True)], ("head", "bubble", "liquid"))
        drawing = condition_strip(axis, 250.0)
        labels = [item for item in drawing.items if isinstance(item, Label)]
        by_name = {label.text: label.x + 0.5 * label.width for label in labels if label.text in names}
        assert len(by_name) == 3
        order = sorted(range(3), key=lambda i: places[i])
        assert [by_name[names[i]] for i in order] == sorted(by_name.values())
        for a, b in itertools.combinations(labels, 2):
            is_apart = a.x + a.width <= b.x or b.x + b.width <= a.x or abs(a.y - b.y) > 7.0
            assert is_apart, (a.text, b.text)
        assert all(label.x >= 0.0 and label.x + label.width <= 250.0 for label in labels)


def test_what_is_special_to_a_group_or_an_application_is_said():
    publication = booklet_publication(demo_data())
    facts = {part: dict(short_facts(publication, part)) for part in publication.parts}
    for part, own in facts.items():
        assert ("lift" in own["Losses"]) == (part.application == "walk_in_medium_lift")
        assert ("15\N{NO-BREAK SPACE}psi" in own["Losses"]) == (part.group in ("R134a", "R513A"))
        assert ("bulb" in " ".join(own.values())) == publication.is_thermostatic(part.family)
        # The riser's liquid is stated by its temperature, which is on the axis.
        assert ("subcooled" in own["Liquid"]) == (part.application != "walk_in_medium_lift")
        assert ("temperatures stated" in own["Liquid"]) == (part.application == "walk_in_medium_lift")

"""Problems that people make in config files: each is one line that says where it is and what is allowed."""

import hashlib
import re
import shutil
import subprocess
import sys
from pathlib import Path
from typing import NamedTuple

import pytest

from tablegen.cli.main import main
from tablegen.config.document import parse_document
from tablegen.config.loader import load_catalogue
from tablegen.errors import ConfigError
from tests.processes import environment
from tests.worked import copy_of_worked

ROOT = Path(__file__).resolve().parents[2]
CATALOGUE = "catalogue.yaml"
GROUPS = "groups.yaml"
ALDER = "families/alder.yaml"
MEDIUM = "applications/walk_in_medium.yaml"
R404A = "refrigerants/R404A.yaml"
R401A = "refrigerants/R401A.yaml"
R402A = "refrigerants/R402A.yaml"
R448A = "refrigerants/R448A.yaml"
GRID = "{minimum: 10 degF, maximum: 40 degF, step: 2 delta_degF}"


class Case(NamedTuple):
    """An edit that makes one problem.

    `at` is text on the line that the message must name ('' for a message about the whole file).
    """

    file: str
    old: str
    new: str
    at: str
    key: str
    parts: tuple[str, ...]


CASES = {
    "bare number": Case(
        MEDIUM,
        "useful: 6.5 delta_degF",
        "useful: 6.5",
        "useful: 6.5",
        "superheat.useful",
        ("6.5 is not allowed", "it has no unit", "delta_degF, delta_degC, K", "for example '9 delta_degF'"),
    ),
    "wrong dimension": Case(
        MEDIUM,
        "liquid_line: 5 psi",
        "liquid_line: 5 m",
        "liquid_line: 5 m",
        "losses.liquid_line",
        ("'5 m' is not allowed", "a pressure difference takes one of the units psi, bar, kPa, MPa, mbar, Pa"),
    ),
    "temperature for a difference": Case(
        MEDIUM,
        "subcooling: 9 delta_degF",
        "subcooling: 9 degF",
        "subcooling: 9 degF",
        "rating.subcooling",
        ("'9 degF' is not allowed", "a temperature difference takes", "did you mean delta_degF?"),
    ),
    "difference for a temperature": Case(
        MEDIUM,
        "example_sst: 24 degF",
        "example_sst: 24 delta_degF",
        "24 delta_degF",
        "suction.example_sst",
        ("'24 delta_degF' is not allowed", "a temperature takes one of the units degF, degC, K", "did you mean degF?"),
    ),
    "bare psi": Case(
        MEDIUM,
        "head_pressure: 135 psi_gauge",
        "head_pressure: 135 psi",
        "head_pressure: 135 psi",
        "low_head.head_pressure",
        ("'135 psi' is not allowed", "psi_gauge", "did you mean psi_gauge or psi_absolute?"),
    ),
    "bare bar": Case(
        ALDER,
        "working_pressure: 450 psi_gauge",
        "working_pressure: 31 bar",
        "31 bar",
        "working_pressure",
        ("'31 bar' is not allowed", "did you mean bar_gauge or bar_absolute?"),
    ),
    "psig": Case(
        MEDIUM,
        "liquid_line: 5 psi",
        "liquid_line: 5 psig",
        "5 psig",
        "losses.liquid_line",
        ("'5 psig' is not allowed", "did you mean psi?"),
    ),
    "farads": Case(
        MEDIUM,
        "minimum: 10 degF",
        "minimum: 10 mF",
        "minimum: 10 mF",
        "suction.sst_range.minimum",
        ("'10 mF' is not allowed", "degF, degC, K"),
    ),
    "tons as load unit": Case(
        CATALOGUE,
        "units: IP",
        "units: IP\nload_unit: ton",
        "load_unit: ton\n",
        "load_unit",
        ("'ton' is not allowed", "kW, kBtu/h, ton_refrigeration", "did you mean ton_refrigeration?"),
    ),
    "tons for a length": Case(
        MEDIUM,
        "lift: 0 ft",
        "lift: 3 ton",
        "lift: 3 ton",
        "losses.lift",
        ("'3 ton' is not allowed", "a length takes one of the units m, mm, ft, in"),
    ),
    "gas constant": Case(
        ALDER,
        "allowed_differential: 350 psi",
        "allowed_differential: 2 TR",
        "2 TR",
        "allowed_differential",
        ("'2 TR' is not allowed", "psi, bar, kPa, MPa"),
    ),
    "slip in percent": Case(
        MEDIUM,
        "clearance: 4 percent",
        "clearance: 4 precent",
        "clearance: 4 precent",
        "compressor.clearance",
        ("'4 precent' is not allowed", "did you mean percent?"),
    ),
    "out of bounds": Case(
        MEDIUM,
        "useful: 6.5 delta_degF",
        "useful: 650 delta_degF",
        "useful: 650",
        "superheat.useful",
        ("'650 delta_degF' is not allowed", "must be at least 0.05 K and at most 60 K"),
    ),
    "not a number": Case(
        MEDIUM,
        "evaporator: 2 psi",
        "evaporator: two psi",
        "two psi",
        "losses.evaporator",
        ("'two psi' is not allowed", "write a number and a unit, for example '25 psi'"),
    ),
    "unit on a bare number": Case(
        MEDIUM,
        "re_expansion_exponent: 1.1",
        "re_expansion_exponent: 1.1 percent",
        "re_expansion_exponent: 1.1 percent",
        "compressor.re_expansion_exponent",
        ("'1.1 percent' is not allowed", "a number without a unit"),
    ),
    "unknown key": Case(
        MEDIUM,
        "line_loss: 2 delta_degF",
        "line_loss: 2 delta_degF\n  exmple_sst: 24 degF",
        "exmple_sst",
        "suction.exmple_sst",
        ("the key is not known", "allowed are sst_at, basis, line_loss", "did you mean example_sst?"),
    ),
    "missing key": Case(
        MEDIUM,
        "  evaporator: 2 psi\n",
        "",
        "losses:",
        "losses.evaporator",
        ("the key is missing; it is required",),
    ),
    "duplicate key": Case(
        MEDIUM,
        "  evaporator: 2 psi",
        "  lift: 1 ft\n  evaporator: 2 psi",
        "lift: 1 ft",
        "",
        ("lift", "is given twice, first in line"),
    ),
    "tab": Case(MEDIUM, "  evaporator: 2 psi", "\tevaporator: 2 psi", "\tevaporator", "", ("YAML 1.2",)),
    "unclosed bracket": Case(CATALOGUE, "families: [alder,", "families: [[alder,", "groups:", "", ("YAML 1.2",)),
    "anchor": Case(
        MEDIUM,
        "lift: 0 ft",
        "lift: &none 0 ft",
        "&none",
        "",
        ("anchors (&), aliases (*) and tags (!) are not used",),
    ),
    "tag": Case(MEDIUM, "lift: 0 ft", "lift: !!str 0 ft", "!!str", "", ("tags (!) are not used here",)),
    "unknown family": Case(
        CATALOGUE,
        "families: [alder,",
        "families: [aldar,",
        "families:",
        "families[0]",
        ("'aldar' is not allowed", "a family must be one of alder", "did you mean alder?"),
    ),
    "unknown group": Case(
        CATALOGUE,
        "groups: [R404A-R507A,",
        "groups: [R404A-R507,",
        "groups:",
        "groups[0]",
        ("'R404A-R507' is not allowed", "a group must be one of R404A-R507A", "did you mean R404A-R507A?"),
    ),
    "unknown application": Case(
        CATALOGUE,
        "applications: [walk_in_medium,",
        "applications: [walkin_medium,",
        "applications:",
        "applications[0]",
        ("'walkin_medium' is not allowed", "did you mean walk_in_medium?"),
    ),
    "unknown refrigerant in a group": Case(
        GROUPS,
        "members: [R404A, R507A]",
        "members: [R404A, R507]",
        "R507]",
        "groups.R404A-R507A.members[1]",
        ("'R507' is not allowed", "a member must be one of", "did you mean R507A?"),
    ),
    "unknown refrigerant in a charge": Case(
        ALDER,
        "refrigerants: [R404A, R507A]",
        "refrigerants: [R404A, R507]",
        "R507]",
        "charges[0].refrigerants[1]",
        ("'R507' is not allowed", "a refrigerant must be one of", "did you mean R507A?"),
    ),
    "unknown refrigerant in by_refrigerant": Case(
        MEDIUM,
        "  R134a:\n",
        "  R134:\n",
        "  R134:",
        "by_refrigerant.R134",
        ("'R134' is not allowed", "a refrigerant must be one of", "did you mean R134a?"),
    ),
    "unknown component": Case(
        R404A,
        "R143a: 52",
        "R143b: 52",
        "R143b",
        "components.R143b",
        ("'R143b' is not allowed", "a component must be one of", "did you mean R143a?"),
    ),
    "mass fractions": Case(
        R404A,
        "R143a: 52",
        "R143a: 51",
        "components:",
        "components",
        ("99 percent is not allowed", "must be 100 percent"),
    ),
    "sizes not ascending": Case(
        ALDER,
        "kv: 16.0 L/h",
        "kv: 10.0 L/h",
        "kv: 10.0 L/h",
        "sizes[1].kv",
        ("'10.0 L/h' is not above sizes[0].kv '11.2 L/h' (line ", "sizes must ascend in kv: one of the two is wrong"),
    ),
    "decimal comma within braces": Case(
        ALDER,
        "kv: 16.0 L/h",
        "kv: 16,0 L/h",
        "kv: 16,0 L/h",
        "sizes[1].kv",
        ("'16,0 L/h' is not allowed; the comma could be a decimal comma", "(write '16.0 L/h' if that is meant)"),
    ),
    "decimal comma": Case(
        MEDIUM,
        "line_loss: 2 delta_degF",
        "line_loss: 2,5 delta_degF",
        "line_loss: 2,5",
        "suction.line_loss",
        (
            "'2,5 delta_degF' is not allowed; the comma could be a decimal comma",
            "(write '2.5 delta_degF' if that is meant)",
        ),
    ),
    "size twice": Case(
        ALDER,
        "size: 16,",
        "size: 11,",
        "kv: 16.0",
        "sizes[1].size",
        ("11 is not allowed; another size of the family has this key",),
    ),
    "stop below rated stroke": Case(
        ALDER,
        "stop: 120 percent",
        "stop: 95 percent",
        "stop: 95",
        "opening.stop",
        ("'95 percent' is not allowed; must be at least 100 percent",),
    ),
    "two heads": Case(
        MEDIUM,
        "head_pressure: 135 psi_gauge",
        "head_pressure: 135 psi_gauge\n  condensing_temperature: 70 degF",
        "low_head:",
        "low_head",
        ("exactly one of these keys is required: head_pressure, condensing_temperature",),
    ),
    "no liquid": Case(
        MEDIUM,
        "  inlet_subcooling: 5 delta_degF\n",
        "",
        "low_head:",
        "low_head",
        ("keys is required: inlet_subcooling, inlet_subcooling_range, liquid_temperature",),
    ),
    "basis missing": Case(
        MEDIUM,
        "  basis: bubble\n",
        "",
        "rating:",
        "rating",
        ("basis (dew, bubble or mid) is required with condensing_temperature",),
    ),
    "subcooling on dew basis": Case(
        MEDIUM,
        "basis: bubble",
        "basis: dew",
        "rating:",
        "rating",
        ("subcooling is measured from saturated liquid", "basis bubble"),
    ),
    "wrong basis": Case(
        MEDIUM,
        "basis: bubble",
        "basis: buble",
        "basis: buble",
        "rating.basis",
        ("'buble' is not allowed; must be one of dew, bubble, mid", "did you mean bubble?"),
    ),
    "wrong compressor kind": Case(
        MEDIUM,
        "kind: clearance",
        "kind: clearence",
        "\ncompressor:",
        "compressor",
        ("'clearence' is not allowed; must be one of clearance, polynomial, table", "did you mean clearance?"),
    ),
    "wrong family kind": Case(
        ALDER,
        "kind: thermostatic",
        "kind: thermostat",
        "kind: thermostat",
        "kind",
        ("'thermostat' is not allowed", "thermostatic, stepper", "did you mean thermostatic?"),
    ),
    "family kind a list": Case(
        ALDER,
        "kind: thermostatic",
        "kind: [thermostatic]",
        "kind: [",
        "kind",
        ("is not allowed", "thermostatic, stepper"),
    ),
    "wrong paper": Case(
        "publications/booklet.yaml",
        "{paper: letter, units: IP,",
        "{paper: leter, units: IP,",
        "  - {paper: leter",
        "prints[0].paper",
        ("'leter' is not allowed; must be one of a4, letter", "did you mean letter?"),
    ),
    "grid not whole steps": Case(
        MEDIUM,
        GRID,
        GRID.replace("40", "41"),
        "sst_range:",
        "suction.sst_range",
        ("a span of 31 delta_degF in steps of 2 delta_degF", "minimum must be below maximum, by a whole number"),
    ),
    "grid downwards": Case(
        MEDIUM,
        GRID,
        GRID.replace("40", "-10"),
        "sst_range:",
        "suction.sst_range",
        ("a span of -20 delta_degF", "minimum must be below maximum"),
    ),
    "grid with too many rows": Case(
        MEDIUM,
        GRID,
        "{minimum: -50 degC, maximum: 0 degC, step: 0.1 delta_degC}",
        "sst_range:",
        "suction.sst_range",
        ("501 suction temperatures are not allowed; must be at most 400",),
    ),
    "example off the grid": Case(
        MEDIUM,
        "example_sst: 24 degF",
        "example_sst: 25 degF",
        "25 degF",
        "suction.example_sst",
        ("must be one of the temperatures of sst_range",),
    ),
    "path as a name": Case(
        CATALOGUE,
        "catalogue: demo",
        "catalogue: ../evil",
        "catalogue: ../evil",
        "catalogue",
        ("'../evil' is not allowed", "a name has 1 to 40 letters"),
    ),
    "unstable charge": Case(
        ALDER,
        "minimum_static_superheat: 2 delta_degF",
        "minimum_static_superheat: 3.5 delta_degF",
        "3.5 delta_degF",
        "charges[0].minimum_static_superheat",
        ("the static superheat falls to", "at an evaporating (dew) temperature of", "degF", "at least 3.50 delta_degF"),
    ),
    "charge points falling": Case(
        ALDER,
        "[0 degF, 51.5 psi_absolute]",
        "[0 degF, 41.5 psi_absolute]",
        "41.5 psi",
        "charges[0].points[1]",
        (
            "[0 degF, 41.5 psi_absolute] is not above charges[0].points[0] [-10 degF, 43.1 psi_absolute] (line ",
            "ascending in temperature and in pressure",
        ),
    ),
    "gauge charge points": Case(
        ALDER,
        "[0 degF, 51.5 psi_absolute]",
        "[0 degF, 36.8 psi_gauge]",
        "36.8 psi_gauge",
        "charges[0].points[1]",
        ("[0 degF, 36.8 psi_gauge] is not allowed; must be an absolute pressure",),
    ),
    "useless rule": Case(
        CATALOGUE,
        "revisions:\n",
        "  - {group: R134a, application: walk_in_low, why: Twice.}\nrevisions:\n",
        "{group: R134a, application",
        "leave_out[8]",
        ("the rule leaves out nothing", "an earlier rule already leaves it out"),
    ),
    "rule with an unknown group": Case(
        CATALOGUE,
        "    group: R407C\n",
        "    group: R407\n",
        "group: R407\n",
        "leave_out[6].group",
        ("'R407' is not allowed", "did you mean R407C?"),
    ),
    "no such day": Case(CATALOGUE, "date: 2026-11-25", "date: 2026-13-45", "date: 2026-13-45", "date", ("2026-13-45",)),
    "date in words": Case(
        CATALOGUE,
        "date: 2026-11-25",
        "date: 25 November 2026",
        "25 November",
        "date",
        ("'25 November 2026' is not allowed", "date"),
    ),
    "name unlike the file": Case(
        ALDER,
        "family: alder",
        "family: older",
        "family: older",
        "family",
        ("'older' is not allowed; must be 'alder', the name of the file",),
    ),
    "site pressure in gauge": Case(
        MEDIUM,
        "site_pressure: 14.696 psi_absolute",
        "site_pressure: 0 psi_gauge",
        "site_pressure:",
        "site_pressure",
        ("must be an absolute pressure",),
    ),
    "box no warmer than the SST": Case(
        MEDIUM,
        "coil_temperature_difference: 10 delta_degF",
        "coil_temperature_difference: 0 delta_degF",
        "coil_temperature_difference:",
        "coil_temperature_difference",
        ("'0 delta_degF' is not allowed; must be at least 0.5 K and at most 40 K",),
    ),
    "useful superheat as large as the temperature difference of the coil": Case(
        MEDIUM,
        "useful: 6.5 delta_degF",
        "useful: 10 delta_degF",
        "useful:",
        "superheat.useful",
        ("'10 delta_degF' is not allowed; must be below the coil temperature difference, 10 delta_degF (5.56 K): ",),
    ),
    "two temperature differences of one coil": Case(
        MEDIUM,
        "response: constant",
        "response: stricter\n  box_difference: 12 delta_degF",
        "coil_temperature_difference:",
        "coil_temperature_difference",
        ("'10 delta_degF' is not allowed; it must equal suction.box_difference",),
    ),
    "two maximum superheats": Case(
        MEDIUM,
        "  maximum: 10 delta_degF",
        "  maximum: 10 delta_degF\n  maximum_share: 65 percent",
        "superheat:",
        "superheat",
        ("exactly one of these keys is required: maximum, maximum_share, coil_capacity_loss",),
    ),
    "more superheat than the coil has": Case(
        MEDIUM,
        "  maximum: 10 delta_degF",
        "  maximum_share: 100 percent",
        "maximum_share:",
        "superheat.maximum_share",
        ("'100 percent' is not allowed; must be above 0 and below 100 percent",),
    ),
    "loss of a coil of which nothing is known": Case(
        MEDIUM,
        "  maximum: 10 delta_degF",
        "  coil_capacity_loss: 10 percent",
        "coil_capacity_loss:",
        "superheat.coil_capacity_loss",
        ("'10 percent' is not allowed; it needs coil.conductance_ratio",),
    ),
    "share too small to be stable": Case(
        MEDIUM,
        "  maximum: 10 delta_degF",
        "  maximum_share: 30 percent",
        "minimum_stable: 3 delta_degF",
        "superheat.minimum_stable",
        ("must be below the maximum superheat, which is 3 delta_degF (1.67 K)",),
    ),
    "gauge critical pressure": Case(
        R404A,
        "3734.888 kPa_absolute",
        "3633.5 kPa_gauge",
        "critical_pressure:",
        "critical_pressure",
        ("must be an absolute pressure",),
    ),
    "choked without recovery": Case(
        ALDER,
        "flow_law: orifice",
        "flow_law: choked",
        "flow_law: choked",
        "flow_law",
        ("pressure_recovery (F_L) is required with",),
    ),
    "not a mapping": Case(
        MEDIUM,
        "suction:\n",
        "suction: cold\nsuction_was:\n",
        "suction: cold",
        "suction",
        ("'cold' is not allowed",),
    ),
    "exponent out of bounds": Case(
        MEDIUM,
        "re_expansion_exponent: 1.1",
        "re_expansion_exponent: 3",
        "re_expansion_exponent: 3",
        "compressor.re_expansion_exponent",
        ("3 is not allowed; must be at least 1 and at most 2",),
    ),
    "wrong unit in by_refrigerant": Case(
        MEDIUM,
        "head_pressure: 75 psi_gauge",
        "head_pressure: 75 psi",
        "head_pressure: 75 psi",
        "low_head.head_pressure",
        ("'75 psi' is not allowed", "did you mean psi_gauge or psi_absolute?"),
    ),
    "decimal name without quotes": Case(
        ALDER,
        "size: 11,",
        "size: 1.5,",
        "size: 1.5",
        "sizes[0].size",
        ("1.5 is not allowed", "quotes"),
    ),
    "mass fractions of a blend of the library's": Case(
        R448A,
        "R134a: 21 percent",
        "R134a: 20 percent",
        "components:",
        "components",
        ("99 percent is not allowed", "must be 100 percent"),
    ),
    "component with letters swapped": Case(
        R448A,
        "R1234yf: 20",
        "R1234fy: 20",
        "R1234fy",
        "components.R1234fy",
        ("'R1234fy' is not allowed", "a component must be one of", "did you mean R1234yf?"),
    ),
    "component of 0 percent": Case(
        R448A,
        "R1234yf: 20 percent\n",
        "R1234yf: 20 percent\n  R744: 0 percent\n",
        "R744",
        "components.R744",
        ("'0 percent' is not allowed; leave the component out",),
    ),
    "pair of a stranger": Case(
        R401A,
        "between: [R22, R124]",
        "between: [R22, R125]",
        "between: [R22, R125]",
        "pairs[0].between[1]",
        ("'R125' is not allowed", "must be a component of the blend: R22, R152a, R124"),
    ),
    "pair twice": Case(
        R401A,
        "between: [R152a, R124]",
        "between: [R22, R124]",
        "[R22, R124]\n    rule:",
        "pairs[1].between",
        ("the pair is listed twice, in either order",),
    ),
    "pair twice, the other way round": Case(
        R401A,
        "between: [R152a, R124]",
        "between: [R124, R22]",
        "[R124, R22]",
        "pairs[1].between",
        ("the pair is listed twice, in either order",),
    ),
    "pair of one": Case(
        R401A,
        "between: [R22, R124]",
        "between: [R22, R22]",
        "[R22, R22]",
        "pairs[0].between",
        ("a pair has two different components",),
    ),
    "pair of three": Case(
        R401A,
        "between: [R22, R124]",
        "between: [R22, R124, R152a]",
        "[R22, R124, R152a]",
        "pairs[0].between",
        ("a list of 3 items is not allowed; must have at most 2 items",),
    ),
    "beta too large": Case(
        R401A,
        "beta_t: 1\n",
        "beta_t: 2.01\n",
        "beta_t: 2.01",
        "pairs[0].beta_t",
        ("2.01 is not allowed", "at most 2"),
    ),
    "beta negative": Case(
        R401A,
        "gamma_t: 0.972",
        "gamma_t: -0.972",
        "gamma_t: -",
        "pairs[0].gamma_t",
        ("-0.972 is not allowed", "at least 0.5"),
    ),
    "pair with neither rule nor number": Case(
        R401A,
        "    rule: linear\n",
        "",
        "- between: [R152a",
        "pairs[1]",
        ("either 'rule: linear' or at least one of beta_t, gamma_t, beta_v, gamma_v is required",),
    ),
    "pair with both rule and number": Case(
        R401A,
        "rule: linear\n",
        "rule: linear\n    beta_t: 1\n",
        "- between: [R152a",
        "pairs[1]",
        ("either 'rule: linear' or at least one of",),
    ),
    "unknown rule": Case(
        R401A,
        "rule: linear",
        "rule: liner",
        "rule: liner",
        "pairs[1].rule",
        ("'liner' is not allowed; must be one of linear", "did you mean linear?"),
    ),
    "pair without its source": Case(
        R401A,
        "    source: Linear rule",
        "    because: Linear rule",
        "- between: [R152a",
        "pairs[1].source",
        ("the key is missing; it is required",),
    ),
    "missing pair of a packaged blend": Case(
        R402A,
        "between: [R125, R22]",
        "between: [R125, R290]",
        "components:",
        "components",
        ("the property library has no parameters for the pair R125/R22", "'rule: linear'"),
    ),
    "report twice": Case(
        R404A,
        "report: AR5",
        "report: AR4",
        "gwp:",
        "gwp",
        ("an assessment report is listed twice",),
    ),
    "gwp with neither value nor below": Case(
        R404A,
        "    value: 3922\n",
        "",
        "- report: AR4",
        "gwp[0]",
        ("exactly one of these keys is required: value, below",),
    ),
    "gwp with both": Case(
        R404A,
        "value: 3922\n",
        "value: 3922\n    below: 1\n",
        "- report: AR4",
        "gwp[0]",
        ("exactly one of these keys is required: value, below",),
    ),
    "unknown report": Case(
        R404A,
        "report: AR5",
        "report: AR7",
        "report: AR7",
        "gwp[1].report",
        ("'AR7' is not allowed; must be one of AR4, AR5, AR6",),
    ),
    "unknown safety group": Case(
        R404A,
        "safety_group: A1",
        "safety_group: A2l",
        "safety_group:",
        "safety_group",
        ("'A2l' is not allowed; must be one of A1, A2L", "did you mean A2L?"),
    ),
    "refrigerant unlike its file": Case(
        R448A,
        "refrigerant: R448A",
        "refrigerant: R448B",
        "refrigerant: R448B",
        "refrigerant",
        ("'R448B' is not allowed; must be 'R448A', the name of the file",),
    ),
    "half a critical point": Case(
        R448A,
        "critical_pressure: 4605.181 kPa_absolute\n",
        "",
        "refrigerant:",
        "",
        ("give both critical_temperature and critical_pressure, or neither",),
    ),
}
# Edits that cannot but make a second problem.
SECOND = {
    "not a mapping": "suction_was: the key is not known",
    "pair without its source": "pairs[1].because: the key is not known",
}


@pytest.fixture
def configs(tmp_path, monkeypatch) -> Path:
    copy_of_worked(tmp_path / "configs")
    shutil.copytree(ROOT / "configs" / "refrigerants", tmp_path / "configs" / "refrigerants")
    monkeypatch.chdir(tmp_path)
    return Path("configs")


def edit(path: Path, old: str, new: str) -> str:
    text = path.read_text(encoding="utf-8")
    assert old in text, f"{old!r} is no longer in {path.name}"
    text = text.replace(old, new, 1)
    path.write_text(text, encoding="utf-8")
    return text


def line_of(text: str, at: str) -> int:
    assert at in text
    return text[: text.index(at) + len(at) - len(at.lstrip("\n"))].count("\n") + 1


def check(configs: Path, capsys) -> list[str]:
    """Run the check; the lines on stderr."""
    assert main(["check", "--catalogue", str(configs / CATALOGUE)]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert "Traceback" not in err
    return err.splitlines()


@pytest.mark.parametrize("name", CASES)
def test_problem_is_one_line_with_file_and_key(name, configs, capsys):
    case = CASES[name]
    text = edit(configs / case.file, case.old, case.new)
    lines = check(configs, capsys)
    line = line_of(text, case.at) if case.at else 1
    start = f"configs/{case.file}:{line}: " + (f"{case.key}: " if case.key else "")
    second = SECOND.get(name)
    if second:
        assert any(second in found for found in lines)
        lines = [found for found in lines if second not in found]
    assert len(lines) == 1, lines
    assert lines[0].startswith(start), lines[0]
    for part in case.parts:
        assert part in lines[0]


def test_revision_without_its_entry(configs, capsys):
    text = edit(configs / "catalogue.yaml", "revision: A\n", "revision: B\n")
    (line,) = check(configs, capsys)
    assert line.startswith(f"configs/catalogue.yaml:{line_of(text, 'revision: B')}: revision: 'B' is not allowed; ")
    assert "'revisions' has no entry for it, only for A" in line


@pytest.mark.parametrize("file", [GROUPS, ALDER, MEDIUM])
def test_missing_file(file, configs, capsys):
    (configs / file).unlink()
    (line,) = check(configs, capsys)
    expected = "the file does not exist" if file == GROUPS else "is not allowed"
    assert expected in line


def test_missing_catalogue(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    assert main(["check", "--catalogue", "configs/catalogue.yaml"]) == 2
    err = capsys.readouterr().err
    assert err.count("\n") == 1
    assert err.startswith("configs/catalogue.yaml: the file does not exist")
    assert "tablegen init" in err


def test_file_that_is_not_utf8(configs, capsys):
    path = configs / MEDIUM
    path.write_bytes(path.read_bytes().replace(b"note: Outdoor", b"note: \xb0 Outdoor"))
    lines = check(configs, capsys)
    text = "the file cannot be read: a character is not UTF-8; save it as YAML in UTF-8"
    line = path.read_bytes().split(b"\xb0")[0].count(b"\n") + 1
    assert lines == [f"configs/{MEDIUM}:{line}: {text}"]


@pytest.mark.parametrize("text", ["", "- a\n- b\n", "just text\n"])
def test_file_without_keys(text, configs, capsys):
    (configs / MEDIUM).write_text(text, encoding="utf-8")
    (line,) = check(configs, capsys)
    assert line == f"configs/{MEDIUM}:1: the file must contain keys and values, such as 'title: ...'"


def test_all_problems_are_reported_at_once_in_file_order(configs, capsys):
    edit(configs / R404A, "R143a: 52", "R143a: 51")
    edit(configs / ALDER, "allowed_differential: 350 psi", "allowed_differential: 350")
    edit(configs / ALDER, "working_pressure: 450 psi_gauge", "working_pressure: 450 psi")
    edit(configs / MEDIUM, "useful: 6.5 delta_degF", "useful: 6.5 degF")
    edit(configs / MEDIUM, "minimum: 10 degF", "minimum: 10 mF")
    edit(configs / CATALOGUE, "units: IP", "units: US")
    lines = check(configs, capsys)
    places = [(line.split(":")[0], int(line.split(":")[1])) for line in lines]
    assert places == sorted(places)
    assert [line.split(": ")[1] for line in lines[:-1]] == [
        "suction.sst_range.minimum",
        "superheat.useful",
        "units",
        "working_pressure",
        "allowed_differential",
    ]
    assert "must be 100 percent" in lines[-1]


def test_values_are_read_as_yaml_1_2():
    data = parse_document("a: 010\nb: on\nc: no\nd: yes\ne: 1:30\n", "x.yaml").data
    assert data == {"a": 10, "b": "on", "c": "no", "d": "yes", "e": "1:30"}


def test_size_010_is_size_10_and_no_is_text(configs):
    edit(configs / CATALOGUE, "publications: [booklet, counter, counter_low, handout]\n", "")
    edit(configs / CATALOGUE, "part_numbers: part_numbers.csv\n", "")
    edit(configs / ALDER, "size: 11,", "size: 010,")
    edit(configs / ALDER, "size: 16,", "size: no,")
    # Connections name sizes in the same way.
    edit(configs / ALDER, "sizes: [11, 16,", "sizes: [010, no,")
    family = load_catalogue(configs / CATALOGUE).families["alder"]
    assert [s.name for s in family.sizes[:2]] == ["10", "no"]


def test_error_carries_the_problems(configs):
    text = edit(configs / MEDIUM, "useful: 6.5 delta_degF", "useful: 6.5")
    with pytest.raises(ConfigError) as caught:
        load_catalogue(configs / CATALOGUE)
    (problem,) = caught.value.problems
    assert (problem.line, problem.key) == (line_of(text, "useful: 6.5"), "superheat.useful")


OWN = """\
refrigerant: mine
safety_group: A1
components:
  R22: 50 percent
  R125: 50 percent
composition_source: Made up
gwp:
  - {report: AR4, value: 2655, source: Made up}
uncertainty: {pressure: 5 percent, density: 2 percent, enthalpy: 3 percent, reason: Made up}
critical_temperature: 356.99 K
critical_pressure: 4363 kPa_absolute
"""


@pytest.mark.slow
def test_missing_pair_of_a_blend_of_ones_own_that_no_group_uses(configs, capsys):
    """It is reported at once, not on the day that a group takes it up."""
    file = configs / "refrigerants" / "mine.yaml"
    file.write_text(OWN, encoding="utf-8")
    (line,) = check(configs, capsys)
    assert line.startswith("configs/refrigerants/mine.yaml:3: components: ")
    for part in ("no parameters for the pair R22/R125;", "give it under 'pairs' with a source", "'rule: linear'"):
        assert part in line
    # The remedy that the line names is one.
    pair = "pairs:\n  - {between: [R125, R22], rule: linear, source: For want of a better one}\n"
    file.write_text(OWN + pair, encoding="utf-8")
    assert main(["check", "--catalogue", str(configs / CATALOGUE)]) == 0
    assert "Traceback" not in capsys.readouterr().err


def test_copied_refrigerant_under_another_name_is_refused(configs, capsys):
    shutil.copy(configs / R404A, configs / "refrigerants" / "R404B.yaml")
    (line,) = check(configs, capsys)
    assert line.startswith("configs/refrigerants/R404B.yaml:1: refrigerant: 'R404A' is not allowed; must be 'R404B'")


def hashes(folder: Path) -> dict[str, str]:
    return {p.name: hashlib.sha256(p.read_bytes()).hexdigest() for p in sorted(folder.iterdir())}


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        (MEDIUM, "useful: 6.5 delta_degF", "useful: 6.5 degF"),
        (ALDER, "minimum_static_superheat: 2 delta_degF", "minimum_static_superheat: 3.5 delta_degF"),
    ],
)
def test_failing_build_leaves_the_last_output_untouched(file, old, new, configs, tmp_path):
    last = tmp_path / "output" / "demo"
    last.mkdir(parents=True)
    (last / "manifest.json").write_text("{}", encoding="utf-8")
    (last / "booklet.pdf").write_bytes(b"%PDF the last good one")
    before = hashes(last)
    edit(configs / file, old, new)
    run = subprocess.run(
        [sys.executable, "-m", "tablegen", "build", "--catalogue", "configs/catalogue.yaml", "--output", "output"],
        cwd=tmp_path,
        env=environment(),
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.returncode == 2
    assert run.stdout == ""
    assert "Traceback" not in run.stderr
    assert run.stderr.startswith(f"configs/{file}:")
    assert run.stderr.count("\n") == 1
    assert hashes(last) == before
    assert sorted(p.name for p in last.parent.iterdir() if p.is_dir()) == ["demo"]


def own(configs: Path, text: str) -> Path:
    file = configs / "refrigerants" / "mine.yaml"
    file.write_text(text, encoding="utf-8")
    return file


@pytest.mark.parametrize(
    ("components", "parts"),
    [
        ("components: {}", ("components: an empty mapping is not allowed; must have at least 1 key",)),
        ("components: []", ("components: an empty list is not allowed; must be a mapping of keys and values",)),
        ("components:", ("components: an empty value is not allowed; must be a mapping of keys and values",)),
        ("components: {R22: 0.3, R32: 70 percent}", ("components.R22: 0.3 is not allowed", "write '30 percent'")),
        ("components: {R22: 1, R32: 70 percent}", ("components.R22: 1 is not allowed", "write '100 percent'")),
        ("components: {R22: 30, R32: 70 percent}", ("components.R22: 30 is not allowed", "write '30 percent'")),
    ],
)
def test_components_that_are_none(components, parts, configs, capsys):
    head, _, tail = OWN.partition("components:\n  R22: 50 percent\n  R125: 50 percent")
    own(configs, head + components + tail)
    (line,) = check(configs, capsys)
    for part in parts:
        assert part in line
    for word in ("dictionary", "validation", "List", "Model"):
        assert word not in line


@pytest.mark.parametrize(
    ("old", "new", "key", "parts"),
    [
        (
            "- {report: AR4, value: 2655, source: Made up}",
            "[]",
            "gwp",
            ("an empty list is not allowed; must have at least 1 item",),
        ),
        (
            "- {report: AR4, value: 2655, source: Made up}",
            "- 2655",
            "gwp[0]",
            ("2655 is not allowed; must be a mapping of keys and values",),
        ),
    ],
)
def test_formatter_of_the_library_are_not_passed_on(old, new, key, parts, configs, capsys):
    own(configs, OWN.replace(old, new))
    (line,) = check(configs, capsys)
    assert f"mine.yaml:7: {key}: " in line or f"mine.yaml:8: {key}: " in line
    for part in parts:
        assert part in line
    assert "Model" not in line


def test_two_missing_pairs_are_reported_in_the_plural(configs, capsys):
    own(configs, OWN.replace("R22: 50 percent", "R22: 20 percent\n  R124: 30 percent"))
    (line,) = check(configs, capsys)
    assert "for the pairs R22/R124, " in line
    assert "give them under 'pairs' with a source" in line


def test_pair_that_the_library_lacks_given_in_part(configs, capsys):
    text = OWN + "pairs:\n  - {between: [R22, R125], beta_t: 1, source: Made up}\n"
    own(configs, text)
    (line,) = check(configs, capsys)
    assert line.startswith(f"configs/refrigerants/mine.yaml:{line_of(text, '- {between')}: pairs[0]: ")
    assert "beta_t and gamma_t must both be given" in line


@pytest.mark.parametrize(
    ("name", "old", "new", "key", "parts"),
    [
        ("R448A", "355.9409 K", "300 K", "critical_temperature", ("times as dense as vapor", "too low")),
        ("R448A", "355.9409 K", "359 K", "critical_temperature", ("too high",)),
        (
            "R448A",
            "4605.181 kPa_absolute",
            "40 kPa_absolute",
            "critical_pressure",
            ("the saturation curve reaches",),
        ),
        ("R401A", "378.2914 K", "390 K", "critical_temperature", ("or the parameters under 'pairs' are wrong",)),
    ],
)
@pytest.mark.parametrize("command", ["check", "states", "suggest"])
def test_wrong_critical_point(command, name, old, new, key, parts, configs, capsys):
    """Wherever the table is asked for."""
    text = edit(configs / "refrigerants" / f"{name}.yaml", old, new)
    arguments = {
        "check": ["--catalogue", str(configs / CATALOGUE)],
        "states": [name],
        "suggest": ["groups", "--catalogue", str(configs / CATALOGUE), "--refrigerants", name],
    }
    assert main([command, *arguments[command]]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    (line,) = err.splitlines()
    place = f"configs/refrigerants/{name}.yaml:{line_of(text, key + ':')}"
    assert line.startswith(f"{place}: {key}: '{new}' is not allowed; ")
    for part in (*parts, "leave out both critical_temperature and critical_pressure to have them computed"):
        assert part in line


def test_critical_point_a_little_off_passes(configs, capsys):
    edit(configs / R448A, "355.9409 K", "356.04 K")
    assert main(["states", "R448A"]) == 0


def test_wrong_critical_point_of_a_single_component(configs, capsys):
    file = configs / "refrigerants" / "R134a.yaml"
    point = "critical_temperature: 101.3 degC\ncritical_pressure: 4059 kPa_absolute\n"
    file.write_text(file.read_text(encoding="utf-8") + point, encoding="utf-8")
    (line,) = check(configs, capsys)
    for part in (
        "critical_temperature: '101.3 degC' is not allowed",
        "213.91 degF (101.06 degC)",
        "leave out both critical_temperature and critical_pressure to have them computed",
    ):
        assert part in line


def test_failure_of_a_blend_with_pairs_of_its_own_names_them(configs, capsys):
    text = OWN + "pairs:\n  - {between: [R22, R125], beta_t: 2, gamma_t: 0.5, source: Made up}\n"
    own(configs, text)
    for arguments in (["check", "--catalogue", str(configs / CATALOGUE)], ["states", "mine"]):
        assert main(arguments) == 2
        (line,) = capsys.readouterr().err.splitlines()
        assert "'pairs'" in line or ": pairs: " in line
        assert "degF (" in line
        assert "degC)" in line


@pytest.mark.slow
def test_example_of_the_manual_is_a_refrigerant(configs, capsys):
    text = (ROOT / "tablegen" / "manual" / "refrigerants.md").read_text(encoding="utf-8")
    # The other one is in tests/manual/test_worked_examples.py.
    example, _ = re.findall(r"```yaml\n(refrigerant: .*?)```", text, re.DOTALL)
    name = example.split()[1]
    assert main(["check", "--catalogue", str(configs / CATALOGUE)]) == 0
    without = capsys.readouterr().err
    (configs / "refrigerants" / f"{name}.yaml").write_text(example, encoding="utf-8")
    assert main(["check", "--catalogue", str(configs / CATALOGUE)]) == 0
    assert capsys.readouterr().err == without
    assert main(["states", name, "--configs", str(configs)]) == 0
    assert capsys.readouterr().err == ""
    # None of its keys could be left out.
    for key in ("safety_group", "composition_source", "  reason"):
        line = next(line for line in example.splitlines() if line.startswith(f"{key}:"))
        (configs / "refrigerants" / f"{name}.yaml").write_text(example.replace(line + "\n", ""), encoding="utf-8")
        assert "the key is missing; it is required" in check(configs, capsys)[0]

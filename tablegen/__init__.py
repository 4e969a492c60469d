"""Load windows of refrigerant expansion valves under floating head pressure.

Every command of the command line is a function here; `tablegen.api` says what they have in common, `tablegen.errors`
which errors they raise.

>>> import tablegen
>>> answer = tablegen.pick("R448A", sst="24 degF", load="16 kBtu/h", application="walk_in_medium", family="alder")
>>> print(answer.summary[0].partition(" Your load")[0])
First choice: Alder 90, with the largest margin.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

__version__ = "0.1.0"

if TYPE_CHECKING:
    from tablegen.api.again import again as again
    from tablegen.api.bench_data import fit as fit
    from tablegen.api.catalogues import audit as audit
    from tablegen.api.catalogues import build as build
    from tablegen.api.catalogues import check as check
    from tablegen.api.catalogues import compare as compare
    from tablegen.api.catalogues import suggest as suggest
    from tablegen.api.conversion import convert as convert
    from tablegen.api.cross_list import cross as cross
    from tablegen.api.desk import desk as desk
    from tablegen.api.diagrams import diagram as diagram
    from tablegen.api.handouts import handout as handout
    from tablegen.api.hunting import hunt as hunt
    from tablegen.api.imports import ImportReport as ImportReport
    from tablegen.api.imports import import_tables as import_tables
    from tablegen.api.jobs import pick_jobs as pick_jobs
    from tablegen.api.one_case import pick as pick
    from tablegen.api.one_case import windows as windows
    from tablegen.api.one_table import table as table
    from tablegen.api.one_valve import retrofit as retrofit
    from tablegen.api.one_valve import trace as trace
    from tablegen.api.refrigerant_data import states as states
    from tablegen.api.refrigerant_data import verify as verify
    from tablegen.api.schema import schema as schema
    from tablegen.api.swept_heads import head_sweep as head_sweep
    from tablegen.api.upgrading import UpgradeReport as UpgradeReport
    from tablegen.api.upgrading import upgrade as upgrade
    from tablegen.api.weighing import assumptions as assumptions
    from tablegen.building import BuildReport as BuildReport
    from tablegen.class_folder import HandoutReport as HandoutReport
    from tablegen.errors import BadValue as BadValue
    from tablegen.errors import ConfigError as ConfigError
    from tablegen.errors import CriticalPointError as CriticalPointError
    from tablegen.errors import DataSetError as DataSetError
    from tablegen.errors import IncompletePairError as IncompletePairError
    from tablegen.errors import MissingGlyphError as MissingGlyphError
    from tablegen.errors import MissingPairError as MissingPairError
    from tablegen.errors import OutputError as OutputError
    from tablegen.errors import PropertyError as PropertyError
    from tablegen.errors import PublishError as PublishError
    from tablegen.errors import RequestError as RequestError
    from tablegen.errors import TablegenError as TablegenError
    from tablegen.errors import TablegenWarning as TablegenWarning
    from tablegen.errors import WorkerError as WorkerError
    from tablegen.report.answer import Answer as Answer

_ONE_CASE = ("pick", "windows")
_ONE_VALVE = ("retrofit", "trace")
_CATALOGUES = ("audit", "build", "check", "compare", "suggest")
_REFRIGERANTS = ("states", "verify")
_IMPORTS = ("ImportReport", "import_tables")
_UPGRADES = ("UpgradeReport", "upgrade")
_ERRORS = (
    *("BadValue", "ConfigError", "CriticalPointError", "DataSetError", "IncompletePairError", "MissingGlyphError"),
    *("MissingPairError", "OutputError", "PropertyError", "PublishError", "RequestError", "TablegenError"),
    *("TablegenWarning", "WorkerError"),
)
_OTHERS = (
    *("Answer", "BuildReport", "HandoutReport", "__version__", "again", "assumptions", "convert", "cross", "desk"),
    *("diagram", "fit", "handout", "head_sweep", "hunt", "pick_jobs", "schema", "table"),
)
__all__ = (*_CATALOGUES, *_ERRORS, *_IMPORTS, *_ONE_CASE, *_ONE_VALVE, *_OTHERS, *_REFRIGERANTS, *_UPGRADES)


def __dir__() -> list[str]:
    return sorted(__all__)


if not TYPE_CHECKING:
    # Loaded when first used, so that the command line starts at once; type checkers see the imports above.
    def __getattr__(name: str) -> object:
        """A public name."""
        if name in _ERRORS:
            from tablegen import errors as home
        elif name in _ONE_CASE:
            from tablegen.api import one_case as home
        elif name in _ONE_VALVE:
            from tablegen.api import one_valve as home
        elif name in _CATALOGUES:
            from tablegen.api import catalogues as home
        elif name in _REFRIGERANTS:
            from tablegen.api import refrigerant_data as home
        elif name in _IMPORTS:
            from tablegen.api import imports as home
        elif name in _UPGRADES:
            from tablegen.api import upgrading as home
        elif name == "pick_jobs":
            from tablegen.api import jobs as home
        elif name == "cross":
            from tablegen.api import cross_list as home
        elif name == "handout":
            from tablegen.api import handouts as home
        elif name == "hunt":
            from tablegen.api import hunting as home
        elif name == "HandoutReport":
            from tablegen import class_folder as home
        elif name == "again":
            from tablegen.api import again as home
        elif name == "assumptions":
            from tablegen.api import weighing as home
        elif name == "convert":
            from tablegen.api import conversion as home
        elif name == "desk":
            from tablegen.api import desk as home
        elif name == "diagram":
            from tablegen.api import diagrams as home
        elif name == "table":
            from tablegen.api import one_table as home
        elif name == "schema":
            from tablegen.api import schema as home
        elif name == "head_sweep":
            from tablegen.api import swept_heads as home
        elif name == "fit":
            from tablegen.api import bench_data as home
        elif name == "Answer":
            from tablegen.report import answer as home
        elif name == "BuildReport":
            from tablegen import building as home
        else:
            raise AttributeError(name, name=name)
        return getattr(home, name)

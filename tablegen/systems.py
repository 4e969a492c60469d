"""The new and the old system of a retrofit, each read from its own catalogue."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from tablegen.answers.case import Case
from tablegen.answers.existing_valve import System
from tablegen.config.case_catalogue import load_case, load_with, loader_of
from tablegen.errors import RequestError, unknown
from tablegen.wording import command_line, offers

_HEAD_KEYS = ("head_pressure", "condensing_temperature")


def read_systems(
    path: Path,
    refrigerant: str,
    sst_k: float,
    load_w: float,
    application: str | None,
    overrides: Sequence[str],
    *,
    was: str | None = None,
    was_load_w: float | None = None,
    was_application: str | None = None,
    was_overrides: Sequence[str] = (),
) -> tuple[System, System | None]:
    """The new system, and the one that the valve was bought for, None where nothing is known of it.

    Without an application it is the only one that covers the suction temperature.  What is not said of the old system is
    as in the new one without its `overrides`, which say that something has changed.

    Raises
    ------
    RequestError, ConfigError
        As `load_with`; RequestError if an application is not in the catalogue.
    """
    also = tuple(name for name in (refrigerant, was) if name is not None)
    own = load_case(loader_of(path, None, also), refrigerant, sst_k, application, overrides)
    catalogue, name = own.catalogue, own.application
    if name not in catalogue.applications:
        raise RequestError(unknown(offers.AN_APPLICATION(), name, catalogue.applications))
    new = System(catalogue, Case(refrigerant, sst_k, load_w, name), _given_heads(overrides))
    is_known = any(given is not None for given in (was, was_load_w, was_application))
    if not (is_known or overrides or was_overrides):
        return new, None
    old_name = was_application or name
    if old_name not in catalogue.applications:
        raise RequestError(
            command_line.OPTION_ERROR(
                option="--was-application",
                error=unknown(offers.AN_APPLICATION(), old_name, catalogue.applications),
            )
        )
    before = load_with(path, old_name, was_overrides, also=also, option="--was-set")
    case = Case(was or refrigerant, sst_k, load_w if was_load_w is None else was_load_w, old_name)
    return new, System(before, case, _given_heads(was_overrides))


def _given_heads(overrides: Sequence[str]) -> set[str]:
    """The conditions whose head an override gives: it is meant for the refrigerant as written."""
    keys = [text.partition("=")[0].strip().split(".") for text in overrides]
    return {key[0] for key in keys if len(key) > 1 and key[1] in _HEAD_KEYS}

"""JSON Schema of config files, for editors."""

from __future__ import annotations

from pathlib import Path

from tablegen.config.json_schema import MODELS, schema_file, schema_of, schema_text
from tablegen.errors import OutputError, RequestError, near, unknown
from tablegen.files import write_atomic
from tablegen.wording import command_line
from tablegen.wording import schema as wording


def schema(what: str | Path) -> dict[str, object]:
    """The JSON Schema (draft 2020-12) of a kind of config file, or of all kinds, written into a folder.

    Parameters
    ----------
    what : str or path
        "catalogue", "groups", "company", "family", "application", "publication", "refrigerant" or "language"; anything
        else is the folder that gets a file of each kind.

    Returns
    -------
    dict
        The schema of the kind; of a folder, the schema of each kind by the name of its file.

    Raises
    ------
    RequestError
        If it is nearly the name of a kind, and no folder.
    OutputError
        If the folder cannot be written.

    Examples
    --------
    >>> family = schema("family")
    >>> rowan = family["$defs"]["ThermostaticModel"]
    >>> rowan["properties"]["equalizer"]["enum"]
    ['external', 'internal']
    """
    if isinstance(what, str) and what in MODELS:
        return schema_of(what)
    folder = Path(what)
    # A slip would be written into a new folder.
    if folder.parts == (str(what),) and not folder.exists() and near(str(what), MODELS):
        raise RequestError(unknown(wording.A_KIND(), str(what), MODELS))
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for kind in MODELS:
            write_atomic(folder / schema_file(kind), schema_text(kind).encode())
    except OSError as error:
        raise OutputError(command_line.NOT_WRITTEN(place=str(folder), reason=error.strerror or str(error))) from error
    return {schema_file(kind): schema_of(kind) for kind in MODELS}

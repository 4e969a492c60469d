"""JSON Schema of config files, for editors."""

from __future__ import annotations

from contextlib import ExitStack
from pathlib import Path

from tablegen.config.json_schema import MODELS, schema_file, schema_of, schema_text
from tablegen.errors import OutputError, RequestError, near, unknown
from tablegen.files import replace_file
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
    except OSError as error:
        raise OutputError(command_line.NOT_WRITTEN(place=str(folder), reason=error.strerror or str(error))) from error
    replaced: list[Path] = []
    with ExitStack() as stack:
        # None takes its place before all are written.
        for kind in MODELS:
            part = stack.enter_context(replace_file(folder / schema_file(kind), replaced))
            part.write_bytes(schema_text(kind).encode())
    return {schema_file(kind): schema_of(kind) for kind in MODELS}

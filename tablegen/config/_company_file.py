"""The company of a catalogue: its name alone, or a file with what it states on every publication."""

from __future__ import annotations

from collections.abc import Collection
from pathlib import PurePosixPath

from tablegen.config._catalogue_model import CatalogueModel
from tablegen.config._company_model import CompanyModel
from tablegen.config._input_files import SUFFIX, path_beside, shown_name
from tablegen.config._reader import Reader
from tablegen.config.document import ConfigDocument
from tablegen.config.logo_file import MAX_BYTES, read_logo
from tablegen.config.typeface_file import read_typeface
from tablegen.errors import BadValue, ConfigError
from tablegen.model.company import Company, Logo
from tablegen.model.names import WORKBOOK
from tablegen.wording import config_errors as wording
from tablegen.wording import input_errors

# A company that ends like that is meant as a file.
_FILE_SUFFIXES = (SUFFIX, ".yml", ".json")


def read_company(
    reader: Reader,
    document: ConfigDocument,
    catalogue: CatalogueModel,
    publications: Collection[str],
    languages: Collection[str],
) -> Company:
    """The company of a catalogue, which may give numbers to `publications` and the workbook, printed in `languages`; problems are noted.

    Its typeface must draw what was read so far.
    """
    named = catalogue.company
    nameless = Company(name=named)
    suffix = PurePosixPath(named).suffix.lower()
    if suffix not in _FILE_SUFFIXES:
        return nameless
    try:
        if not named.endswith(SUFFIX):
            raise BadValue(repr(named), wording.COMPANY_FILE())
        path = path_beside(reader.folder, named)
    except BadValue as error:
        reader.refuse(document, ("company",), str(error))
        return nameless
    own = reader.document(path)
    model = reader.model(CompanyModel, own)
    if own is None or model is None:
        return nameless
    numbered = [*publications, WORKBOOK]
    for name in model.documents or {}:
        # A folder of publications that cannot be read is a problem already.
        if name not in numbered and not reader.problems:
            reader.refuse_unknown(own, ("documents", name), wording.A_PUBLICATION(), name, numbered, read=name)
    if model.next_review is not None and model.next_review <= catalogue.date:
        rule = wording.REVIEW_AFTER(date=catalogue.date.isoformat())
        reader.refuse(own, ("next_review",), str(BadValue(repr(model.next_review.isoformat()), rule)))
    return model.inputs(
        _logo(reader, own, ("logo",), model.logo),
        read_typeface(reader, own, languages) if model.typeface else None,
        _logo(reader, own, ("wholesaler", "logo"), model.wholesaler.logo if model.wholesaler else None),
    )


def _logo(reader: Reader, document: ConfigDocument, key: tuple[str, ...], name: str | None) -> Logo | None:
    """The logo in a file beside the company's, which a key names; None without one, or with its problem noted."""
    if name is None:
        return None
    try:
        path = path_beside(reader.folder, name)
        data = reader.bytes_of(path, MAX_BYTES, input_errors.LOGOS_ARE_SMALL())
        return None if data is None else read_logo(data, shown_name(path))
    except BadValue as error:
        reader.refuse(document, key, str(error))
    except ConfigError as error:
        reader.problems += error.problems
    return None

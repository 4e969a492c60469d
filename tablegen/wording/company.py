"""What a company states on its publications, and how a caller is helped."""

from __future__ import annotations

from tablegen.wording.message import Message

REVISION = Message("Revision {revision}")
DATA = Message("Data {fingerprint}")
DOCUMENT = Message("{number}, revision {revision}")
LOGO_ALT = Message("Logo of {company}")

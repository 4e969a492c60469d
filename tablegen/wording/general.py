"""What several pages and answers say: ranges, liquid, titles that continue, and texts in place of a figure."""

from __future__ import annotations

from tablegen.wording.message import Message

LIQUID_AT = Message("liquid {temperature}")
LIQUID_SUBCOOLED = Message("liquid subcooled {subcooling}")
ABSOLUTE = Message("{unit} absolute")
RANGE = Message("{low} to {high}")
SET_BY_CONTROLLER = Message("set by controller")
CONTINUED = Message("{title}, continued")
CONTENTS_ENTRY = Message("{heading}, page {page}")
PAGE_OF = Message("Page {page} of {total}")
GRAPH = Message("Graph: {caption}")

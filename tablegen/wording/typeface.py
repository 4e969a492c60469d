"""What is wrong with a company's typeface."""

from __future__ import annotations

from tablegen.wording.message import Message

NO_TRUETYPE = Message("it must be a TrueType file (.ttf), neither a collection nor PostScript outlines")
NO_OUTLINES = Message("it must have TrueType outlines")
DAMAGED = Message("the file is damaged")
NOT_EMBEDDABLE = Message("its manufacturer does not allow it to be embedded in documents (fsType {bits})")
NO_CAPITALS = Message("it must have a capital H, by which it is scaled")
TOO_WIDE = Message(
    "its letters are {share} times as wide as those of the built-in typeface, at most {most} are allowed"
)
TYPEFACES_ARE_SMALL = Message("a face of a typeface is small")
LACKS = Message("{face} lacks {characters}, which the pages print")
LACKS_AND_MORE = Message("{face} lacks {characters} and {count} more, which the pages print")
TEXT_LACKS = Message("the company's typeface ({face}) lacks {characters}")
CHARACTER = Message("{sign} (U+{code})")

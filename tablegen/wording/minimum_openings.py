"""The stated minimum opening beside that of the loop of valve, coil and bulb: method chapter, application page, audit."""

from tablegen.wording.message import Message

CAPTION = Message("Minimum opening: stated, and by the loop of valve and coil")
ABOUT = Message(
    "The stated minimum opening and minimum stable superheat are assumptions. The loop of valve, coil and bulb or sensor "
    "gives its own: below it a change of flow comes back larger than it was, and the valve hunts. At the example SST of "
    "each application, with its gain margin, at the operating condition where the loop asks for the most. For constant "
    "SST only."
)
TABLE = Message("Table")
STATED = Message("Stated")
LOOP = Message("Loop")
SUPERHEAT = Message("MSS")
SHARE_OF_TD = Message("MSS/TD")
PERIOD = Message("Period")
BULB = Message("Bulb")
SECONDS = Message("{seconds}\N{NO-BREAK SPACE}s")
ALWAYS = Message("always hunts")
NEEDED = Message("{bulb}; the stated opening would need {needed}")
NEEDED_NONE = Message("{bulb}; the stated opening hunts with any bulb up to {slowest}")

FACT = Message("Minimum opening")
DOES_NOT_APPLY = Message(
    "stated, an assumption; the loop of valve and coil does not apply, because the SST follows the evaporator"
)
OF_LOOP = Message("by the loop of valve, coil and bulb or sensor, gain margin {margin}")
OF_STATEMENT = Message("stated, an assumption")
OF_FAMILIES = Message("{families}: {text}")

FINDING = Message(
    "{refrigerant}, SST {sst}: stated minimum opening {stated}, by the loop of valve and coil {loop}; {bulb}"
)
WOULD_NEED = Message("{stated} would need a bulb of {needed} here")
NOT_AT_ANY = Message("{stated} hunts here with any bulb up to {slowest}")
NO_BULB = Message("set the controller for it")

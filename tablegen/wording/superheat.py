"""The maximum superheat, and the rule that gives it."""

from tablegen.wording.message import Message

SHARE = Message("{maximum} ({share} of the coil's temperature difference)")
LOSS = Message("{maximum} (at which the coil loses {loss} of its capacity)")
SHORT_SHARE = Message("{maximum} ({share} of the coil's TD)")
SHORT_LOSS = Message("{maximum} (coil loses {loss})")

"""`python -m tablegen`."""

import sys

from tablegen.cli import main

sys.exit(main())

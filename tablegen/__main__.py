"""`python -m tablegen`."""

import sys

from tablegen.cli.main import main

sys.exit(main())
